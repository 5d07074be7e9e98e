"""A list draws only the rows that changed under the cursor, and shows what drawing all of them shows."""

from __future__ import annotations

from textual import events

from tracker.ui.ink import Line, spans
from tracker.ui.widgets.row_list import Row, RowList, Rows


def rows(count: int) -> list[Row]:
    """Rows with a heading before every seventh."""
    def draw(number: int) -> Row:
        def line(width: int) -> Line:
            drawn.append(number)
            return spans((f"row {number}", "strong"))
        return Row("" if number % 7 == 0 else f"k{number}", line)
    return [draw(number) for number in range(count)]


drawn: list[int] = []


async def test_a_step_down_draws_the_row_it_left_and_the_one_it_came_to(opened):
    async with opened(size=(80, 24)) as hands:
        await hands.press("3")
        lines = hands.app.screen.query_one(RowList)
        lines.show(Rows(rows(12)))
        await hands.settle()
        for key, changed in (("down", {1, 2}), ("down", {2, 3}), ("up", {2, 3})):
            drawn.clear()
            hands.app._driver.process_message(events.Key(key, None))
            await hands.pilot.pause()
            assert set(drawn) == changed


async def test_the_rows_left_alone_are_as_they_would_be_drawn_anew(opened):
    async with opened(size=(80, 24)) as hands:
        await hands.press("6")
        entries = hands.app.screen.query_one(RowList)
        for key in ("down", "down", "pagedown", "up", "end", "up", "home", "down"):
            await hands.press(key)
            before = hands.lines
            entries.refresh()
            await hands.settle()
            assert hands.lines == before


def test_places_are_those_of_the_first_row_with_a_key():
    made = Rows([Row("", lambda width: ()), Row("a", lambda width: ()), Row("b", lambda width: ()),
                 Row("a", lambda width: ())])
    assert made.places == {"a": 1, "b": 2}
