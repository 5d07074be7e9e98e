"""Tape and normal errors."""

import pytest

from tracker.domain.buying.measuring import chance_too_short, tape_error_m, tape_worst_m


@pytest.mark.parametrize(("length_m", "worst_mm"), [(3.0, 0.9), (5.0, 1.3), (10.0, 2.3), (2.2, 0.9)])
def test_a_class_ii_tape_is_as_wrong_as_its_class_allows(length_m: float, worst_mm: float) -> None:
    # Directive 2014/32/EU, annex X, class II: +-0.9 mm at 3 m, 1.3 mm at 5 m, 2.3 mm at 10 m; 2.2 m counts as 3 m.
    assert tape_worst_m(length_m) == pytest.approx(worst_mm / 1000)
    assert tape_error_m(length_m) == pytest.approx(worst_mm / 2000)


@pytest.mark.parametrize("error_m", [0.0005, 0.001, 0.003])
def test_too_short_is_the_tail_of_the_normal_distribution(error_m: float) -> None:
    from scipy.stats import norm

    one = norm.sf(0.002 / error_m)  # scipy.stats
    assert chance_too_short((1.0,), 0.002, error_m) == pytest.approx(one, rel=1e-6, abs=1e-12)
    assert chance_too_short((1.0, 0.5, 0.3), 0.002, error_m) == pytest.approx(1 - (1 - one) ** 3, rel=1e-6, abs=1e-12)
    assert chance_too_short((2.5,), 0.002) == pytest.approx(norm.sf(0.002 / 0.00045), rel=1e-6)


def test_no_error_or_no_measured_length_is_never_short() -> None:
    assert chance_too_short((1.0, 2.0), 0.0, 0.0) == 0
    assert chance_too_short((), 0.002) == 0
