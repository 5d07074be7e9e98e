"""What is drawn to scale: offcuts on the rack, the room unfolded; and what is said while an answer is worked out."""

from __future__ import annotations

import threading

import pytest
from textual.geometry import Size

from tracker.services.cut_answers import BoardView, CutView, StickCutView, StickView, TakeOff
from tracker.services.drafts import keep_drafts
from tracker.services.overview import site_view
from tracker.services.stock_answers import OffcutView
from tracker.ui.ink import width_of
from tracker.ui.states import SIGNS
from tracker.ui.widgets.bay_sheet import bay_lines
from tracker.ui.widgets.drawing import Margin, draw
from tracker.ui.widgets.rack import rack_lines
from tracker.ui.widgets.shapes import Dimension, Label, Polygon, Tiles
from tracker.ui.widgets.unfolded import sign_line, unfolded


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


def test_a_dimension_runs_from_end_to_end_and_two_that_meet_share_a_tick():
    box = Polygon(((0, 0), (40, 0), (40, 8), (0, 8)))
    shapes = [box, Dimension((0, 0), (10, 0), "1 m"), Dimension((10, 0), (40, 0), "3 m"),
              Dimension((0, 0), (40, 0), "4 m", row=1)]
    # A row of 40 cells: 80 dots for 40 of the drawing's measure, so 10 of it end in the tenth cell or the next.
    *_, one, two = text(draw(shapes, Size(40, 10), true=False, margin=Margin(bottom=2)))
    assert two == "├" + " 4 m ".center(38, "─") + "┤"
    assert (one[0], one[-1]) == ("├", "┤") and one.index("┼") in (9, 10)
    assert " 1 m " in one[:one.index("┼")] and " 3 m " in one[one.index("┼"):]


def test_a_dimension_without_room_for_its_ticks_is_the_figure_alone():
    box = Polygon(((0, 0), (40, 0), (40, 8), (0, 8)))
    *_, row = text(draw([box, Dimension((10, 0), (14, 0), "400 mm")], Size(40, 10), true=False,
                        margin=Margin(bottom=1)))
    assert row.strip() == "400 mm"


def test_tiles_are_drawn_where_they_can_be_told_apart_and_left_out_elsewhere():
    box = Polygon(((0, 0), (8, 0), (8, 4), (0, 4)))
    tiles = Tiles(tuple(((x, 0.0), (x + 1, 0.0), (x + 1, 4.0), (x, 4.0)) for x in range(8)), "way")

    def drawn(width):
        size = Size(width, 12)
        return draw([box, tiles], size) != draw([box], size)
    # Eight tiles side by side: 16 cells are two for each, less the half that the last dot takes.
    assert [drawn(width) for width in (8, 14, 17, 30)] == [False, False, True, True]


async def test_board_joints_of_the_bay_under_the_cursor_are_drawn_in_the_plane(opened, desk):
    from tracker.services.take_off import take_off
    async with opened(size=(120, 40)) as hands:
        await hands.press("2", "down", "down")
        tiles, = [shape for shape in hands.app.screen.drawing._shapes if isinstance(shape, Tiles)]
        pieces = take_off(desk, "high wall/right").pieces
        assert set(tiles.outlines) == {piece.outline_m for piece in pieces if piece.bay == "high wall/right"}
        row = next(line for line in hands.lines if "▸right◂" in line)
        above = hands.lines[hands.lines.index(row) - 3]
        assert above[row.index("▸right◂") - 8:].count("⡇") >= 3, "the sides of the bay and a joint between"


async def test_two_cautions_leave_the_cut_list_in_sight_on_a_small_terminal(opened):
    async with opened(size=(80, 24)) as hands:
        await hands.press("2", "down", "down")
        beside = [line[45:] for line in hands.lines[3:-1]]
        head = next(place for place, line in enumerate(beside) if "Cut list" in line)
        assert sum(bool(line.strip()) for line in beside[head + 1:]) >= 2
        assert sum("! " in line for line in beside[:head]) == 2 and not any("…" in line for line in beside)
        said = " ".join(" ".join(beside).split())
        assert "set-out + ready track . wait" in said and "net infill 3.22 m2 gain 2.32 m2" in said
        await hands.pilot.resize_terminal(120, 40)
        await hands.settle()
        assert "gain, mean 2.32 m2" in hands.text, "a row to each figure where there is room"


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("tight", [False, True])
def test_nothing_beside_the_drawing_is_wider_than_its_pane(desk, unit, tight):
    bays = [bay for plane in site_view(desk).planes for bay in plane.bays]
    ring = ((0.0, 0.0), (1.195, 0.0), (1.19, 0.59), (0.6, 0.6), (0.0, 0.59))
    cut = CutView("slope/near 12", "slope/near", (0.0, 0.0), (1.195, 0.595), False, ring)
    board = BoardView("wool board 100", "O123", (1.2, 0.6), (cut,), (), 1, (), ())
    stick = StickView("edge track 100", "new", 2.5, (StickCutView("slope/near a", "slope/near", 2.203,
                                                                  ("mitre", "double mitre")),), 0.3, 1, ())
    cuts = TakeOff("site", None, (), (board,), (), (stick,), (), False)
    for bay in bays:
        lines = bay_lines(bay, cuts, unit, 34, tight)
        assert max(map(width_of, lines)) <= 34
        said = " ".join(" ".join(text(lines)).split())
        assert "shaped" in said and "mitre / double mitre" in said and "offcut O123" in said
        assert said.count("for slope/near") == (0 if bay.target == "slope/near" else 2)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_key_of_the_unfolded_room_has_every_sign_at_any_width(desk, width):
    for bay in [None, *(bay for plane in site_view(desk).planes for bay in plane.bays)]:
        line = sign_line(bay, width)
        assert width_of(line) <= width
        assert [words for words, _ in line if words in SIGNS.values()] == list(SIGNS.values())
        assert width < 80 or bay is None or f"▸{bay.target}◂" in text([line])[0]


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
