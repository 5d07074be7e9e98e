"""Roll plans: the worked example, turning, remnants, and cloths that neither overlap nor leave the roll."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from tracker.domain.cutting.plans import Cloth, Offcut2, RollStock
from tracker.domain.cutting.rolls import plan_rolls
from tracker.domain.errors import Refused


def test_wall_wider_than_the_cloth_is_told_its_joints():
    """trade.md 4h: 1370 mm of cloth less 50 + 50 covers 1270, so 3.6 m takes three drops, here of 2.4 + 0.1 m."""
    plan = plan_rolls([Cloth("north/all", 3.6, 2.4)], RollStock("oat", 1.37, 0.05, turnable=False))
    assert plan.length_m == pytest.approx(7.5)
    assert plan.joints == (("north/all", (1.27, 2.54)),)


def test_a_turned_cloth_needs_no_joint():
    plan = plan_rolls([Cloth("a", 3.6, 1.2)], RollStock("oat", 1.37, 0.05))
    assert (plan.length_m, plan.joints, plan.strips[0].turned) == (pytest.approx(3.7), (), True)


def test_narrow_cloths_lie_side_by_side():
    plan = plan_rolls([Cloth("a", 0.7, 2.0), Cloth("b", 0.7, 2.0)], RollStock("oat", 1.6, 0.05, turnable=False))
    assert plan.length_m == pytest.approx(2.1) and plan.proved_least


def test_a_remnant_serves_before_the_roll():
    stock = RollStock("oat", 1.6, 0.05, offcuts=(Offcut2("r1", 2.5, 1.2), Offcut2("r2", 9.0, 1.6)))
    plan = plan_rolls([Cloth("a", 1.0, 2.0)], stock)
    assert plan.length_m == 0 and plan.strips[0].source == "r1"


def test_tucks_wider_than_the_roll_are_refused():
    with pytest.raises(Refused, match="tuck"):
        plan_rolls([Cloth("a", 1.0, 2.0)], RollStock("oat", 0.1, 0.05))


sizes = st.tuples(st.integers(100, 4000), st.integers(100, 4000))


@settings(max_examples=40, deadline=None)
@given(st.lists(sizes, min_size=1, max_size=8), st.booleans())
@example([(100, 1300)], True)  # as wide as the roll with its tuck, to the last bit
def test_strips_lie_on_the_roll_apart_from_one_another(wanted, turnable):
    cloths = [Cloth(f"bay {i}", w / 1000, h / 1000) for i, (w, h) in enumerate(wanted)]
    plan = plan_rolls(cloths, RollStock("oat", 1.4, 0.05, turnable))
    cut = [box(*s.at_m, s.at_m[0] + s.size_m[0], s.at_m[1] + s.size_m[1]) for s in plan.strips]
    cut += [box(*o.at_m, o.at_m[0] + o.size_m[0], o.at_m[1] + o.size_m[1]) for o in plan.offcuts]
    whole = box(0, 0, plan.length_m, 1.4).buffer(1e-5)
    assert all(whole.contains(one) for one in cut)
    assert all(a.intersection(b).area < 1e-9 for i, a in enumerate(cut) for b in cut[:i])
    for cloth in cloths:
        mine = [strip for strip in plan.strips if strip.bay == cloth.bay]
        drops = sum(((s.size_m[0] if s.turned else s.size_m[1]) - 0.1) for s in mine)
        assert drops == pytest.approx(cloth.width_m)
        assert all((s.size_m[1] if s.turned else s.size_m[0]) == pytest.approx(cloth.height_m + 0.1) for s in mine)
    assert plan.length_m >= plan.lower_bound_m - 1e-6


def test_two_gable_cloths_nest_on_the_roll():
    """By hand: two triangles 1.2 wide and 2.0 high, no tuck, one turned half round, fill 1.2 x 2.0 of the roll."""
    slope = ((0, 0), (1.2, 0), (1.2, 2.0))
    cloths = [Cloth("a", 1.2, 2.0, slope), Cloth("b", 1.2, 2.0, slope)]
    plan = plan_rolls(cloths, RollStock("oat", 1.3))
    assert plan.length_m == pytest.approx(2.0)
    first, second = (Polygon(strip.outline_m) for strip in plan.strips)
    assert first.intersection(second).area < 1e-9 and first.area == second.area == pytest.approx(1.2)
    faced = plan_rolls(cloths, RollStock("oat", 1.3, turnable=False))
    assert faced.length_m == pytest.approx(4.0)


def test_drops_of_a_sloping_bay_follow_the_slope():
    """By hand: 3.0 m falling from 2.0 to 0.5 m in two drops of 1.5 and 1.5 m: 2.0 high, then 1.25."""
    bay = Cloth("a", 3.0, 2.0, ((0, 0), (3.0, 0), (3.0, 0.5), (0, 2.0)))
    plan = plan_rolls([bay], RollStock("oat", 1.5, turnable=False))
    assert plan.joints == (("a", (1.5,)),) and plan.length_m == pytest.approx(3.25)
    assert plan.net_m2 == pytest.approx(3.75)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(300, 1200), st.integers(300, 2400), st.integers(0, 2300), st.booleans()),
                min_size=1, max_size=7))  # fmt: skip
def test_shaped_cloths_lie_on_the_roll_apart_from_one_another(wanted):
    cloths = []
    for at, (w, h, short, left) in enumerate(wanted):
        low, high = min(short, h - 50) / 1000, h / 1000
        a, b = (low, high) if left else (high, low)
        ring = tuple(dict.fromkeys(((0, 0), (w / 1000, 0), (w / 1000, b), (0, a))))
        cloths.append(Cloth(f"bay {at}", w / 1000, h / 1000, ring))
    plan = plan_rolls(cloths, RollStock("oat", 1.4, 0.05))
    cut = [Polygon(s.outline_m) if s.outline_m else box(*s.at_m, s.at_m[0] + s.size_m[0], s.at_m[1] + s.size_m[1])
           for s in plan.strips]  # fmt: skip
    cut += [box(*o.at_m, o.at_m[0] + o.size_m[0], o.at_m[1] + o.size_m[1]) for o in plan.offcuts]
    whole = box(0, 0, plan.length_m, 1.4).buffer(1e-4)
    assert all(whole.contains(one) for one in cut)
    assert all(a.intersection(b).area < 1e-5 for i, a in enumerate(cut) for b in cut[:i])
    assert plan.length_m >= plan.lower_bound_m - 1e-6
    boxed = plan_rolls([Cloth(c.bay, c.width_m, c.height_m) for c in cloths], RollStock("oat", 1.4, 0.05))
    assert plan.length_m <= boxed.length_m + 1e-6
