"""The diary: log a day, correct an entry, read and search."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import get_args

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Step, Task
from tracker.domain.work.order import remaining
from tracker.domain.work.readiness import unit_readiness
from tracker.domain.work.taking import Taking
from tracker.domain.work.targets import find_bay, find_target
from tracker.measures import MeasureError, read_date, read_fraction, read_hours, show_day
from tracker.services.allotment import allot
from tracker.services.amounts import AmountReader, Amounts, Pairs, items_of_step
from tracker.services.answers import Blocked, Outcome
from tracker.services.booking import book_entry, hand_over, rebook, release_entry, taking_for
from tracker.services.desk import Desk, Standing, read_standing
from tracker.services.diary_answers import DayLog, Diary, EntryView, LogChoice, LogPreview
from tracker.services.entry_said import entry_sentence, words_cautions, work_cautions, work_words
from tracker.services.reasons import of_step, target_name
from tracker.services.wording import size_words
from tracker.store.book_reader import Entry
from tracker.store.store import WriteSession
from tracker.store.tables import EntryRow, PhotoRow

LOGGED = frozenset({"diary", "stock", "plan"})


@dataclass(frozen=True, slots=True)
class DayWords:
    """A stretch of work as typed; None where nothing was said."""

    target: str | None = None
    step: str | None = None
    done: str | None = None
    hours: str | None = None
    used: str | Pairs | None = None
    """As `services.amounts` reads them: words with `;` between two items, or pairs."""
    spoiled: str | Pairs | None = None
    note: str | None = None
    lesson: str | None = None
    photos: tuple[str, ...] | None = None
    on: str | None = None
    used_whole: bool = False
    """In a correction: `used` says all that was used; else what it does not name stays."""

    @property
    def cuts_again(self) -> bool:
        """Does this say anything that changes which pieces were cut?"""
        return any(said is not None for said in (self.target, self.step, self.done))


def read_words(now: Standing, words: DayWords, today: date, old: Entry | None = None) -> DayLog:
    """The words as figures, of an entry they correct where there is one; Refused names the one that can't be read."""
    target = words.target or (old.key if old else "")
    step = _step_of(now, target, words, old)
    likely = items_of_step(now.site, _unit(now, DayLog(target, step)), step) if words.used or words.spoiled else ()
    try:
        return DayLog(
            target=target, step=step,
            done=1.0 if words.done is None else read_fraction(words.done),
            hours_h=None if words.hours is None else read_hours(words.hours),
            used=None if words.used is None else AmountReader(now.site, "used", likely).read(words.used),
            spoiled=AmountReader(now.site, "spoiled", likely).read(words.spoiled or ()),
            note=(words.note or "").strip(), lesson=(words.lesson or "").strip(), photos=words.photos or (),
            on=None if words.on is None else read_date(words.on, today, past=True, what="on"))
    except MeasureError as error:
        raise Refused(str(error)) from error


def _step_of(now: Standing, target: str, words: DayWords, old: Entry | None) -> Step | None:
    said = _read_step(words.step)
    if old is None:
        return said
    found = find_target(now.site, target)
    return None if found.tasks and not found.bays else said or old.step


def _read_step(text: str | None) -> Step | None:
    if text is None:
        return None
    if text not in get_args(Step):
        raise Refused(f"{text}: no step of that name; the steps are {', '.join(get_args(Step))}")
    return text


def log_words(desk: Desk, words: DayWords) -> Outcome:
    """Logs a stretch of work as typed."""
    if not words.target:
        raise Refused("log: name what was worked on, e.g. `sabinry log north/left --step track --hours 1:30`")
    return log_day(desk, read_words(desk.standing(), words, desk.today()))


def log_day(desk: Desk, day: DayLog) -> Outcome:
    """Writes one diary entry with all it took from stock and left behind, as one change."""
    with desk.store.write() as session:
        now = desk.standing_in(session)
        unit = _unit(now, day)
        _refuse_going_back(now, unit, day)
        taking = taking_for(now, unit, day)
        number = _write_entry(session, now, unit, day, desk.today())
        book_entry(session, now, number, unit, day, taking, day.on or desk.today())
        session.sentence = entry_sentence(now, unit, day, taking, desk.today())
    return Outcome(session.sentence, LOGGED, (*work_cautions(now, unit, day), *words_cautions(day, number)), number)


def _unit(now: Standing, day: DayLog) -> Bay | Task:
    target = find_target(now.site, day.target)
    if target.tasks and not target.bays and len(target.tasks) == 1:
        if day.step is not None:
            raise Refused(f"{day.target}: a task has no steps; log it without --step")
        return target.tasks[0]
    bay = find_bay(now.site, day.target)
    if day.step is None:
        following = now.progress.next_step(bay)
        is_next = f"; next is --step {following}" if following else ""
        raise Refused(f"{day.target}: say which step with --step: {', '.join(get_args(Step))}{is_next}")
    return bay


def _done_before(now: Standing, unit: Bay | Task, step: Step | None) -> float:
    if isinstance(unit, Task):
        return now.progress.tasks.get(unit.key, 0.0)
    return now.progress.steps.get((unit.key, step), 0.0) if step else 0.0


def _refuse_going_back(now: Standing, unit: Bay | Task, day: DayLog) -> None:
    before = _done_before(now, unit, day.step)
    if day.done < before:
        raise Refused(f"{work_words(now, unit, day)}: {before:.0%} is logged already, so {day.done:.0%} would go back; "
                      "correct the entry that says so with --correct NUMBER")


def _write_entry(session: WriteSession, now: Standing, unit: Bay | Task, day: DayLog, today: date,
                 corrects: int | None = None) -> int:
    on = day.on or today
    if on > today:
        raise Refused(f"{show_day(on, today)}: that day is still to come; log it when it is done")
    row = EntryRow(
        bay_id=now.numbers.bays.get(unit.key), task_id=now.numbers.tasks.get(unit.key), step=day.step, done=day.done,
        hours_h=day.hours_h, note=day.note, lesson=day.lesson, on_date=on.isoformat(),
        written=datetime.now(UTC).isoformat(timespec="seconds"), corrects_id=corrects)
    session.add(row)
    session.flush()
    session.add_all(PhotoRow(entry_id=row.id, path=path) for path in day.photos)
    return row.id


def preview_log(desk: Desk, day: DayLog) -> LogPreview:
    """What an entry would use and leave, before it is written."""
    now = desk.standing()
    unit = _unit(now, day)
    taking = taking_for(now, unit, day)
    takes = dict(taking.uses)
    for item, quantity in day.spoiled:
        takes[item] = takes.get(item, 0.0) + quantity
    short = []
    for item, quantity in takes.items():
        balance = now.pool.balance(item)
        if quantity > balance.on_hand:
            short.append(Blocked(item, now.site.item[item].unit, quantity, round(quantity - balance.on_hand, 6),
                                 balance.on_order, balance.due_for(quantity - balance.on_hand)))
    return LogPreview(
        uses=_with_units(now, taking.uses), spoiled=_with_units(now, day.spoiled),
        offcuts_used=taking.offcuts_used, offcuts_made=tuple(size_words(now.site, one) for one in taking.offcuts_made),
        short=tuple(short))


def _with_units(now: Standing, amounts: Amounts) -> tuple[tuple[str, float, str], ...]:
    return tuple((item, quantity, now.site.item[item].unit) for item, quantity in amounts)


def log_choices(desk: Desk) -> tuple[LogChoice, ...]:
    """What can be logged now, the likeliest first: what is begun, then what can start, then the rest."""
    now = desk.standing()
    shared = allot(now)
    rank = {"under way": 0, "ready": 1}
    units = [(unit, unit_readiness(shared, unit)) for unit in remaining(now.site, now.progress)]
    units.sort(key=lambda pair: rank.get(pair[1].verdict, 2))
    so_far = [now.progress.so_far(unit, found.step) for unit, found in units]
    return tuple(LogChoice(target_name(now.site, unit.key), found.step, done, of_step(found, done))
                 for (unit, found), done in zip(units, so_far, strict=True))


def correct_entry(desk: Desk, number: int, words: DayWords) -> Outcome:
    """Writes an entry that replaces an earlier one; what is not said stays as it was, and both stay to be seen.

    Where target, step or amount are corrected, the use is worked out again unless it is said too.
    """
    with desk.store.write() as session:
        now = desk.standing_in(session)
        old = _standing_entry(now, number)
        if words == DayWords():
            raise Refused(f"#{number}: say what to correct, e.g. --hours 2:00 or --note \"…\"")
        said = read_words(now, words, desk.today(), old)
        day = _merged(now, old, words, said)
        unit = _unit(now, day)
        new = _write_entry(session, now, unit, day, desk.today(), corrects=number)
        on = day.on or old.on
        taking = Taking(uses=day.used or ())
        if words.cuts_again:
            places = release_entry(session, now, number)
            before = read_standing(session, without=(number, new))
            taking = taking_for(before, unit, day)
            book_entry(session, before, new, unit, day, taking, on, places)
        else:
            hand_over(session, number, new)
            rebook(session, now, number, new, day, on)
        session.sentence = f"Corrected #{number} as #{new}: {entry_sentence(now, unit, day, taking, desk.today())}"
    return Outcome(session.sentence, LOGGED, words_cautions(said, new), new)


def _standing_entry(now: Standing, number: int) -> Entry:
    old = now.entries.get(number)
    if old is None:
        raise Refused(f"#{number}: no diary entry of that number; `sabinry diary` lists them")
    if old.corrected_by is not None:
        raise Refused(f"#{number}: corrected already; correct #{old.corrected_by} instead")
    return old


def _merged(now: Standing, old: Entry, words: DayWords, said: DayLog) -> DayLog:
    used = _amounts_of(now, old, "use")
    if words.used is not None:
        used = dict(said.used or ()) if words.used_whole else used | dict(said.used or ())
    again = words.cuts_again
    return DayLog(
        target=said.target, step=said.step,
        done=said.done if words.done is not None else old.done,
        hours_h=said.hours_h if words.hours is not None else old.hours_h,
        used=said.used if again else tuple(used.items()),
        spoiled=said.spoiled if words.spoiled is not None else tuple(_amounts_of(now, old, "spoil").items()),
        note=said.note if words.note is not None else old.note,
        lesson=said.lesson if words.lesson is not None else old.lesson,
        photos=said.photos if words.photos is not None else old.photos, on=said.on or old.on)


def _amounts_of(now: Standing, entry: Entry, kind: str) -> dict[str, float]:
    """Item to what the entry used or spoiled of it, in the item's unit."""
    return {line.item: -line.movement.quantity for line in now.book.of_entry(entry.id)
            if line.movement.kind == kind}


def read_diary(desk: Desk, words: str = "", since: date | None = None, lessons: bool = False) -> Diary:
    """Entries newest first; only those with every word, from a day on, or with a lesson, where asked."""
    now = desk.standing()
    wanted = words.casefold().split()
    found = sorted(now.entries.values(), key=lambda entry: (entry.on, entry.place, entry.id), reverse=True)
    return Diary(now.site.name, tuple(
        _entry_view(now, entry) for entry in found
        if (since is None or entry.on >= since) and (not lessons or entry.lesson)
        and _has_words(now, entry, wanted)))


def _has_words(now: Standing, entry: Entry, wanted: list[str]) -> bool:
    if not wanted:
        return True
    text = now.of_entry("text", entry, lambda one: _text(_entry_view(now, one)))
    return all(word in text for word in wanted)


def _text(view: EntryView) -> str:
    return " ".join((view.target, view.step or "", view.note, view.lesson, view.date.isoformat(),
                     *(item for item, _, _ in (*view.used, *view.spoiled)))).casefold()


def _entry_view(now: Standing, entry: Entry) -> EntryView:
    return now.of_entry("view", entry, lambda one: _viewed(now, one))


def _viewed(now: Standing, entry: Entry) -> EntryView:
    amounts: dict[str, list[tuple[str, float, str]]] = {"use": [], "spoil": []}
    for line in now.book.of_entry(entry.id):
        if line.movement.kind in amounts:
            amounts[line.movement.kind].append((line.item, -line.movement.quantity, now.site.item[line.item].unit))
    return EntryView(
        id=entry.id, date=entry.on, target=target_name(now.site, entry.key), step=entry.step, done=entry.done,
        hours_h=entry.hours_h, used=tuple(amounts["use"]), spoiled=tuple(amounts["spoil"]), note=entry.note,
        lesson=entry.lesson, photos=entry.photos, corrects=entry.corrects, corrected_by=entry.corrected_by)
