"""The clock outlives the program, rounds up to five minutes, and is cleared by the entry that takes its hours."""

from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.clock import (
    clock_answer,
    hours_text,
    log_clocked,
    read_clock,
    reset,
    rounded_h,
    start,
    stop,
    turn,
)
from tracker.services.desk import Desk, open_desk
from tracker.services.diary import DayWords, read_diary
from tracker.services.drafts import keep_drafts, read_drafts
from tracker.services.setup import new_site
from tracker.services.undo import last_change

TODAY = date(2026, 3, 22)
BOOTH = Path(__file__).resolve().parent.parent / "data" / "geometry_booth.toml"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    new_site(tmp_path / "site.db", BOOTH, lambda: TODAY).close()
    return tmp_path / "site.db"


@pytest.fixture
def desk(path: Path, wall) -> Desk:
    return open_desk(path, lambda: TODAY, wall)


def test_it_runs_on_while_no_program_is_open(desk: Desk, path: Path, wall) -> None:
    start(desk)
    desk.close()
    wall.on(minutes=42, seconds=10)
    again = open_desk(path, lambda: TODAY, wall)
    assert clock_answer(again).running and clock_answer(again).elapsed_s == 42 * 60 + 10
    said = stop(again).sentence
    assert "0:42:10" in said and "0:45" in said and not clock_answer(again).running
    wall.on(hours=3)
    assert clock_answer(again).elapsed_s == 42 * 60 + 10, "a clock that stands counts nothing"


def test_it_goes_on_from_what_it_read_and_starting_twice_loses_nothing(desk: Desk, wall) -> None:
    turn(desk)
    wall.on(minutes=10)
    assert "already" in start(desk).sentence
    turn(desk)
    wall.on(minutes=99)
    turn(desk)
    wall.on(minutes=5)
    assert clock_answer(desk).elapsed_s == 15 * 60
    assert "0:15:00" in reset(desk).sentence
    assert clock_answer(desk).elapsed_s == 0 and not read_clock(desk).running


def test_a_system_clock_set_back_takes_nothing_away(desk: Desk, wall) -> None:
    start(desk)
    wall.on(minutes=30)
    stop(desk)
    start(desk)
    wall.on(hours=-2)
    assert clock_answer(desk).elapsed_s == 30 * 60


@pytest.mark.parametrize(("seconds", "text", "hours"), [
    (0, "0:00", 0.0), (1, "0:05", 5 / 60), (300, "0:05", 5 / 60), (301, "0:10", 10 / 60), (5400, "1:30", 1.5),
    (3 * 3600 + 1, "3:05", 3 + 5 / 60)])
def test_hours_are_rounded_up_to_five_minutes(seconds: int, text: str, hours: float) -> None:
    assert hours_text(seconds) == text and rounded_h(seconds) == pytest.approx(hours)


def test_an_entry_takes_the_hours_and_clears_the_clock(desk: Desk, wall) -> None:
    start(desk, "north/left", "track")
    assert (read_clock(desk).target, read_clock(desk).step) == ("north/left", "track")
    wall.on(hours=1, minutes=27)
    outcome = log_clocked(desk, DayWords(target="north/left", step="set-out", hours="clock"))
    assert read_diary(desk).entries[0].hours_h == 1.5
    assert "1:27:00" in outcome.sentence and clock_answer(desk).elapsed_s == 0


def test_an_entry_that_is_refused_or_of_another_day_leaves_the_clock(desk: Desk, wall) -> None:
    with pytest.raises(Refused, match="has not run"):
        log_clocked(desk, DayWords(target="north/left", step="set-out", hours="clock"))
    start(desk)
    wall.on(minutes=20)
    with pytest.raises(Refused, match="sanding"):
        log_clocked(desk, DayWords(target="north/left", step="sanding", hours="clock"))
    log_clocked(desk, DayWords(target="north/left", step="set-out", hours="1:00", on="2026-03-21"))
    log_clocked(desk, DayWords(target="north/right", step="set-out"))
    assert clock_answer(desk).elapsed_s == 20 * 60
    wall.on(hours=13)
    with pytest.raises(Refused, match="left running"):
        log_clocked(desk, DayWords(target="east/middle", step="set-out", hours="clock"))


def test_hours_typed_for_other_work_leave_the_clock_running(desk: Desk, wall) -> None:
    start(desk, "north/left", "track")
    wall.on(minutes=20)
    log_clocked(desk, DayWords(target="north/right", step="set-out", hours="0:40"))
    assert clock_answer(desk).elapsed_s == 20 * 60 and read_clock(desk).running
    log_clocked(desk, DayWords(target="north/left", step="set-out", hours="0:20"))
    assert clock_answer(desk).elapsed_s == 0


def test_neither_clock_nor_drafts_are_steps_of_undo(desk: Desk, path: Path, wall) -> None:
    version = desk.data_version()
    start(desk)
    keep_drafts(desk, {"log x": {"note": "two “[b]” pieces"}, "count wool": {"quantity": "4"}})
    wall.on(seconds=1)
    keep_drafts(desk, {"count wool": None, "log y": {"note": "later"}, "log x": {"note": "changed"}})
    assert last_change(desk) is None and desk.data_version() == version
    again = open_desk(path, lambda: TODAY, wall)
    assert [(draft.form, dict(draft.fields)) for draft in read_drafts(again)] == [
        ("log y", {"note": "later"}), ("log x", {"note": "changed"})]
    assert read_drafts(again)[0].saved == wall.at
    keep_drafts(again, {"log x": {}, "log y": None})
    assert read_drafts(desk) == ()
