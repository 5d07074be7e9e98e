"""The chance of running short, held against exact distributions where there are any, and against plain reason."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.buying.demand import Demand, Lot
from tracker.domain.buying.measuring import INFILL_GAP_M
from tracker.domain.buying.risk import TRIALS, need_spread, refuse_risk
from tracker.domain.errors import Refused

FOUR_ERRORS = 4 * math.sqrt(0.25 / TRIALS)
"""Four standard errors of a share of the trials at its worst."""


@pytest.mark.parametrize("rate", [0.01, 0.03, 0.2])
@pytest.mark.parametrize("spare", [0, 1, 3, 8])
def test_without_offcuts_to_use_it_is_the_negative_binomial(lone: Demand, rate: float, spare: int) -> None:
    # scipy.stats: spare failures before the 20th good piece; by the binomial: fewer than 20 good of 20 + spare.
    from scipy.stats import binom, nbinom

    exact = nbinom.sf(spare, 20, 1 - rate)
    assert exact == pytest.approx(binom.cdf(19, 20 + spare, 1 - rate))
    found = need_spread(lone, rate, 0.0).chance_of_running_short(spare, 1, 20)
    assert found == pytest.approx(exact, abs=FOUR_ERRORS)


def test_the_least_packs_are_those_of_the_exact_quantile(lone: Demand) -> None:
    from scipy.stats import nbinom

    exact = nbinom.ppf(0.95, 20, 0.97)
    packs, chance = need_spread(lone, 0.03, 0.0).least_packs(0.05, on_hand=20)
    assert packs == exact
    assert chance == pytest.approx(nbinom.sf(exact, 20, 0.97), abs=FOUR_ERRORS)
    # In boxes of two, three spare boards take two boxes.
    assert need_spread(lone, 0.03, 0.0).least_packs(0.05, 2, 20)[0] == math.ceil(exact / 2)


def test_loose_pieces_are_the_negative_binomial() -> None:
    from scipy.stats import nbinom

    screws = need_spread(Demand("screw", 200, loose=200), 0.03)
    exact = nbinom.ppf(0.95, 200, 0.97)
    assert abs(screws.least_packs(0.05, on_hand=200)[0] - exact) <= 1
    assert screws.needs.mean() == pytest.approx(200 / 0.97, rel=0.002)


def test_a_bulk_quantity_under_one_is_not_made_whole() -> None:
    glue = Demand("glue", 0.4, loose=0.4)
    assert set(need_spread(glue, 0.0).needs) == {0.4}
    assert need_spread(glue, 0.03).chance_of_running_short(0.4, 1) == pytest.approx(0.03, abs=FOUR_ERRORS)


def test_with_nothing_spoiled_it_is_the_need_of_the_plan(mixed: Demand) -> None:
    spread = need_spread(mixed, 0.0, 0.0)
    assert set(spread.needs) == {18}
    assert spread.least_packs(0.05, 6, 3) == (3, 0.0)
    assert spread.chance_of_running_short(2, 6, 5) == 1.0


def test_offcuts_that_hold_every_piece_leave_nothing_to_buy() -> None:
    # 0.97^10: by hand, the chance that none of ten is spoiled; with enough offcuts of their size it does not matter.
    pieces = ((0.5, 0.3),) * 10
    served = Demand("board", 5, (Lot(pieces, ((0.3, 0.5),) * 12),), (1.2, 0.6), turnable=True)
    without = replace(served, turnable=False)
    assert need_spread(served, 0.03, 0.0).chance_of_running_short(5, 1) < 1e-9
    assert need_spread(without, 0.03, 0.0).chance_of_running_short(5, 1) == pytest.approx(1 - 0.97 ** 10,
                                                                                        abs=FOUR_ERRORS)


def test_the_rest_of_a_new_board_serves_the_next_piece() -> None:
    # Four quarters come out of a board without a saw: n failures take n / 4 boards, rounded up.
    from scipy.stats import nbinom

    quarters = Demand("board", 10, (Lot(((0.6, 0.3),) * 40),), (1.2, 0.6), turnable=True)
    spread = need_spread(quarters, 0.1, 0.0)
    for boards in (0, 1, 2, 3):
        assert spread.chance_of_running_short(boards, 1, 10) == pytest.approx(nbinom.sf(4 * boards, 40, 0.9),
                                                                              abs=FOUR_ERRORS)
    # A saw that takes 10 mm leaves 590 mm of the length: two come out of a board where they may not be turned.
    sawn = Demand("board", 10, (Lot(((0.6, 0.295),) * 40),), (1.2, 0.6), kerf_m=0.01)
    for boards in (0, 1, 2, 3):
        assert need_spread(sawn, 0.1, 0.0).chance_of_running_short(boards, 1, 10) == pytest.approx(
            nbinom.sf(2 * boards, 40, 0.9), abs=FOUR_ERRORS)


def test_a_stick_piece_comes_from_what_sticks_leave_and_cloth_by_the_metre() -> None:
    from scipy.stats import nbinom

    sticks = Demand("track", 10, (Lot(((2.0, 1.0),) * 10, ((0.997, 1.0),) * 10),), (3.0, 1.0), kerf_m=0.003)
    assert need_spread(sticks, 0.05, 0.0).chance_of_running_short(1, 1, 10) == pytest.approx(
        nbinom.sf(1, 10, 0.95), abs=FOUR_ERRORS)
    cloth = Demand("cloth", 25.0, (Lot(((2.5, 1.3),) * 10, ((2.5, 0.3),) * 10),), (0.0, 1.6), by_length=True)
    for again in (0, 1, 2):
        assert need_spread(cloth, 0.05).chance_of_running_short(2.5 * again, 1, 25) == pytest.approx(
            nbinom.sf(again, 10, 0.95), abs=FOUR_ERRORS)
    assert need_spread(cloth, 0.05).least_packs(0.4, on_hand=25, whole=False) == pytest.approx((2.5, 0.0), abs=0.13)


def test_a_piece_measured_too_short_is_cut_again(lone: Demand) -> None:
    # Normal error of 2.5 mm against the gap of 5 mm: two deviations, 2.275 % a side (tables of the normal
    # distribution), and both sides of these pieces are cut.
    careful = replace(lone, gap_m=INFILL_GAP_M)
    spread = need_spread(careful, 0.0, 0.0025)
    short = 1 - (1 - 0.02275) ** 2
    assert spread.chance_of_running_short(0, 1, 20) == pytest.approx(1 - (1 - short) ** 20, abs=FOUR_ERRORS)
    # A class II tape is a hundred times better than the gap over a metre: no piece is lost to it.
    assert need_spread(careful, 0.0).chance_of_running_short(0, 1, 20) == 0


@settings(max_examples=25, deadline=None)
@given(data=st.data(), rate=st.sampled_from([0.01, 0.03, 0.1]), pack=st.integers(1, 8))
def test_more_risk_or_more_on_hand_never_asks_more(data: st.DataObject, rate: float, pack: int) -> None:
    sizes = st.tuples(st.sampled_from([0.3, 0.6, 0.9, 1.2]), st.sampled_from([0.2, 0.4, 0.6]))
    lots = data.draw(st.lists(st.builds(lambda pieces, left: Lot(tuple(pieces), tuple(left)),
                                        st.lists(sizes, min_size=1, max_size=12), st.lists(sizes, max_size=5)),
                              min_size=1, max_size=3))
    demand = Demand("board", 30, tuple(lots), (1.2, 0.6), 0.003, turnable=data.draw(st.booleans()))
    spread = need_spread(demand, rate, 0.0, seed=data.draw(st.integers(0, 3)), trials=400)
    risks, stock = sorted(data.draw(st.tuples(*[st.floats(0.01, 0.9)] * 2))), sorted(
        data.draw(st.tuples(*[st.integers(-5, 40)] * 2)))
    packs = [spread.least_packs(risk, pack, stock[0]) for risk in risks]
    assert packs[0][0] >= packs[1][0]
    assert all(chance <= risk for (_, chance), risk in zip(packs, risks, strict=True))
    assert spread.least_packs(risks[0], pack, stock[1])[0] <= packs[0][0]
    if packs[0][0] > 0:
        assert spread.chance_of_running_short(packs[0][0] - 1, pack, stock[0]) > risks[0]


def test_the_same_seed_gives_the_same_answer(mixed: Demand) -> None:
    first, second = need_spread(mixed, 0.05, seed=7), need_spread(mixed, 0.05, seed=7)
    need_spread.cache_clear()
    assert np.array_equal(first.needs, need_spread(mixed, 0.05, seed=7).needs) and first is second
    assert not np.array_equal(first.needs, need_spread(mixed, 0.05, seed=8).needs)


@pytest.mark.parametrize("risk", [0.0, -1, 1.0, float("nan"), 0.0001])
def test_a_risk_the_trials_cannot_tell_is_refused(risk: float) -> None:
    with pytest.raises(Refused, match=r"0\.05"):
        refuse_risk(risk)
