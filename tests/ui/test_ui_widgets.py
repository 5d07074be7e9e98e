"""The widgets of our own: lines, lists, bars and drawings, each for itself."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.app import App, ComposeResult
from textual.geometry import Size
from textual.theme import BUILTIN_THEMES

from tracker.ui import figures
from tracker.ui.ink import fit, spans, width_of, wrapped
from tracker.ui.inks import INKS, inks_of
from tracker.ui.themes import DAY, NIGHT
from tracker.ui.widgets.bars import bar, beside, big_width
from tracker.ui.widgets.drawing import Margin, draw
from tracker.ui.widgets.raster import Raster
from tracker.ui.widgets.row_list import Row, RowList
from tracker.ui.widgets.shapes import Label, Polygon, Stroke


@settings(max_examples=60)
@given(st.text(max_size=30), st.integers(0, 40), st.booleans())
def test_a_fitted_text_has_exactly_its_width(text, width, right):
    shown = fit(text.replace("\n", " "), width, right)
    assert cell_len(shown) == width


@settings(max_examples=60)
@given(st.lists(st.floats(0, 50), min_size=1, max_size=5), st.integers(5, 80))
def test_a_bar_fills_its_width_and_shows_every_part_that_is_there(amounts, width):
    drawn = bar([(amount, str(place), "plain") for place, amount in enumerate(amounts)], sum(amounts), width)
    assert width_of(drawn) == width
    text = "".join(part for part, _ in drawn)
    assert all(str(place) in text for place, amount in enumerate(amounts) if amount > 1e-9)


def test_a_bar_is_to_scale():
    drawn = bar([(2.0, "#", "plain"), (1.0, "=", "plain")], 4.0, 40)
    assert "".join(text for text, _ in drawn) == "#" * 20 + "=" * 10 + " " * 10


def test_a_big_word_is_three_rows_of_one_width():
    for word in ("YES", "NO", "DONE"):
        rows = beside(word, "ready", [spans("a")])
        assert len(rows) == 3 and {width_of(row[:3]) for row in rows} == {big_width(word)}


def test_wrapping_keeps_the_lead_clear():
    lines = wrapped("one two three four five", "plain", 14, spans((" ! ", "short")))
    assert [line[0][0] for line in lines] == [" ! ", "   ", "   "]


def _text(lines):
    return ["".join(text for text, _ in line) for line in lines]


def test_a_square_is_drawn_square():
    # A cell is two dots wide and four high, so a square of 20 x 20 dots takes 10 cells by 5.
    shapes = [Polygon(((0, 0), (1, 0), (1, 1), (0, 1)), hatch="solid")]
    lines = _text(draw(shapes, Size(40, 5)))
    assert [len(line.strip()) for line in lines] == [10] * 5
    assert all(set(line.strip()) == {"⣿"} for line in lines[1:-1])


def test_a_hole_stays_empty_and_the_top_is_up():
    outline = ((0, 0), (4, 0), (4, 4), (0, 4))
    hole = ((0, 2), (4, 2), (4, 4), (0, 4))
    lines = _text(draw([Polygon(outline, (hole,), hatch="solid", edge=None)], Size(20, 10)))
    assert not "".join(lines[:4]).strip() and all(line.strip() for line in lines[6:9])


@pytest.mark.parametrize("hatch", ["sparse", "slant", "weave", "rain"])
def test_hatches_differ_by_how_much_they_cover(hatch):
    raster = Raster(20, 10)
    raster.fill([[(0, 0), (40, 0), (40, 40), (0, 40)]], "plain", hatch)
    dots = sum(bin(ord(char) - 0x2800).count("1") for line in _text(raster.lines()) for char in line if char != " ")
    share = {"sparse": 1 / 24, "slant": 1 / 4, "weave": 1 / 2, "rain": 1 / 8}[hatch]
    assert dots / 1600 == pytest.approx(share, abs=0.02)


def test_labels_do_not_cover_one_another_and_stay_inside():
    shapes = [Stroke(((0, 0), (10, 10))), Label((5, 5), "first"), Label((5, 5), "second"),
              Label((10, 10), "at the corner")]
    text = "\n".join(_text(draw(shapes, Size(30, 10), margin=Margin(bottom=1))))
    assert "first" in text and "second" not in text and "at the corner" in text


def test_a_drawing_without_room_is_empty():
    assert draw([Polygon(((0, 0), (1, 0), (1, 1)))], Size(0, 0)) == []
    assert len(draw([], Size(5, 2))) == 2


class OneList(App[None]):
    def __init__(self, count: int) -> None:
        super().__init__()
        self.drawn: list[int] = []
        self.chosen: list[str] = []
        self.count = count

    def compose(self) -> ComposeResult:
        def row(number: int) -> Row:
            def show(width: int):
                self.drawn.append(number)
                return spans(f"[row] {number}")
            return Row("" if number % 10 == 0 else str(number), show)
        yield RowList([row(number) for number in range(self.count)])

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        self.chosen.append(event.key)


async def test_a_list_draws_only_what_is_in_sight_and_passes_over_headings(quick_keys):
    app = OneList(20_000)
    async with app.run_test(size=(40, 12)) as pilot:
        rows = app.query_one(RowList)
        rows.focus()
        await pilot.pause()
        assert rows.key == "1" and len(set(app.drawn)) <= 12
        for _ in range(9):
            await pilot.press("down")
        assert rows.key == "11"
        await pilot.press("up", "enter")
        assert app.chosen == ["9"]
        await pilot.press("end")
        assert rows.key == "19999"
        await pilot.press("down", "pagedown", "home")
        assert rows.key == "1"
        rows.show([])
        assert rows.key is None
        await pilot.press("down", "enter")


async def test_the_cursor_keeps_its_row_when_others_come_and_go(quick_keys):
    app = OneList(5)
    async with app.run_test(size=(40, 12)) as pilot:
        rows = app.query_one(RowList)
        rows.point("3")
        rows.show([Row(str(number), lambda width: ()) for number in (9, 3, 1)])
        await pilot.pause()
        assert rows.key == "3"
        rows.show([Row(str(number), lambda width: ()) for number in (9, 1)])
        assert rows.key == "1", "its neighbour, where it went away"


def test_every_role_has_a_style_in_every_look():
    for theme in (NIGHT, DAY, *BUILTIN_THEMES.values()):
        app = App()
        app.register_theme(theme)
        app.theme = theme.name
        assert set(inks_of(app)) == set(INKS)
        assert all(style.color is not None for style in inks_of(app).values())


def test_colours_come_from_the_theme_only():
    from pathlib import Path

    import tracker.ui
    sheet = (Path(tracker.ui.__file__).parent / "sabinry.tcss").read_text(encoding="utf-8")
    rules = [line.split("{", 1)[1] for line in sheet.splitlines() if "{" in line]
    assert rules and not any("#" in rule for rule in rules)


def test_figures_are_written_one_way():
    assert [figures.number(amount) for amount in (4.0, 2.8, 13.36294, 268.0)] == ["4", "2.8", "13.36", "268"]
    assert figures.hours(2.25) == "2:15" and figures.hours(None) == ""
    assert [figures.percent(part) for part in (0, 0.5, 0.999, 1)] == ["0 %", "50 %", "99 %", "100 %"]
    assert figures.listed(["a", "b", "c"]) == "a, b and c" and figures.listed([]) == ""
