"""Worth: what each remaining phase and bay brings on top of what is up, ranked; and what if it were otherwise."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.domain.sound.build_up_report import BuildUpLayers, build_up_report, changed
from tracker.domain.sound.calibration import as_up
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces
from tracker.domain.sound.targets import TargetBand
from tracker.domain.sound.worth import Change, Outlay, ranked, what_if, worth

PLASTER = (0.15, 0.10, 0.06, 0.04, 0.04, 0.05)
CARPET = (0.02, 0.04, 0.08, 0.20, 0.35, 0.40)
BOARD = (0.22, 0.82, 1.21, 1.10, 1.02, 1.05)
PHASES = ("ceiling", "walls", "hang")


def bay(key, phase, area, up=0.0, faces=1, alpha=BOARD):
    return BaySound(key, phase, area, alpha, PLASTER, faces, up)


def room(up=(0.0, 0.0, 0.0, 0.0), axis="x"):
    a, b, c, d = up
    walls = bay("a", "walls", 6.0, a), bay("b", "walls", 4.0, b)
    planes = (
        PlaneSound("ends", "wall", axis, (Patch(18.0, PLASTER),)),
        PlaneSound("sides", "wall", "y", (Patch(25.0, PLASTER),), walls),
        PlaneSound("lid", "ceiling", None, (Patch(18.0, PLASTER),), (bay("c", "ceiling", 10.0, c),)),
        PlaneSound("floor", "floor", None, (Patch(18.0, CARPET),)),
        PlaneSound("cloud", "cloud", None, (), (bay("d", "hang", 2.0, d, 2),)),
    )
    return RoomSurfaces("den", 45.0, 20.0, 50.0, planes)


shares = st.sampled_from((0.0, 0.3, 0.75, 1.0))


@settings(max_examples=25, deadline=None)
@given(st.tuples(shares, shares, shares, shares), st.sampled_from(("x", None)), st.booleans())
def test_the_state_after_is_that_of_a_room_with_just_that_up(up, axis, cap):
    """Held against counting the whole room again with the bay, or every bay of the phase, put up."""
    den = room(up, axis)
    now = {one.key: one.installed_fraction for _, one in den.bays}
    rows = worth(den, PHASES, cap=cap)
    assert {row.target for row in rows if row.kind == "bay"} == {key for key, share in now.items() if share < 1.0}
    for row in rows:
        done = [one.key for _, one in den.bays if row.target in (one.key, one.phase)]
        again = room_sound(as_up(den, now | dict.fromkeys(done, 1.0)), PHASES, cap).now
        for figure in ("area_m2", "sabine_s", "eyring_s", "low_s", "high_s"):
            assert getattr(row.after, figure) == pytest.approx(getattr(again, figure), rel=1e-9), (row.target, figure)
        before = room_sound(den, PHASES, cap).now
        gained = [a - b for a, b in zip(again.area_m2, before.area_m2, strict=True)]
        assert row.gain_m2 == pytest.approx(gained, abs=1e-9)
        assert row.mean_gain_m2 == pytest.approx(sum(gained) / 6, abs=1e-9)


def test_a_phases_gain_is_the_sum_of_its_bays():
    rows = {row.target: row for row in worth(room(), PHASES)}
    both = [a + b for a, b in zip(rows["a"].gain_m2, rows["b"].gain_m2, strict=True)]
    assert rows["walls"].gain_m2 == pytest.approx(both) and rows["walls"].area_m2 == 10.0


def test_phases_come_in_order_each_before_its_bays():
    assert [row.target for row in worth(room(), PHASES)] == ["ceiling", "c", "walls", "a", "b", "hang", "d"]


def test_what_is_done_is_left_out():
    assert [row.target for row in worth(room((1.0, 0.5, 1.0, 1.0)), PHASES)] == ["walls", "b"]


def test_bands_that_come_into_target_and_fall_out():
    """Sabine's bare times are .769 1.065 1.400 1.151 .784 .629 s, after the ceiling .716 .517 .47 .45 .386 .347."""
    target = TargetBand("own", (0.5, 0.45, 0.4, 0.4, 0.6, 0.3), (0.8, 0.55, 0.6, 0.6, 0.9, 0.36), "own")
    row = worth(room(), PHASES, target)[0]
    assert row.comes_in_hz == (250, 500, 1000, 4000) and row.falls_out_hz == (2000,)


def test_gain_per_unit_of_money_and_per_hour():
    """By definition, on the ceiling's 10 m2 of boards capped at 1 over plaster."""
    spent = {"ceiling": Outlay(200.0, 8.0), "walls": Outlay(None, 4.0)}
    rows = {row.target: row for row in worth(room(), PHASES, None, spent)}
    mean = 10 * (0.22 + 0.82 + 4.0 - sum(PLASTER)) / 6
    assert rows["ceiling"].mean_gain_m2 == pytest.approx(mean)
    assert rows["ceiling"].per_money == pytest.approx(mean / 200)
    assert rows["ceiling"].per_hour == pytest.approx(mean / 8)
    assert rows["walls"].per_money is None and rows["walls"].per_hour is not None


def test_ranking_puts_what_is_paid_for_first_and_the_unknown_last():
    spent = {"ceiling": Outlay(100.0, 10.0), "walls": Outlay(0.0, 2.0), "hang": Outlay(None, None)}
    rows = [row for row in worth(room(), PHASES, None, spent) if row.kind == "phase"]
    assert [row.target for row in ranked(rows, "money")] == ["walls", "ceiling", "hang"]
    assert [row.target for row in ranked(rows, "hour")] == ["walls", "ceiling", "hang"]
    spent["hang"] = Outlay(1.0, 0.1)
    rows = [row for row in worth(room(), PHASES, None, spent) if row.kind == "phase"]
    assert [row.target for row in ranked(rows, "money")] == ["walls", "hang", "ceiling"]
    assert [row.target for row in ranked(rows, "hour")] == ["hang", "walls", "ceiling"]
    # 10 m2 each of ceiling and wall gain alike; the cloud's two faces of 2 m2 cover nothing
    assert [row.target for row in ranked(rows, "gain")] == ["ceiling", "walls", "hang"]


def test_en12354_6_case3_as_a_bay_still_to_do(check):
    """EN 12354-6:2003 annex E: lining nine tenths of a long wall turns 2.26 into 10.21 m2; half of that, 6.24."""
    wall = (0.04,) * 6
    lining = BaySound("long/lining", "one", 9.81, (0.85,) * 6, wall)
    planes = (
        PlaneSound("floor", "floor", None, (Patch(12.39, (0.05,) * 6),)),
        PlaneSound("ceiling", "ceiling", None, (Patch(12.39, (0.02,) * 6),)),
        PlaneSound("long", "wall", "y", (Patch(10.90, wall),), (lining,)),
        PlaneSound("rest", "wall", "y", (Patch(24.0, wall),)),
    )
    den = RoomSurfaces("annex E", 29.75, 24.333, 50.0, planes)
    assert worth(den, ("one",))[0].after.area_m2[3] == pytest.approx(check("en12354-6-case3")["expected"][0], abs=0.005)
    half = what_if(den, {"long/lining": Change(area_share=0.5)})
    assert worth(half, ("one",))[0].after.area_m2[3] == pytest.approx(2.2633 + 9.81 / 2 * 0.81, abs=0.005)
    assert den.planes[2].bays == (lining,)


def test_what_if_the_board_were_twice_as_thick():
    """50 mm of 48 kg/m3: mean of Cox, Bies and Long .723 at 250 Hz; 100 mm: Bies 1.00 and Long 1.24, counted as 1."""
    thin = build_up_report(BuildUpLayers(0.05, 48.0))
    thick = build_up_report(changed(BuildUpLayers(0.05, 48.0), thickness_m=0.10))
    den = room()
    plan = replace(den, planes=tuple(
        replace(p, bays=tuple(replace(b, alpha_new=thin.used.alpha) for b in p.bays)) for p in den.planes))
    other = what_if(plan, {"c": Change(thick.used.alpha, thick.used.source)})
    before, after = (next(r for r in worth(one, PHASES) if r.target == "c") for one in (plan, other))
    assert after.gain_m2[1] - before.gain_m2[1] == pytest.approx(10 * (1.0 - 0.723), abs=0.01)
    assert "100 mm" in next(b for _, b in other.bays if b.key == "c").source


def test_what_is_up_stays_as_it_is():
    """A bay half up: only the other half can still be changed."""
    den = room((0.0, 0.0, 0.5, 0.0))
    better = (0.9,) * 6
    other = what_if(den, {"c": Change(better)})
    now, then = room_sound(den, PHASES), room_sound(other, PHASES)
    assert then.now.area_m2 == pytest.approx(now.now.area_m2)
    (row,) = [r for r in worth(other, PHASES) if r.target == "c"]
    assert row.gain_m2 == pytest.approx([5 * (0.9 - p) for p in PLASTER])


@settings(max_examples=30, deadline=None)
@given(st.tuples(shares, shares, shares, shares))
def test_an_empty_what_if_changes_nothing(up):
    den = room(up)
    same = what_if(den, {key: Change() for key in "abcd"})
    for one, two in zip(worth(den, PHASES), worth(same, PHASES), strict=True):
        assert one.target == two.target
        assert one.after.area_m2 == pytest.approx(two.after.area_m2)
        assert one.after.high_s == pytest.approx(two.after.high_s)


@pytest.mark.parametrize(
    ("changes", "names"),
    [({"x": Change()}, "no bay x"), ({"c": Change(area_share=0.0)}, "share above 0"), ({"c": Change((0.5,))}, "six")],
)
def test_a_what_if_that_makes_no_sense_is_refused(changes, names):
    with pytest.raises(Refused, match=names):
        what_if(room(), changes)
