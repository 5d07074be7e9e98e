"""Stick plans: worked examples, generated lists with known least, and the independent check."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.cutting.plans import Offcut1, StickPiece, StickStock
from tracker.domain.cutting.sticks import plan_sticks


def pieces(lengths_m, ends=("mitre", "mitre")):
    return [StickPiece(f"bay e{at}", "bay", length, ends) for at, length in enumerate(lengths_m)]


@pytest.mark.parametrize(("kerf_m", "sticks"), [(0.003, 5), (0.0, 4)])
def test_edge_track_of_the_wall(verify, kerf_m, sticks):
    """trade.md 4h: 3.6, 3.6, 2.4, 2.4 from sticks of 3.0 m: 5 with a kerf of 3 mm, 4 without."""
    wanted, stock = pieces([3.6, 3.6, 2.4, 2.4]), StickStock("edge", 3.0, kerf_m)
    plan = plan_sticks(wanted, stock, exact=True)
    assert (plan.need, plan.lower_bound, plan.proved_least, plan.splices) == (sticks, sticks, True, 2)
    assert verify.stick_faults(plan, wanted, stock) == []


def test_joint_track_of_the_wall():
    """trade.md 4h: two joints of 2.4 m are two more sticks."""
    assert plan_sticks(pieces([2.4, 2.4]), StickStock("joint", 3.0, 0.003)).need == 2


def test_no_splice_lies_near_a_corner():
    plan = plan_sticks(pieces([3.05, 6.1]), StickStock("edge", 3.0, 0.003))
    parts = [part for stick in plan.sticks for part in stick.cuts]
    assert min(part.length_m for part in parts) >= 0.3 - 1e-9 and plan.splices == 3
    assert sorted(part.ends for part in parts).count(("mitre", "square")) == 2
    assert ("square", "square") in [part.ends for part in parts]


def test_offcuts_are_used_first_and_the_tightest(verify):
    stock = StickStock("edge", 3.0, 0.003, 0.2, (Offcut1("a", 2.0), Offcut1("b", 1.25), Offcut1("c", 0.4)))
    wanted = pieces([1.2, 2.9])
    plan = plan_sticks(wanted, stock, exact=True)
    assert plan.need == 1 and {stick.source for stick in plan.sticks} == {"new", "b"}
    assert verify.stick_faults(plan, wanted, stock) == []


def test_what_is_left_is_kept_only_where_it_is_not_waste():
    long, short = plan_sticks(pieces([2.7, 2.9]), StickStock("edge", 3.0, 0.003, 0.2)).sticks
    assert (short.keeps, short.left_m) == (True, pytest.approx(0.297)) and not long.keeps


def test_what_is_left_is_left_on_one_stick(verify):
    """By hand: 1.8 + 1.2 and 1.4 + 1.0 + 0.5 + 0.1 fill two of three sticks of 3.0; the third has 1.1 cut from it."""
    wanted, stock = pieces([1.8, 1.4, 1.2, 1.1, 1.0, 0.5, 0.1]), StickStock("edge", 3.0)
    plan = plan_sticks(wanted, stock)
    assert plan.need == 3 and max(stick.left_m for stick in plan.sticks) == pytest.approx(1.9)
    assert verify.stick_faults(plan, wanted, stock) == []


@pytest.mark.parametrize("seed", range(4))
def test_no_exchange_with_one_other_stick_would_leave_a_longer_offcut(verify, seed):
    """Independent: every choice of parts of two sticks tried."""
    wanted, stock = realistic(seed + 50, 3)
    wanted = wanted[:24]
    plan = plan_sticks(wanted, stock, exact=True)
    assert verify.stick_faults(plan, wanted, stock) == []
    new = [stick for stick in plan.sticks if stick.source == "new"]
    longest = max(new, key=lambda stick: stick.left_m)
    for other in plan.sticks:
        if other is not longest:
            parts = [part.length_m for part in (*longest.cuts, *other.cuts)]
            fills = (
                [parts[at] for at in range(len(parts)) if some >> at & 1] for some in range(1 << len(parts))
            )
            kerf = stock.kerf_m
            best = max(sum(f) + kerf * len(f) for f in fills if sum(f) + kerf * (len(f) - 1) <= other.length_m + 1e-9)
            used = sum(part.length_m + kerf for part in other.cuts)
            assert best <= used + 0.0002 * len(parts)


@pytest.mark.parametrize("seed", range(3))
def test_triplets_come_to_a_third(verify, classes, seed):
    wanted, stock = pieces(classes.triplets(30, seed)), StickStock("edge", 1.0)
    plan = plan_sticks(wanted, stock, exact=True)
    assert (plan.need, plan.proved_least) == (10, True)
    assert verify.stick_faults(plan, wanted, stock) == []


def test_uniform_lists_are_proved_and_never_worse_than_best_fit(verify, classes):
    for seed in range(2):
        wanted, stock = pieces(classes.uniform(60, seed)), StickStock("edge", 0.15)
        plan = plan_sticks(wanted, stock, exact=True)
        assert plan.proved_least and plan.need <= plan_sticks(wanted, stock).need
        assert verify.stick_faults(plan, wanted, stock) == []


def realistic(seed, offcuts):
    chance = random.Random(seed)
    kinds = [chance.randint(300, 2400) for _ in range(chance.randint(3, 15))]
    wanted = pieces([chance.choice(kinds) / 1000 for _ in range(chance.randint(20, 200))])
    some = tuple(Offcut1(f"o{i}", chance.randint(300, 2000) / 1000) for i in range(offcuts))
    return wanted, StickStock("edge", chance.choice([2.5, 3.0, 3.048, 3.6]), 0.003, 0.2, some)


@pytest.mark.parametrize("offcuts", [0, 9])
def test_realistic_lists_are_proved(verify, offcuts):
    """cutting.md 1a and 1b: all of 200 lists made by this recipe can be proved; twelve of them here."""
    saved = 0
    for seed in range(1000, 1012):
        wanted, stock = realistic(seed, offcuts)
        plan = plan_sticks(wanted, stock, exact=True)
        assert plan.proved_least and verify.stick_faults(plan, wanted, stock) == []
        saved += plan_sticks(wanted, stock).need - plan.need
    assert saved > 0


lengths = st.lists(st.integers(50, 6500).map(lambda mm: mm / 1000), min_size=1, max_size=20)


@settings(max_examples=30, deadline=None)
@given(lengths, st.lists(st.integers(100, 2900).map(lambda mm: mm / 1000), max_size=5), st.sampled_from([0.0, 0.003]))
def test_any_runs_pass_the_check(verify, runs, offcuts, kerf_m):
    stock = StickStock("edge", 3.0, kerf_m, 0.2, tuple(Offcut1(str(i), one) for i, one in enumerate(offcuts)))
    wanted = pieces(runs)
    assert verify.stick_faults(plan_sticks(wanted, stock), wanted, stock) == []


@settings(max_examples=25, deadline=None)
@given(lengths, st.lists(st.integers(300, 2900).map(lambda mm: mm / 1000), max_size=3), st.integers(300, 2900))
def test_a_further_offcut_or_a_shorter_list_never_needs_more(runs, offcuts, more):
    have = tuple(Offcut1(str(i), one) for i, one in enumerate(offcuts))
    need = plan_sticks(pieces(runs), StickStock("edge", 3.0, 0.003, offcuts=have), exact=True).need
    extra = (*have, Offcut1("more", more / 1000))
    assert plan_sticks(pieces(runs), StickStock("edge", 3.0, 0.003, offcuts=extra), exact=True).need <= need
    assert plan_sticks(pieces(runs[1:]), StickStock("edge", 3.0, 0.003, offcuts=have), exact=True).need <= need
