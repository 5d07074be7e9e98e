"""How far a bay reaches past which side of its plane, and how much two have in common; figures by construction."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.geometry.bays import DRAWN_WITHIN_M
from tracker.domain.geometry.lying import past_m, plane_faults, say
from tracker.domain.site import Bay, Opening, Outline, Plane
from tracker.measures import show_length

WALL = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.5), (0.0, 2.5))
GABLE = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 4.0), (0.0, 2.0))
STAIR = ((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (5.0, 2.0), (5.0, 4.0), (0.0, 4.0))
"""Its lower right quarter is cut away."""


def box(x: float, y: float, wide: float, high: float) -> Outline:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def mm(length_m: float) -> str:
    return show_length(length_m, "mm")


def inches(length_m: float) -> str:
    return show_length(length_m, "in")


def plane_of(*bays: Outline, outline: Outline = WALL, openings: tuple[Outline, ...] = ()) -> Plane:
    return Plane(room="r", name="p", kind="wall", outline=outline, surface="brick",
                 openings=tuple(Opening(f"o{n}", one, "glass") for n, one in enumerate(openings, 1)),
                 bays=tuple(Bay("r", "p", f"b{n}", "one", "wall", one) for n, one in enumerate(bays, 1)))


@given(st.sampled_from(["the left side", "the right side", "the bottom", "the top"]),
       st.floats(DRAWN_WITHIN_M + 0.001, 0.9), st.floats(0, 4.5), st.floats(0, 1.4), st.booleans())
def test_a_bay_pushed_out_is_told_with_the_side_and_by_how_much(side, by, x, y, clockwise):
    bay = {"the left side": box(-by, y, 1.5, 1.0), "the right side": box(6.0 - 1.5 + by, y, 1.5, 1.0),
           "the bottom": box(x, -by, 1.5, 1.0), "the top": box(x, 2.5 - 1.0 + by, 1.5, 1.0)}[side]
    around = WALL[::-1] if clockwise else WALL
    (one,) = past_m(bay, around, DRAWN_WITHIN_M)
    assert one.facing == side and one.by_m == pytest.approx(by)
    (fault,) = plane_faults(plane_of(bay, outline=around))
    assert (fault.code, fault.number) == ("outside", 0)
    assert say(fault, mm) == (f"bay b1 reaches outside its plane, {mm(one.by_m)} past {side}: "
                              "move it or make it smaller")


def test_two_sides_are_told_the_farther_first_and_in_the_unit_of_the_site():
    (fault,) = plane_faults(plane_of(box(5.0, 1.0, 1.0762, 2.0)))
    assert "500 mm past the top and 76.2 mm past the right side" in say(fault, mm)
    assert "1' 7-11/16\" past the top and 3\" past the right side" in say(fault, inches)  # 0.5 m = 19.685 in


def test_a_bay_around_its_plane_is_past_every_side():
    found = past_m(box(-0.1, -0.2, 6.4, 3.1), WALL, DRAWN_WITHIN_M)
    assert {one.facing: pytest.approx(one.by_m) for one in found} == {
        "the left side": 0.1, "the bottom": 0.2, "the right side": 0.3, "the top": 0.4}


@given(st.floats(0.02, 0.9))
def test_a_slanted_side_is_named_by_its_corners(by):
    """On the slope x + y = 6; the bay's lower left corner is `by` less 1.5 / sqrt(2) off it, its upper right one
    2 / sqrt(2) farther."""
    off = by / 2**0.5
    bay = box(2.5 + off, 2.0 + off, 0.5, 1.5)
    (one, *_rest) = past_m(bay, GABLE, DRAWN_WITHIN_M)
    # Measured independently: the farthest that shapely finds the bay from the half-plane under the slope.
    under = shapely.Polygon([(4.0, 2.0), (2.0, 4.0), (-40.0, 46.0), (-40.0, -40.0), (46.0, -40.0)])
    assert one.side == ((4.0, 2.0), (2.0, 4.0)) and one.facing is None
    assert one.by_m == pytest.approx(max(under.distance(shapely.Point(corner)) for corner in bay))
    assert one.by_m == pytest.approx(by + (0.5 + 1.5 - 1.5) / 2**0.5)


@given(st.floats(0.02, 1.5))
def test_a_corner_turning_inwards_is_no_line_to_be_past(by):
    """In the stair's plane a bay may lie to the right of x = 3 above y = 2, and must not below it."""
    assert not plane_faults(plane_of(box(2.0, 2.0, 3.0, 2.0), outline=STAIR))
    (fault,) = plane_faults(plane_of(box(1.0, 0.2, 2.0 + by, 1.0), outline=STAIR))
    assert [(one.side, one.by_m) for one in fault.past] == [(((3.0, 0.0), (3.0, 2.0)), pytest.approx(by, abs=2e-7))]
    assert "past the side from (3000 mm, 0 mm) to (3000 mm, 2000 mm)" in say(fault, mm)


def test_a_bay_apart_from_its_plane_is_told_with_the_sides_near_it():
    """Its lower left corner is 0.5 m from x = 3; its lower right one 1.4 m from y = 2, and nearer to that."""
    (fault,) = plane_faults(plane_of(box(3.5, 0.6, 1.0, 1.0), outline=STAIR))
    assert {one.side: pytest.approx(one.by_m) for one in fault.past} == {
        ((3.0, 0.0), (3.0, 2.0)): 0.5, ((3.0, 2.0), (5.0, 2.0)): 1.4}


@given(st.floats(0.006, 1.0), st.floats(0.006, 1.9))
def test_an_overlap_is_told_with_its_width_and_height(wide, high):
    plane = plane_of(box(0.5, 0.1, 1.0, 2.0), box(1.5 - wide, 2.1 - high, 1.2, 2.0), outline=box(0, 0, 9, 9))
    (fault,) = plane_faults(plane)
    assert (fault.other, fault.name, fault.number) == ("b1", "b2", 1)
    assert fault.common_m == pytest.approx((wide, high), abs=1e-6)


def test_a_plane_that_could_not_be_read_bounds_nothing():
    plane = plane_of(box(0, 0, 2, 2), box(1.9, 0, 2, 2), outline=())
    assert [say(fault, mm) for fault in plane_faults(plane, bounded=False)] == [
        "bays b1 and b2 overlap by 100 mm x 2000 mm: move one or make it smaller"]
