"""What is drawn to scale: offcuts on the rack, the room unfolded; and what is said while an answer is worked out."""

from __future__ import annotations

import threading

import pytest
from textual.geometry import Size

from tracker.services.drafts import keep_drafts
from tracker.services.overview import site_view
from tracker.services.stock_answers import OffcutView
from tracker.ui.ink import width_of
from tracker.ui.widgets.drawing import Label, Polygon, draw
from tracker.ui.widgets.elevation import unfolded
from tracker.ui.widgets.rack import rack_lines


def text(lines):
    return ["".join(words for words, _ in line) for line in lines]


def offcut(name, length, width=None):
    return OffcutView(name, "wool", length, width, "north/left, 2026-03-04", "")


def test_boards_on_the_rack_stand_to_one_scale():
    lines = text(rack_lines([offcut("O2", 0.3, 0.6), offcut("O1", 0.6, 1.2)], "mm", 76, 8))
    drawn = lines[:6]
    # 1.2 m take all six rows, 24 dots, so 0.6 m take three; a cell is two dots wide, so 0.6 m are six cells.
    assert len(lines) == 8 and all(line.strip() for line in drawn)
    assert [len(line.strip()) <= 7 for line in drawn[:2]] == [True, True], "only the taller one reaches up here"
    assert all(len(line.strip()) > 7 for line in drawn[3:6])
    assert "O1 600 mm × 1200 mm" in " ".join(lines) and "O2 300 mm × 600 mm" in " ".join(lines)


@pytest.mark.parametrize("rows", [4, 7, 11])
def test_the_rack_keeps_to_its_rows_and_says_what_it_leaves_out(rows):
    many = [offcut(f"O{number}", 0.9 - number / 50, 0.4) for number in range(1, 31)]
    lines = rack_lines(many, "mm", 60, rows)
    assert len(lines) == rows and max(width_of(line) for line in lines) <= 80
    assert "smaller" in " ".join(text(lines))
    assert "no offcuts" in text(rack_lines([], "mm", 60, rows))[0]


def test_sticks_are_lines_to_scale():
    lines = text(rack_lines([offcut("O1", 1.0), offcut("O2", 0.5)], "mm", 76, 4))
    assert lines[0].count("─") == 2 * lines[1].count("─")


@pytest.mark.parametrize("aspect", [0.5, 2.0, 6.0])
def test_the_unfolded_room_has_every_plane_and_none_over_another(desk, aspect):
    planes = site_view(desk).planes
    shapes = unfolded(planes, planes[0].key, None, aspect)
    # The plane under the cursor is outlined once more.
    outlines = dict.fromkeys(shape.outline for shape in shapes if isinstance(shape, Polygon) and shape.hatch is None
                             and shape.edge in ("accent", "muted"))
    boxes = [(min(x for x, _ in one), max(x for x, _ in one), min(y for _, y in one), max(y for _, y in one))
             for one in outlines]
    assert len(boxes) == len(planes)
    for place, (left, right, low, high) in enumerate(boxes):
        for other in boxes[place + 1:]:
            assert right < other[0] or other[1] < left or high < other[2] or other[3] < low
    names = {shape.text.strip("▸◂") for shape in shapes if isinstance(shape, Label)}
    assert {plane.name for plane in planes} <= names


def test_wide_paper_puts_ceilings_beside_floors_and_high_paper_above_the_walls(desk):
    planes = site_view(desk).planes

    def rows(aspect):
        drawn = text(draw(unfolded(planes, "", None, aspect), Size(80, 40)))
        named = [line for line in drawn if any(plane.name in line for plane in planes)]
        return len(named)
    assert (rows(0.5), rows(6.0)) == (3, 2)


async def test_a_long_answer_is_said_to_be_worked_out_and_the_keys_go_on(opened):
    async with opened() as hands:
        hands.app.say("Counted.")
        gate = threading.Event()
        waiting = hands.app.run_worker(hands.app.db(lambda desk: gate.wait(60)))
        while "working it out" not in hands.lines[-2]:
            await hands.pilot.pause(0.05)
        await hands.pilot.press("question_mark")
        assert "Keys" in hands.text
        await hands.pilot.press("escape")
        gate.set()
        await waiting.wait()
        await hands.settle()
        assert hands.lines[-2].endswith("Counted.")


async def test_what_was_typed_before_is_told_at_the_start(opened, desk):
    keep_drafts(desk, {"count edge track 50": {"quantity": "4"}, "log high wall/window\ninfill": {"note": "cut"}})
    async with opened() as hands:
        assert "not stored: log high wall/window · infill, and 1 more" in hands.lines[-3]
        await hands.press("3", *["down"] * 2, "c", "f8", "escape")
        assert "Typed before" not in hands.text, "what was said is no longer so"


async def test_the_clock_stands_on_the_tape_at_any_size(opened, wall):
    async with opened(size=(120, 40)) as hands:
        await hands.press("w")
        wall.on(hours=11, minutes=2)
        for size in ((60, 20), (80, 24), (120, 40)):
            await hands.pilot.resize_terminal(*size)
            hands.app.show_clock()
            await hands.settle()
            assert "> 11:02:00" in hands.lines[0] and "▸1 Today◂" in hands.lines[0], size
            assert len(hands.lines[0]) <= size[0]
