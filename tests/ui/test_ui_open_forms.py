"""An open form: what is typed the moment it opens, what another program does meanwhile, the clock that runs on."""

from __future__ import annotations

from datetime import timedelta

import pytest
from textual import events
from textual.keys import _character_to_key

from tracker.services import clock, stock
from tracker.services.undo import last_change
from tracker.ui import ask
from tracker.ui.forms.log import LogForm


def send(hands, *keys: str) -> None:
    """Keys that come faster than a program draws."""
    for key in keys:
        name = _character_to_key(key) if len(key) == 1 else key
        hands.app._driver.process_message(events.Key(name, key if len(key) == 1 else None))


async def elsewhere(hands) -> None:
    """Another program changed the store; the screens come to know."""
    await hands.look()
    await hands.settle()


@pytest.mark.parametrize("keys", [("l", "1", "a", "5"), ("c", "1", "2"), ("d", "3", "q")])
async def test_what_is_typed_the_moment_a_form_opens_stands_in_it(opened, keys):
    async with opened() as hands:
        await hands.press("3")
        send(hands, *keys)
        await hands.settle()
        assert hands.app.focused.value == "".join(keys[1:])


async def test_escape_right_behind_the_key_that_opens_a_form_leaves_it(opened):
    async with opened() as hands:
        send(hands, "l", "3", "escape")
        await hands.settle()
        assert hands.app.screen.NAME == "today" and len(hands.app.screen_stack) == 1


async def test_an_open_order_form_knows_what_another_program_ordered_and_keeps_what_is_typed(opened, desk):
    async with opened() as hands:
        await hands.press("3", "b", "enter")
        form = hands.app.screen
        item, was = form.choices.key, form.text("quantity")
        assert was, "it begins with what is short"
        form.set_focus(form.fields["due"])
        await hands.type("fri")
        stock.place_order(desk, item, was)
        await elsewhere(hands)
        assert (form.choices.key, form.text("quantity"), form.text("due")) == (item, "", "fri")
        assert hands.app.focused is form.fields["due"]


async def test_an_open_count_form_says_what_the_book_says_now(opened, desk):
    async with opened() as hands:
        await hands.press("3", "c")
        form = hands.app.screen
        form.choices.point("track screw")
        await hands.press("down", "up")
        await hands.type("4")
        stock.count_stock(desk, "track screw", "77")
        await elsewhere(hands)
        assert form.choices.key == "track screw" and form.text("quantity") == "4"
        assert "the book says 77" in form.fields["quantity"].placeholder


async def test_an_open_log_form_stays_on_its_work_though_it_was_logged_elsewhere(opened, desk):
    async with opened() as hands:
        await hands.press("l", "down")
        form = hands.app.screen
        key = form.choices.key
        await hands.type("1:30")
        target, step = key.split("\n")
        ask.log_words(desk, {"target": target, "step": step or None, "hours": "2"})
        await elsewhere(hands)
        assert form.choices.key == key and form.text("hours") == "1:30"
        assert "done" in next(line for line in hands.lines if "▸" in line and step in line)


async def test_undo_takes_back_what_the_form_shows_and_nothing_that_came_since(opened, desk):
    async with opened() as hands:
        await hands.press("u")
        stock.count_stock(desk, "track screw", "5")
        newest = last_change(desk)
        # The screens do not know yet.
        await hands.press("enter")
        assert "the last change is another one by now" in " ".join(hands.text.split())
        assert last_change(desk) == newest
        await elsewhere(hands)
        assert newest[:30] in hands.text
        await hands.press("enter")
        assert last_change(desk) != newest


async def test_an_open_check_answers_anew_when_stock_changes(opened, desk):
    async with opened() as hands:
        await hands.press("2", "k")
        form = hands.app.screen
        form.named.input.value = "high wall/window"
        await hands.settle()
        assert "under way" in hands.text
        stock.count_stock(desk, "wool board 50", "0")
        await elsewhere(hands)
        assert "! short" in hands.text and "under way" not in hands.text


async def test_hours_of_the_clock_run_on_in_an_open_log_form(opened, desk, monkeypatch):
    clock.turn(desk, "", "")
    began = desk.now()
    async with opened() as hands:
        monkeypatch.setattr(hands.app._desk, "now", lambda: began + timedelta(minutes=30))
        await hands.press("l")
        form = hands.app.screen
        assert isinstance(form, LogForm) and form.text("hours") == "0:30"
        monkeypatch.setattr(hands.app._desk, "now", lambda: began + timedelta(minutes=50))
        await form._look_at_clock().wait()
        await hands.settle()
        assert form.text("hours") == "0:50" and "0:50" in hands.text
        await hands.type("2")
        monkeypatch.setattr(hands.app._desk, "now", lambda: began + timedelta(minutes=70))
        await form._look_at_clock().wait()
        assert form.text("hours") == "2"


async def test_hours_of_the_clock_are_offered_to_its_own_work_and_taken_once(opened, desk, monkeypatch):
    clock.turn(desk, "high wall/window", "infill")
    began = desk.now()
    async with opened(size=(120, 40)) as hands:
        monkeypatch.setattr(hands.app._desk, "now", lambda: began + timedelta(minutes=30))
        await hands.press("w", "l")
        form = hands.app.screen
        assert (form.choice.target, form.text("hours")) == ("high wall/window", "0:30")
        await hands.press("down")
        assert form.choice.target != "high wall/window" and form.text("hours") == ""
        assert "the clock is for high wall/window" in hands.text
        await hands.press("up")
        form.fields["done"].value = "60%"
        await hands.press("enter")
        assert "The clock is cleared" in " ".join(hands.text.split())
        await hands.press("l")
        assert hands.app.screen.text("hours") == ""


@pytest.mark.parametrize("keys", [("l", "1", ".", "5", "tab", "s", "a", "w"), ("2", "l", "2", "tab", "o", "k")])
async def test_a_whole_entry_in_one_packet_goes_where_it_was_typed(opened, keys):
    async with opened() as hands:
        send(hands, *keys)
        await hands.settle()
        form = hands.app.screen
        tab = keys.index("tab")
        assert form.text("hours") == "".join(keys[keys.index("l") + 1:tab])
        assert form.text("note") == "".join(keys[tab + 1:])


async def test_search_words_in_one_packet_are_not_keys_of_the_view(opened):
    async with opened() as hands:
        await hands.press("6")
        send(hands, "/", "s", "l", "o", "p", "e", "escape", "down")
        await hands.settle()
        assert hands.app.screen.NAME == "diary" and hands.app.screen.words.value == "slope"
        assert not hands.app.screen.words.has_focus


async def test_a_form_opened_and_left_in_one_packet_gives_the_next_key_to_the_view(opened):
    async with opened() as hands:
        send(hands, "k", "escape", "3", "down", "c")
        await hands.settle()
        assert hands.app.screen.NAME == "count" and hands.app.screen_stack[-2].NAME == "stock"


@pytest.mark.parametrize("keys", [(*"l1", "enter", "enter"), (*"d3", "enter", "enter"), (*"c7", "enter", "enter")])
async def test_a_second_enter_stores_nothing_twice(opened, desk, keys):
    async with opened() as hands:
        await hands.press("3")
        before = len(desk.standing().entries), sum(map(len, desk.standing().book.values()))
        send(hands, *keys)
        await hands.settle()
        after = len(desk.standing().entries), sum(map(len, desk.standing().book.values()))
        # A log of set-out uses nothing from stock; the others are one movement each.
        assert sum(after) - sum(before) == 1


async def test_keys_behind_enter_are_for_what_follows(opened, desk):
    async with opened() as hands:
        send(hands, "l", "1", "enter", "2")
        await hands.settle()
        assert hands.app.current_mode == "room" and len(hands.app.screen_stack) == 1
        assert next(reversed(desk.standing().entries.values())).hours_h == 1.0
        send(hands, "l", "x", "enter", "escape", "3")
        await hands.settle()
        assert hands.app.current_mode == "stock", "the refused form is left, and the next key is the view's"


async def test_what_cannot_be_read_yet_does_not_take_the_cursor(opened, desk):
    async with opened() as hands:
        await hands.press("l")
        form = hands.app.screen
        form.set_focus(form.fields["spoiled"])
        await hands.type("wool")
        form.set_focus(form.fields["note"])
        stock.count_stock(desk, "track screw", "5")
        await elsewhere(hands)
        assert hands.app.focused is form.fields["note"] and "! spoiled" in hands.text


async def test_an_item_taken_out_of_what_was_used_is_out(opened, desk):
    async with opened() as hands:
        await hands.press("6", "enter")
        form = hands.app.screen
        assert "wool board 50" in form.text("used")
        form.fields["used"].value = ""
        await hands.press("enter")
    newest = max(desk.standing().entries)
    assert not [line for line in desk.standing().book.of_entry(newest) if line.movement.kind == "use"]


async def test_a_row_that_is_opened_is_logged_though_the_clock_runs_for_another(opened, desk):
    clock.turn(desk, "high wall/window", "infill")
    async with opened() as hands:
        await hands.press("down", "down", "enter")
        assert hands.app.screen.choice.target == "high wall/right"


async def test_words_typed_for_an_entry_that_was_taken_back_are_not_offered_to_another_of_its_number(opened, desk):
    ask.log_words(desk, {"target": "high wall/left", "step": "make-good", "hours": "1"})
    async with opened() as hands:
        await hands.press("6", "enter")
        number = hands.app.screen.entry.id
        await hands.type("2:00")
        await hands.press("escape")
        ask.undo_last(desk, last_change(desk))
        ask.log_words(desk, {"target": "high wall/right", "step": "set-out", "hours": "0:30"})
        await elsewhere(hands)
        await hands.press("home", "enter")
        assert (hands.app.screen.entry.id, hands.app.screen.text("hours")) == (number, "0:30")
