"""The person's own share of spoiled pieces."""

import pytest

from tracker.domain.buying.spoil import Spoiled, spoil_rates


def test_before_the_diary_shows_any_it_is_three_per_cent() -> None:
    # Common practice, no source.
    assert set(spoil_rates([]).values()) == {0.03}


def test_it_is_the_mean_of_the_beta_distribution_over_all_items_of_a_form() -> None:
    from scipy.stats import beta

    records = [Spoiled("board", 4, 30), Spoiled("board", 2, 20), Spoiled("stick", 0, 50)]
    rates = spoil_rates(records)
    # scipy.stats: 3 bad and 97 good to begin with, then 6 bad and 50 good boards, no bad and 50 good sticks.
    assert rates["board"] == pytest.approx(beta(3 + 6, 97 + 50).mean())
    assert rates["stick"] == pytest.approx(beta(3, 97 + 50).mean())
    assert rates["roll"] == 0.03
