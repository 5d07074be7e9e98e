"""What the screens ask of the services; each name is imported on the database thread, so that painting never waits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tracker.domain.errors import Refused

if TYPE_CHECKING:
    from tracker.services import answers
    from tracker.services.desk import Desk


def status(desk: Desk) -> answers.Status:
    from tracker.services import overview
    return overview.status(desk)


def site_view(desk: Desk) -> answers.SiteView:
    from tracker.services import overview
    return overview.site_view(desk)


def site_unit(desk: Desk) -> str:
    return desk.standing().site.unit


def check_start(desk: Desk, target: str, step: answers.Step | None = None) -> answers.Check:
    from tracker.services import readiness
    return readiness.check_start(desk, target, step)


def stock(desk: Desk) -> answers.Stock:
    from tracker.services import stock
    return stock.stock(desk)


def movements(desk: Desk, item: str) -> tuple[answers.MovementView, ...]:
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


def take_off(desk: Desk, target: str | None, everything: bool = False) -> answers.TakeOff:
    from tracker.services import plan
    return plan.take_off(desk, target, everything)


def shopping(desk: Desk, target: str | None = None) -> answers.Shopping:
    from tracker.services import plan
    return plan.shopping(desk, target)


def log_choices(desk: Desk) -> tuple[answers.LogChoice, ...]:
    from tracker.services import diary
    return diary.log_choices(desk)


def preview_words(desk: Desk, words: dict[str, Any]) -> answers.LogPreview:
    from tracker.services import diary
    return diary.preview_log(desk, diary.read_words(desk.standing().site, diary.DayWords(**words), desk.today()))


def log_words(desk: Desk, words: dict[str, Any]) -> answers.Outcome:
    from tracker.services import diary
    return diary.log_words(desk, diary.DayWords(**words))


def read_diary(desk: Desk, words: str, lessons: bool) -> answers.Diary:
    from tracker.services import diary
    return diary.read_diary(desk, words, None, lessons)


def correct_words(desk: Desk, entry: int, words: dict[str, Any]) -> answers.Outcome:
    from tracker.services import diary
    return diary.correct_entry(desk, entry, diary.DayWords(**words))


def last_change(desk: Desk) -> str | None:
    from tracker.services import undo
    return undo.last_change(desk)


def undo_last(desk: Desk) -> answers.Outcome:
    from tracker.services import undo
    return undo.undo_last(desk)


def measure_again(desk: Desk, target: str, lengths: dict[str, str], fitted: bool) -> answers.Outcome:
    from tracker.services import measuring
    return measuring.measure_again(desk, target, lengths, fitted)


def sound_report(desk: Desk) -> answers.SoundReport:
    from tracker.services import sound
    return sound.sound_report(desk)
