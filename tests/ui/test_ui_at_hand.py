"""What must stay at hand: the keys on a small terminal, how to take back, the way out, signs that tell things apart."""

from __future__ import annotations

import threading
from math import hypot

import pytest

from tracker.services.desk import open_desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measurements import MeasuredWords, type_measurement
from tracker.services.overview import site_view
from tracker.services.undo import last_change, undo_last
from tracker.ui import ask
from tracker.ui.plain import plain_text
from tracker.ui.view import own_bindings
from tracker.ui.views import VIEWS, view_class
from tracker.ui.widgets.bay_shapes import along, below, layers
from tracker.ui.widgets.foot import KeyLine


@pytest.mark.parametrize("view", [view.id for view in VIEWS])
def test_no_key_is_dropped_at_80_columns_and_undo_keeps_its_word(view):
    from tracker.ui.app import SabinryApp
    here, everywhere = own_bindings(view_class(view)), own_bindings(SabinryApp)
    line = KeyLine(here, everywhere).line(80)
    text = "".join(word for word, _ in line)
    assert len(text) == 80 and " u undo " in text and text.endswith(" ? keys ")
    actions = {role.partition("@")[2] for _, role in line}
    for scope, binding in [*(("screen", b) for b in here), *(("app", b) for b in everywhere)]:
        assert not binding.show or {f"{scope}.{binding.action}", binding.action} & actions, binding.key


async def test_what_a_key_does_is_not_cut_in_the_list_of_keys(opened):
    async with opened() as hands:
        for view in "1234567":
            await hands.press(view, "question_mark")
            assert not any("\u2026" in line[3:76] for line in hands.lines[3:-2]), view
            await hands.press("escape")


async def test_with_nothing_to_take_back_there_is_nothing_to_accept(opened, store):
    desk = open_desk(store)
    while last_change(desk) is not None:
        undo_last(desk)
    desk.close()
    async with opened() as hands:
        await hands.press("u")
        assert "Nothing to take back" in hands.text and "take it back" not in hands.text
        await hands.press("enter")
        assert len(hands.app.screen_stack) == 1


async def test_escape_leaves_a_form_that_waits_for_the_store(quick_keys, store, wall):
    from tracker.ui.app import SabinryApp

    gate = threading.Event()

    def opens():
        gate.wait(60)
        return open_desk(store)

    app = SabinryApp(opens)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await pilot.press("escape")
        gate.set()
        await app.db(lambda desk: None)
        await pilot.pause(0.05)
        assert len(app.screen_stack) == 1


def test_a_half_done_bay_is_drawn_half_filled(desk):
    bay = next(bay for plane in site_view(desk).planes for bay in plane.bays
               if any(cell.step == "infill" and 0 < cell.progress < 1 for cell in bay.steps))
    share = next(cell.progress for cell in bay.steps if cell.step == "infill")
    part = bay.outlines[0][0]
    low, high = min(y for _, y in part), max(y for _, y in part)
    filled = [shape for shape in layers(bay) if shape.hatch == "slant"]
    assert max(y for shape in filled for _, y in shape.outline) == pytest.approx(low + share * (high - low))
    assert below(((0, 0), (2, 0), (2, 2), (0, 2)), 1.0) == ((0, 0), (2, 0), (2, 1.0), (0, 1.0))
    assert below(((0, 1), (2, 1), (2, 2)), 0.5) == ()


def test_the_size_drawn_at_a_bay_is_that_of_its_edge_as_a_tape_reads_it():
    # A leaning bay: 1.507 m over all, 1.5 m along its bottom, its left side by Pythagoras.
    leaning = [(0.0, 0.0), (1.5, 0.0), (1.507, 2.2), (0.016, 2.2)]
    assert along(leaning, 1) == pytest.approx(1.5) and along(leaning, 0) == pytest.approx(hypot(0.016, 2.2))
    assert along([(0.0, 1.0), (1.0, 0.0), (2.0, 1.0)], 1) == pytest.approx(2.0), "a corner has no length"


async def test_a_bay_whose_track_is_up_is_measured_inside_it(opened, desk):
    async with opened() as hands:
        await hands.press("2", "m")
        assert "(x) inside the fixed track" in hands.text
        await hands.press("escape", "up", "m")
        assert "(x) on the surface" in hands.text, "nothing is up on the bay before"


async def test_the_field_with_the_cursor_is_told_without_colour(opened):
    async with opened() as hands:
        await hands.press("5", "m")
        assert "\u25b8125 Hz" in hands.text and "e.g. 0.62" in hands.text
        await hands.press("tab")
        assert "\u25b8250 Hz" in hands.text and "\u25b8125 Hz" not in hands.text


async def test_enter_ends_a_search_and_the_next_one_opens_what_it_found(opened, desk):
    async with opened() as hands:
        await hands.press("6", "slash")
        await hands.type("sill")
        await hands.press("enter")
        assert "Correct entry" not in hands.text and "Stopped at the sill" in hands.text
        await hands.press("enter")
        assert "Correct entry" in hands.text


async def test_a_cursor_on_the_newest_entry_stays_on_the_newest(opened, desk):
    async with opened() as hands:
        await hands.press("6")
        log_day(desk, DayLog("high wall/left", "make-good", note="just now"))
        await hands.look()
        await hands.settle()
        assert hands.app.screen.entry.note == "just now"
        await hands.press("down")
        kept = hands.app.screen.entry.id
        log_day(desk, DayLog("high wall/right", "set-out", note="later"))
        await hands.look()
        await hands.settle()
        assert hands.app.screen.entry.id == kept


async def test_refusals_name_the_fields_of_the_form(opened):
    async with opened() as hands:
        await hands.press("5", "r", "enter")
        assert "! file: type the path" in hands.text
        hands.app.screen.refuse("signal: name the file that `sweep write` wrote with --signal")
        await hands.settle()
        assert "--" not in hands.text.replace("---", "") and "(in the field sweep)" in " ".join(hands.text.split())


async def test_the_bars_of_the_sound_view_stay_in_sight_whatever_was_measured(opened, desk):
    for on, phase in (("2026-03-02", "bare"), ("2026-03-22", "")):
        type_measurement(desk, MeasuredWords("125=0.5 250=0.6 500=0.6 1k=0.5 2k=0.5 4k=0.4", phase=phase, on=on))
    async with opened(size=(80, 24)) as hands:
        await hands.press("5")
        assert "door end" in hands.text and "nothing to buy " in hands.text


async def test_what_was_said_goes_when_another_program_changes_the_site(opened, desk):
    async with opened() as hands:
        hands.app.say("Logged it.")
        ask.log_words(desk, {"target": "high wall/right", "step": "set-out", "hours": "1"})
        hands.app.look()
        await hands.settle()
        assert "Logged it." not in hands.text


def test_plain_characters_tell_apart_what_signs_tell_apart():
    for apart in (("\u2881\u2814", "\u2895\u2895"), ("\u2593", "\u2592"), ("\u2588", "\u2593")):
        assert len({plain_text(one) for one in apart}) == len(apart)
    assert "?" not in plain_text("\u2581\u2582\u2583\u2584\u2585\u2586\u2587\u2588")


async def test_the_enter_key_is_a_word_where_there_is_no_sign_for_it(opened):
    async with opened(plain=True) as hands:
        await hands.press("3")
        assert "enter movements" in hands.lines[-1]
        await hands.press("o")
        assert any(" enter order" in line for line in hands.lines[3:-2]), hands.text


@pytest.mark.parametrize("theme", ["ansi-dark", "ansi-light", "night", "day"])
async def test_the_row_under_the_cursor_is_not_written_in_the_colour_of_its_ground(opened, theme):
    async with opened(theme=theme) as hands:
        await hands.press("3")
        row = next(place for place, line in enumerate(hands.lines) if line.startswith("▸"))
        words = [segment.style for segment in hands.app.screen._compositor.render_strips()[row]
                 if any(char.isalnum() for char in segment.text) and segment.style]
        assert words and all(style.reverse or style.color != style.bgcolor for style in words)
