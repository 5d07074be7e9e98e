"""Roll plans: the worked example, turning, remnants, and cloths that neither overlap nor leave the roll."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

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


@settings(max_examples=80, deadline=None)
@given(st.lists(sizes, min_size=1, max_size=8), st.booleans())
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
