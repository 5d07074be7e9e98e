"""What is done ahead, kept or left out for speed shows the same as doing it when it is asked for."""

from __future__ import annotations

import gc
from datetime import date
from threading import Event
from time import monotonic
from types import SimpleNamespace

import pytest
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.color import Color
from textual.renderables.background_screen import BackgroundScreen
from textual.widgets import Input

from tracker.services import diary, stock
from tracker.ui import garbage, quick_app
from tracker.ui.screens.today import _rows
from tracker.ui.views import VIEWS
from tracker.ui.widgets.dimmed import Dimmed


async def prepare(hands):
    """Lets the screens make every view ready, as they do while nobody types."""
    app = hands.app
    app.read_ahead_done = True
    for _ in range(2 * len(VIEWS)):
        app._last_key = monotonic() - 2 * quick_app.IDLE_S
        app._prepare_one()
        await hands.settle()


async def test_a_view_made_ready_ahead_looks_as_one_that_is_visited(opened):
    async with opened() as hands:
        visited = {}
        for place, _ in enumerate(VIEWS, start=1):
            await hands.press(str(place))
            visited[place] = hands._drawn()
    async with opened() as hands:
        await prepare(hands)
        assert hands.app.current_mode == "today" and all(hands.app._built(view.id) for view in VIEWS)
        for place, _ in enumerate(VIEWS, start=1):
            await hands.press(str(place))
            assert hands._drawn() == visited[place]


async def test_no_view_is_built_while_somebody_types(opened):
    async with opened() as hands:
        hands.app.read_ahead_done = True
        await hands.press("down")
        hands.app._prepare_one()
        assert [view.id for view in VIEWS if hands.app._built(view.id)] == ["today"]


async def test_a_view_out_of_sight_is_read_again_after_a_change(opened, desk):
    async with opened() as hands:
        await prepare(hands)
        hands.app._last_key = monotonic() + 3600  # somebody types, so that no view is made ready by the clock
        stock.count_stock(desk, "track screw", "5")
        await hands.look()
        assert not hands.app._built("stock")[0].ready
        await prepare(hands)
        assert hands.app._built("stock")[0].ready
        await hands.press("3")
        assert "track screw             5" in hands.text.replace("  ·", "")


async def test_a_look_changed_elsewhere_is_the_look_of_every_view(opened):
    async with opened(theme="day") as hands:
        await hands.press("2")
        wanted = hands._drawn()
    async with opened() as hands:
        await prepare(hands)
        hands.app.action_theme()
        await hands.settle()
        await hands.press("2")
        assert hands._drawn() == wanted


async def test_an_answer_is_worked_out_once_for_each_change(opened, desk):
    asked = []

    def job(desk, name):
        asked.append(name)
        return len(diary.read_diary(desk).entries)

    async with opened() as hands:
        before = await hands.app.kept(job, "a")
        assert await hands.app.kept(job, "a") == before and asked == ["a"]
        diary.log_words(desk, diary.DayWords("high wall/right", "set-out"))
        assert await hands.app.kept(job, "a") == before + 1 and asked == ["a", "a"]


@pytest.mark.parametrize(("keys", "view", "typed"), [
    ("l 1 . 5", "today", "1.5"), ("l 1 escape 3", "stock", None)], ids=["into the form", "not after an escape"])
async def test_keys_typed_while_a_form_waits_for_the_store_are_meant_for_it(opened_late, keys, view, typed):
    gate = Event()
    async with opened_late(gate) as hands:
        for key in keys.split():
            hands.app.post_message(events.Key("full_stop" if key == "." else key, key if len(key) == 1 else None))
        await hands.pilot.pause()
        gate.set()
        await hands.settle()
        assert hands.app.current_mode == view
        field = hands.app.focused
        assert (field.value if isinstance(field, Input) else None) == typed


async def test_enter_in_the_shopping_list_opens_the_order_of_that_item(opened):
    async with opened() as hands:
        await hands.press("3", "b", "down")
        item = hands.app.screen.rows.key
        await hands.press("enter")
        assert "Order" in hands.text and hands.app.screen.choices.key == item
        assert hands.app.screen.query_one("#field-quantity", Input).value
        await hands.press("enter")
        assert f"of {item}, due" in hands.text and hands.app.screen.item == item


@pytest.mark.parametrize("width", [58, 78, 118])
def test_a_reason_that_asks_for_something_is_never_cut(width):
    reason = ("Short of 3 boards of wool board 100 (2 boards held for earlier work), 1 board of it on order; order it. "
              "Short of 2 pieces of eye bolt; order it.")
    work = SimpleNamespace(target="high wall/window", step="infill", verdict="short", reason=reason)
    first, *beneath = ["".join(text for text, _ in row.draw(width)) for row in _rows(work, 26, width)]
    assert "high wall/window · infill" in first and all(len(line) <= width + 1 for line in beneath)
    assert " ".join(" ".join(beneath).split()) == reason


def test_a_dimmed_view_is_dimmed_as_textual_does_it():
    tint = Color(10, 20, 30, 0.55)
    styles = [None, Style(), Style.parse("bold red on #203040"), Style.parse("#fefefe"), Style.parse("on blue"),
              Style.parse("green") + Style.from_meta({"@click": "app.quit"})]
    segments = [Segment("word", style) for style in styles * 2]
    dimmed = list(Dimmed.process_segments(segments, tint))
    assert dimmed == list(BackgroundScreen.process_segments(segments, tint))
    assert not any(segment.style and segment.style.meta for segment in dimmed)


def test_garbage_is_searched_for_between_keys_and_once_for_a_while(monkeypatch):
    searched, now = [], [100.0]
    monkeypatch.setattr(garbage, "monotonic", lambda: now[0])
    monkeypatch.setattr(garbage.gc, "collect", lambda: searched.append(now[0]))
    monkeypatch.setattr(garbage.gc, "freeze", lambda: None)
    before = gc.get_threshold()
    found = garbage.Garbage()
    found.begin()
    for second in range(101, 110):
        now[0] = float(second)
        found.look(last_key=104.0)
    found.end()
    assert searched == [104.0 + garbage.IDLE_S] and gc.get_threshold() == before




async def test_a_change_made_elsewhere_before_a_tick_is_not_lost(opened, desk):
    async with opened() as hands:
        await hands.press("3", "7", "p")
        await hands.settle()
        stock.count_stock(desk, "track screw", "5")
        await hands.press("space")
        await hands.look()
        await hands.press("3")
        assert "track screw             5" in hands.text.replace("  ·", "")


async def test_a_panel_that_is_open_shows_what_another_program_ordered(opened, desk):
    async with opened() as hands:
        await hands.press("3", "b")
        assert "eye bolt" in hands.text
        stock.place_order(desk, "eye bolt", "1 pack")
        await hands.look()
        await hands.settle()
        assert "What is here and on order is enough" in hands.text or "eye bolt" not in "\n".join(hands.lines[5:12])


async def test_a_new_day_is_shown_by_every_view(opened, monkeypatch):
    async with opened() as hands:
        await hands.look()
        assert "Sun 22 Mar" in hands.text
        monkeypatch.setattr(hands.app._desk, "today", lambda: date(2026, 3, 23))
        await hands.look()
        await hands.settle()
        assert "Mon 23 Mar" in hands.text
        await hands.press("3")
        assert "Mon 23 Mar" in hands.text
