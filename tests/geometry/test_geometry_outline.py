"""Outlines: what is refused and why, areas, places."""

from math import cos, pi, sin

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.domain.geometry.outline import (
    area_m2,
    check_outline,
    extent_m,
    place,
    rectangle,
    signed_area_m2,
    tidy,
)

L_SHAPE = ((0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (1.0, 1.0), (1.0, 2.0), (0.0, 2.0))


@st.composite
def stars(draw):
    """Outlines that see all their corners from (0, 0): simple, often with corners that point inwards."""
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(0.4, 3.0), min_size=count, max_size=count))
    return tuple((r * cos(2 * pi * n / count), r * sin(2 * pi * n / count)) for n, r in enumerate(radii))


@pytest.mark.parametrize(("outline", "says"), [
    (((0, 0), (1, 0)), "at least 3 corners, this one has 2"),
    (((0, 0), (1, 0), (1, 1), (0, 0)), "corner 4 is corner 1 again"),
    (((0, 0), (1, 0), (1, 1), (1, 0), (0, 1)), "corner 4 is corner 2 again"),
    (((0, 0), (1, 1), (1, 0), (0, 1)), "its sides cross"),
    (((0, 0), (1, 0), (3, 0)), "no area"),
    (((0, 0), (3, 0), (3, 1), (1, 0), (0, 1)), "its sides cross"),
])
def test_refuses_what_is_no_outline(outline, says):
    with pytest.raises(Refused, match=says) as refusal:
        check_outline(tuple((float(x), float(y)) for x, y in outline), "plane north")
    assert str(refusal.value).startswith("plane north: ") and "\n" not in str(refusal.value)


def test_passes_a_shape_that_points_inwards_and_corners_on_a_side():
    check_outline(L_SHAPE, "bay")
    check_outline(tuple(reversed(L_SHAPE)), "bay")
    check_outline(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 1.0)), "bay")


def test_area_by_hand():
    assert area_m2(L_SHAPE) == pytest.approx(3 * 1 + 1 * 1)
    assert signed_area_m2(tuple(reversed(L_SHAPE))) == pytest.approx(-4)
    assert extent_m(L_SHAPE) == ((0, 0), (3, 2))


def test_rectangle_and_place():
    assert rectangle(1.2, 2.4) == ((0, 0), (1.2, 0), (1.2, 2.4), (0, 2.4))
    assert place(rectangle(1.5, 2.25), (0.25, 0.5)) == ((0.25, 0.5), (1.75, 0.5), (1.75, 2.75), (0.25, 2.75))


def test_place_goes_by_the_bounding_box():
    assert place(((1.0, 0.0), (2.0, 1.0), (0.0, 1.0)), (5.0, 5.0)) == ((6.0, 5.0), (7.0, 6.0), (5.0, 6.0))


@given(stars())
@settings(max_examples=60, deadline=None)
def test_area_as_shapely_has_it(outline):
    assert area_m2(outline) == pytest.approx(shapely.Polygon(outline).area, abs=1e-9)


@given(stars(), st.integers(0, 8), st.booleans(), st.floats(-20, 20), st.floats(-20, 20))
@settings(max_examples=60, deadline=None)
def test_area_keeps_whatever_corner_sense_or_place(outline, start, turned, dx, dy):
    start %= len(outline)
    other = tuple((x + dx, y + dy) for x, y in outline[start:] + outline[:start])
    other = other[::-1] if turned else other
    assert area_m2(other) == pytest.approx(area_m2(outline), abs=1e-9)
    check_outline(other, "bay")


@given(st.integers(0, 5), st.booleans())
def test_tidy_gives_one_writing_of_one_shape(start, turned):
    with_extra = L_SHAPE[:1] + ((1.0, 0.0), (2.5, 0.0)) + L_SHAPE[1:]
    other = with_extra[start:] + with_extra[:start]
    assert tidy(other[::-1] if turned else other) == L_SHAPE


def test_tidy_keeps_the_corner_where_two_points_all_but_meet():
    """Two points 30 nm apart on a bend: one of them goes, not both."""
    bend = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 1.1), (1.0 - 3e-8, 1.1), (0.0, 1.0))
    assert len(tidy(bend)) == 5
    assert area_m2(tidy(bend)) == pytest.approx(2.1)


@given(stars(), st.integers(0, 8))
@settings(max_examples=40, deadline=None)
def test_tidy_takes_out_halfway_points_and_keeps_the_area(outline, start):
    halfway = tuple(point for (x, y), (u, v) in zip(outline, outline[1:] + outline[:1], strict=True)
                    for point in ((x, y), ((x + u) / 2, (y + v) / 2)))
    start %= len(halfway)
    kept = tidy(halfway[start:] + halfway[:start])
    assert len(kept) <= len(outline) and area_m2(kept) == pytest.approx(area_m2(outline), abs=1e-5)
