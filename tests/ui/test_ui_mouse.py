"""The mouse goes where a drawing, a grid or a chart shows a thing; a second click on it opens it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point as ShapelyPoint
from shapely import Polygon as ShapelyPolygon

from tracker.ui.widgets.drawing import Scale
from tracker.ui.widgets.outlines import part_holds


async def click(hands, column, row):
    await hands.pilot.click(offset=(column, row))
    await hands.settle()


async def click_on(hands, word):
    """Clicks in the middle of the last such word on the screen."""
    row, line = [(row, line) for row, line in enumerate(hands.lines) if word in line and row > 1][-1]
    await click(hands, line.rindex(word) + len(word) // 2, row)


async def test_a_click_on_the_room_goes_to_a_bay_or_plane_and_a_second_one_opens_it(opened):
    async with opened() as hands:
        await hands.press("2")
        room = hands.app.screen
        await click_on(hands, " right ")
        assert room.target == "high wall/right"
        await click(hands, 2, 12)
        assert room.target == "high wall/right" and not room._zoomed, "there is nothing beside the plane"
        await click_on(hands, "▸right◂")
        assert room._zoomed and room.target == "high wall/right"
        await click_on(hands, " 5 ")
        assert not room._zoomed
        await hands.press("a")
        await click_on(hands, "~")
        assert room.target == "slope/far"
        await click_on(hands, "floor")
        assert room.plane.name == "floor" and room.bay is None, "its name is as good as the plane"
        await click_on(hands, "▸floor◂")
        assert not room._unfolded and "No bay on this plane." in hands.text


async def test_a_click_on_a_cell_chooses_its_row_and_its_step(opened):
    async with opened() as hands:
        await hands.press("4")
        screen, lines = hands.app.screen, hands.lines
        row = next(place for place, line in enumerate(lines) if "slope/near" in line)
        steps = [lines[1].index(step) + 2 for step in ("set-out", "track", "infill", "fabric", "make-good")]
        await click(hands, steps[2], row)
        assert (screen.target, screen.step) == ("slope/near", "infill")
        await click(hands, steps[4], row)
        assert (screen.target, screen.step) == ("slope/near", "make-good")
        assert "slope/near · make-good" in hands.text, "the reason beneath is that of the cell"
        await click(hands, 4, row + 1)
        assert (screen.target, screen.step) == ("slope/mid", "make-good"), "the name alone leaves the step"
        await click(hands, steps[0], row)
        assert hands.app.screen is screen
        await click(hands, steps[0], row)
        assert hands.app.screen is not screen and "slope/near · set-out" in hands.text, "the second one logs the step"


async def test_a_click_on_a_chart_chooses_the_band(opened):
    async with opened(size=(120, 40)) as hands:
        await hands.press("5")
        sound, lines = hands.app.screen, hands.lines
        row = next(place for place, line in enumerate(lines) if "▸500" in line)
        left, right = sound.decay.region.x, sound.area.region.x
        for chart, name, band in ((left, "2k", 4), (right, "1k", 3), (left, "4k", 5), (right, "125", 0)):
            await click(hands, lines[row].index(name, chart), row - 3)
            assert sound.band == band
        await click(hands, lines[row].index("125", right), row - 3)
        assert "The sum behind 125 Hz" in hands.text


whole = st.integers(0, 12)


@settings(max_examples=120)
@given(st.tuples(whole, whole), st.tuples(whole, whole), st.tuples(whole, whole), whole, whole)
def test_a_point_lies_in_a_part_as_shapely_has_it(one, two, three, x, y):
    at = x + 0.37, y + 0.41
    hole = ((4, 4), (8, 4), (8, 8), (4, 8))
    box = ((0, 0), (12, 0), (12, 12), (0, 12))
    assert part_holds([(box, [hole])], at) == ShapelyPolygon(box, [hole]).contains(ShapelyPoint(at))
    corner = ShapelyPolygon((one, two, three))
    if corner.area:
        assert part_holds([((one, two, three), ())], at) == corner.contains(ShapelyPoint(at))


@settings(max_examples=60)
@given(st.floats(-9, 9), st.floats(-9, 9), st.floats(0.5, 90), st.floats(0.5, 90))
def test_a_dot_shows_the_point_that_falls_on_it(x, y, across, up):
    scale = Scale(3.5, -2.0, across, 40.25, 1.0, up)
    assert scale.point(scale.dot((x, y))) == pytest.approx((x, y), abs=1e-5)
