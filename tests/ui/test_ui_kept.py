"""What outlives a form, a view and the program: the clock, and what was half typed."""

from __future__ import annotations

from tracker.services.clock import clock_answer, read_clock, start
from tracker.services.diary import log_day, read_diary
from tracker.services.diary_answers import DayLog
from tracker.services.drafts import keep_drafts, read_drafts


async def written(hands, desk, count=1):
    """Waits until so many drafts stand in the store."""
    for _ in range(200):
        if len(read_drafts(desk)) == count:
            return
        await hands.pilot.pause(0.01)
    raise AssertionError(read_drafts(desk))


async def test_the_clock_runs_on_over_all_views_and_gives_its_hours_to_the_entry(opened, desk, wall):
    async with opened() as hands:
        await hands.press("w")
        assert "> 0:00:00" in hands.lines[0] and "clock runs for high wall/left" in hands.lines[-2]
        wall.on(minutes=41, seconds=7)
        for key in "23456":
            await hands.press(key)
            hands.app.show_clock()
            await hands.settle()
            assert "> 0:41:07" in hands.lines[0], key
        await hands.press("w")
        assert "‖ 0:41:07" in hands.lines[0] and "0:45" in hands.lines[-2]
        await hands.press("1", "l")
        assert hands.app.screen.fields["hours"].value == "0:45"
        assert "clock 0:41:07, rounded up to 5 min" in hands.text
        await hands.press("tab")
        await hands.type("quick")
        await hands.press("enter")
        entry = read_diary(desk).entries[0]
        assert entry.hours_h == 0.75 and entry.note == "quick"
        assert not clock_answer(desk).elapsed_s and "0:41" not in hands.lines[0]
        assert read_drafts(desk) == ()


async def test_a_clock_started_in_another_terminal_shows_and_nothing_moves(opened, desk, wall):
    async with opened() as hands:
        before = hands.lines[0]
        start(desk)
        wall.on(seconds=5)
        hands.app.look_at_clock()
        await hands.settle()
        assert "> 0:00:05" in hands.lines[0]
        # Only the day's place changes: the views stand where they stood.
        assert hands.lines[0][:60] == before[:60]
        command = next(one for one in hands.app.get_system_commands(hands.app.screen) if one.title.startswith("Clock"))
        command.callback()
        await hands.settle()
        assert not read_clock(desk).running and hands.lines[0] == before


async def test_a_clock_left_running_offers_no_hours(opened, desk, wall):
    start(desk)
    wall.on(hours=14)
    async with opened() as hands:
        await hands.press("l")
        assert hands.app.screen.fields["hours"].value == ""
        assert "the clock ran 14:00:00: say the hours" in hands.text


async def test_what_is_typed_is_in_the_store_a_moment_later_and_is_offered_again(opened, desk):
    async with opened() as hands:
        await hands.press("l", "tab")
        await hands.type("[two] pieces behind the door")
        await written(hands, desk)
        (draft,) = read_drafts(desk)
        assert draft.fields == {"note": "[two] pieces behind the door"} and draft.form.startswith("log high wall/left")
    async with opened() as hands:
        await hands.press("l")
        assert hands.app.screen.fields["note"].value == "[two] pieces behind the door"
        assert "typed before, on Sun 22 Mar at" in hands.text
        await hands.press("f8")
        assert hands.app.screen.fields["note"].value == "" and "typed before" not in hands.text
        await hands.press("escape")
        await written(hands, desk, 0)


async def test_a_draft_never_goes_to_other_work_unseen(opened, desk):
    keep_drafts(desk, {"log high wall/window\ninfill": {"note": "cut round the catch", "done": "60 %"}})
    async with opened() as hands:
        await hands.press("l")
        form = hands.app.screen
        assert form.choice.target == "high wall/left" and form.fields["note"].value == ""
        here = next(place for place, line in enumerate(hands.lines) if "▸█" in line or "▸high wall/left" in line)
        assert "high wall/window · infill" in hands.lines[here + 1] and "typed before" in hands.lines[here + 1]
        await hands.press("down")
        assert form.fields["note"].value == "cut round the catch" and form.fields["done"].value == "60 %"
        await hands.press("enter")
        entry = read_diary(desk).entries[0]
        assert (entry.target, entry.note, entry.done) == ("high wall/window", "cut round the catch", 0.6)
        assert read_drafts(desk) == ()


async def test_text_comes_along_to_other_work_that_has_none_of_its_own(opened, desk):
    keep_drafts(desk, {"log high wall/window\ninfill": {"note": "cut round the catch"}})
    async with opened() as hands:
        await hands.press("l", "tab")
        await hands.type("mine")
        form = hands.app.screen
        await hands.press("down")
        assert form.fields["note"].value == "cut round the catch"
        await hands.press("up")
        assert form.fields["note"].value == "mine"
        await hands.press("down", "down")
        assert form.fields["note"].value == "cut round the catch" and form.choice.target != "high wall/window"
        await hands.press("escape", "l")
        assert hands.app.screen.fields["note"].value == "mine"


async def test_a_half_typed_count_stays_with_its_item(opened, desk):
    async with opened() as hands:
        await hands.press("3", "c")
        await hands.type("12")
        await hands.press("escape", "down", "c")
        assert hands.app.screen.choices.key == "wool board 100"
        assert hands.app.screen.fields["quantity"].value == ""
        await hands.press("up")
        assert hands.app.screen.choices.key == "wool board 50"
        assert hands.app.screen.fields["quantity"].value == "12"


async def test_a_field_emptied_on_purpose_stays_empty(opened, desk, wall):
    start(desk)
    wall.on(minutes=20)
    async with opened() as hands:
        await hands.press("l", "delete")
        assert hands.app.screen.fields["hours"].value == ""
        await hands.press("escape", "l")
        assert hands.app.screen.fields["hours"].value == ""


async def test_a_photo_is_completed_checked_and_listed(opened, desk, tmp_path, monkeypatch):
    folder = tmp_path / "photos"
    folder.mkdir()
    (folder / "left wall.JPG").write_bytes(b"")
    (folder / "notes.txt").write_bytes(b"")
    monkeypatch.setenv("HOME", str(tmp_path))
    async with opened() as hands:
        await hands.press("l")
        field = hands.app.screen.fields["photos"]
        field.focus()
        await hands.settle()
        await hands.type("~/pho")
        await hands.press("right")
        assert field.value == "~/photos/"
        await hands.press("right")
        assert field.value == "~/photos/left wall.JPG" and "+ found" in hands.text
        await hands.type("; ~/gone.jpg")
        assert "! not there: gone.jpg" in hands.text
        await hands.press("enter", "6")
        entry = read_diary(desk).entries[0]
        assert entry.photos == (str(folder / "left wall.JPG"), str(tmp_path / "gone.jpg"))
        assert "gone.jpg" in hands.text, "listed with the entry"


async def test_the_diary_lists_photos_and_a_correction_keeps_or_changes_them(opened, desk, tmp_path):
    log_day(desk, DayLog("high wall/left", "make-good", photos=(str(tmp_path / "a.jpg"),)))
    async with opened(size=(120, 40)) as hands:
        await hands.press("6")
        assert "a.jpg" in hands.text
        await hands.press("enter")
        field = hands.app.screen.fields["photos"]
        assert field.value.endswith("a.jpg")
        field.focus()
        await hands.settle()
        await hands.type("b.jpg")
        await hands.press("enter")
        assert read_diary(desk).entries[0].photos[0].endswith("b.jpg")
