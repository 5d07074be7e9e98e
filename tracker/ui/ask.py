"""What the screens ask of the services; each name is imported on the database thread, so that painting never waits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from tracker.domain.errors import Refused

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from tracker.services import answers, cut_answers, diary_answers, site_answers, stock_answers
    from tracker.services.clock import Clock
    from tracker.services.desk import Desk
    from tracker.services.drafts import Draft
    from tracker.services.sound_answers import BuildUpView, ExplainedView, RoomSound, WorthReport, WorthRow
    from tracker.services.sweep_answers import SweepComparison, SweepList
    from tracker.services.sweeping import ReadingBySteps


def write_fault(error: BaseException) -> Path | None:
    """Adds an unexpected error to the log file; its path, or None where that can't be written."""
    from tracker.services import fault_log
    return fault_log.write_fault(error)


def status(desk: Desk) -> answers.Status:
    from tracker.services import overview
    return overview.status(desk)


def site_view(desk: Desk) -> site_answers.SiteView:
    from tracker.services import overview
    return overview.site_view(desk)


def site_unit(desk: Desk) -> str:
    return desk.standing().site.unit


def check_start(desk: Desk, target: str, step: answers.Step | None = None) -> answers.Check:
    from tracker.services import readiness
    return readiness.check_start(desk, target, step)


def whole_diary(desk: Desk) -> None:
    """Reads the whole diary and the book, so that a later look at them need not wait for it."""
    from tracker.services import diary
    diary.read_diary(desk)


def stock(desk: Desk) -> stock_answers.Stock:
    from tracker.services import stock
    return stock.stock(desk)


def movements(desk: Desk, item: str) -> tuple[stock_answers.MovementView, ...]:
    from tracker.services import stock
    return stock.movements(desk, item)


def place_order(desk: Desk, item: str, quantity: str, due: str) -> answers.Outcome:
    from tracker.measures import MeasureError, read_date
    from tracker.services import stock
    try:
        when = read_date(due, desk.today(), what="due") if due else None
    except MeasureError as error:
        raise Refused(str(error)) from error
    return stock.place_order(desk, item, quantity, when)


def take_delivery(desk: Desk, item: str, quantity: str, lot: str | None) -> answers.Outcome:
    from tracker.services import stock
    return stock.take_delivery(desk, item, quantity, lot)


def count_stock(desk: Desk, item: str, quantity: str) -> answers.Outcome:
    from tracker.services import stock
    return stock.count_stock(desk, item, quantity)


def spoil_stock(desk: Desk, item: str, quantity: str) -> answers.Outcome:
    from tracker.services import stock
    return stock.spoil_stock(desk, item, quantity)


def return_stock(desk: Desk, item: str, quantity: str) -> answers.Outcome:
    from tracker.services import stock
    return stock.return_stock(desk, item, quantity)


def take_off(desk: Desk, target: str | None, everything: bool = False) -> cut_answers.TakeOff:
    from tracker.services import take_off
    return take_off.take_off(desk, target, everything)


def shopping(desk: Desk, target: str | None = None) -> stock_answers.Shopping:
    from tracker.services import buying
    return buying.shopping(desk, target)


def log_choices(desk: Desk) -> tuple[diary_answers.LogChoice, ...]:
    from tracker.services import diary
    return diary.log_choices(desk)


def preview_words(desk: Desk, words: dict[str, Any]) -> diary_answers.LogPreview:
    from tracker.services import diary
    return diary.preview_log(desk, diary.read_words(desk.standing(), diary.DayWords(**words), desk.today()))


def log_words(desk: Desk, words: dict[str, Any], by_clock: bool = False) -> answers.Outcome:
    from tracker.services import clock, diary
    return clock.log_clocked(desk, diary.DayWords(**(words | {"hours": clock.CLOCK} if by_clock else words)))


def read_diary(desk: Desk, words: str, lessons: bool) -> diary_answers.Diary:
    from tracker.services import diary
    return diary.read_diary(desk, words, None, lessons)


def correct_words(desk: Desk, entry: int, words: dict[str, Any]) -> answers.Outcome:
    from tracker.services import diary
    return diary.correct_entry(desk, entry, diary.DayWords(**words))


def replaced_by(desk: Desk, entry: int) -> int | None:
    found = desk.standing().entries.get(entry)
    return found.corrected_by if found else None


def last_change(desk: Desk) -> str | None:
    from tracker.services import undo
    return undo.last_change(desk)


def undo_last(desk: Desk, only: str) -> answers.Outcome:
    from tracker.services import undo
    return undo.undo_last(desk, only)


def measure_again(desk: Desk, target: str, lengths: dict[str, str], fitted: bool) -> answers.Outcome:
    from tracker.services import measuring
    return measuring.measure_again(desk, target, lengths, fitted)


def readings_before(desk: Desk, target: str, fitted: bool) -> dict[str, tuple[float | None, bool]]:
    from tracker.services import measuring
    return measuring.readings_before(desk, target, fitted)


class SoundPage(NamedTuple):
    """What the Sound view shows."""

    site: str
    rooms: tuple[RoomSound, ...]
    worth: tuple[WorthRow, ...]
    currency: str


def sound_page(desk: Desk) -> SoundPage:
    from tracker.services import sound, worth
    found = sound.sound_report(desk)
    has_bays = bool(desk.standing().site.bays)
    rows = worth.worth(desk).remaining if has_bays else ()
    return SoundPage(found.site, found.rooms, rows, desk.standing().site.currency)


def explain_band(desk: Desk, room: str, band_hz: int, state: str) -> ExplainedView | None:
    from tracker.services import explaining
    return explaining.explained_report(desk, str(band_hz), state, room=room).rooms[0].explained


def build_ups(desk: Desk) -> tuple[BuildUpView, ...]:
    from tracker.services import explaining
    site = desk.standing().site
    used = dict.fromkeys(bay.build_up for bay in site.bays.values())
    return tuple(explaining.build_up_view(site, name) for name in used)


def type_measurement(desk: Desk, words: dict[str, str]) -> answers.Outcome:
    from tracker.services import measurements
    return measurements.type_measurement(desk, measurements.MeasuredWords(**words))


def check_decay(desk: Desk, hz: int, text: str) -> None:
    """Refused where a decay time can't be read."""
    from tracker.services import measurements
    measurements.read_decay(f"{hz}={text}")


def site_board(desk: Desk) -> str:
    """A board of the site, else any item, for an example; empty where there is none."""
    items = desk.standing().site.items
    return next((item.name for item in items if item.form == "board"), items[0].name if items else "")


def changeable(desk: Desk) -> tuple[str, ...]:
    """What can be asked about: build-ups, then bays, each with infill left to put up."""
    now = desk.standing()
    left = [bay for bay in now.site.bays.values() if now.progress.of(bay, "infill") < 1]
    return tuple(dict.fromkeys([*(bay.build_up for bay in left), *(now.site.short(bay.key) for bay in left)]))


def what_if(desk: Desk, room: str, change: str) -> WorthReport:
    from tracker.services import worth
    return worth.worth(desk, room=room, changes=(change,))


def reading_sweep(desk: Desk, words: dict[str, Any]) -> ReadingBySteps:
    from tracker.services import sweeping
    return sweeping.ReadingBySteps(desk, sweeping.SweepWords(**words))


def keep_sweep(desk: Desk, by_steps: ReadingBySteps) -> answers.Outcome:
    from tracker.services import sweeping
    return sweeping.keep_read(desk, by_steps)


def sweep_list(desk: Desk) -> SweepList:
    from tracker.services import sweep_comparing
    return sweep_comparing.sweep_list(desk)


def compare_sweeps(desk: Desk, before: str, after: str, room: str) -> SweepComparison:
    from tracker.services import sweep_comparing
    return sweep_comparing.compare_sweeps(desk, before, after, room)


class ClockReading(NamedTuple):
    """What the clock offers a log form."""

    hours: str
    """As typed; empty where it offers none."""
    remark: str
    """How the hours came about, or why there are none."""
    target: str
    step: str


def clock_reading(desk: Desk) -> ClockReading:
    from tracker.services import clock
    found = clock.read_clock(desk)
    elapsed = found.elapsed_s(desk.now())
    if not elapsed:
        return ClockReading("", "", found.target, found.step)
    if elapsed > clock.LONGEST_S:
        return ClockReading("", f"the clock ran {clock.shown(elapsed)}: say the hours", found.target, found.step)
    return ClockReading(clock.hours_text(elapsed), f"clock {clock.shown(elapsed)}, rounded up to 5 min", found.target,
                        found.step)


def read_clock(desk: Desk) -> Clock:
    from tracker.services import clock
    return clock.read_clock(desk)


def turn_clock(desk: Desk, target: str, step: str) -> answers.Outcome:
    from tracker.services import clock
    return clock.turn(desk, target, step)


def reset_clock(desk: Desk) -> answers.Outcome:
    from tracker.services import clock
    return clock.reset(desk)


def read_drafts(desk: Desk) -> tuple[Draft, ...]:
    from tracker.services import drafts
    return drafts.read_drafts(desk)


def keep_drafts(desk: Desk, fields: Mapping[str, Mapping[str, str] | None]) -> None:
    from tracker.services import drafts
    drafts.keep_drafts(desk, fields)


def phases_to_cut(desk: Desk) -> tuple[str, ...]:
    """Phases with something left to cut, in the order of work."""
    from tracker.services import cut_list
    return cut_list.phases_to_cut(desk)


def tick(desk: Desk, pieces: tuple[str, ...], cut: bool) -> None:
    from tracker.services import cut_list
    cut_list.tick(desk, pieces, cut)


def miscut(desk: Desk, piece: str) -> answers.Outcome:
    from tracker.services import cut_list
    return cut_list.miscut(desk, piece)


class Searching:
    """A search for a plan on a desk of its own, so that the screens' desk stays free."""

    def __init__(self, desk: Desk, target: str | None) -> None:
        self._path, self._today, self._target = desk.path, desk.today, target
        self.done, self.boards = 0.0, 0
        self.ended = False
        self._stopped = False

    def stop(self) -> None:
        """Ends it with the best plan so far."""
        self._stopped = True

    def _told(self, done: float, boards: int) -> bool:
        self.done, self.boards = done, boards
        return self._stopped

    def run(self) -> answers.Outcome:
        """Searches and keeps the plan; on any thread."""
        from tracker.services import cut_list
        from tracker.services.desk import open_desk
        desk = open_desk(self._path, self._today)
        try:
            return cut_list.plan_again(desk, self._target, self._told)
        finally:
            self.ended = True
            desk.close()


def searching(desk: Desk, target: str | None) -> Searching:
    return Searching(desk, target)
