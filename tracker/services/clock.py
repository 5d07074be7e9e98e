"""The start-stop clock: kept in the store as the instant it was started, so that it outlives the program and the lid.

No undo takes the clock back, and none is needed: it holds nothing that was not measured.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from sqlmodel import Session

from tracker.domain.errors import Refused
from tracker.domain.work.targets import find_target
from tracker.services.answers import Outcome
from tracker.services.desk import Desk
from tracker.store.site_reader import rows_of

if TYPE_CHECKING:
    from tracker.services.diary import DayWords

STEP_S = 300
"""Hours are offered in whole steps of five minutes, rounded up; common practice, no source."""
LONGEST_S = 12 * 3600
"""A clock that ran longer was left running; its hours are then not offered. Common practice, no source."""
CLOCK = "clock"


@dataclass(frozen=True, slots=True)
class Clock:
    """The clock as the store keeps it."""

    started: datetime | None = None
    """When it was started, UTC; None while it stands."""
    banked_s: int = 0
    """What ran before it was last stopped."""
    target: str = ""
    step: str = ""

    @property
    def running(self) -> bool:
        return self.started is not None

    def elapsed_s(self, at: datetime) -> int:
        """Whole seconds it has run up to an instant; a system clock that was set back counts as no time."""
        since = 0 if self.started is None else max(0, int((at - self.started).total_seconds()))
        return self.banked_s + since

    def reads(self, at: datetime) -> str:
        """What it reads at an instant, as h:mm:ss."""
        return shown(self.elapsed_s(at))


@dataclass(frozen=True, slots=True)
class ClockAnswer:
    """How long the clock has run."""

    running: bool
    started: datetime | None
    elapsed_s: int
    hours_h: float
    """Rounded up to five minutes, as an entry would take it."""
    target: str
    step: str


def read_clock(desk: Desk) -> Clock:
    """The clock as it stands; one that was never started reads nothing."""
    with desk.store.read() as session:
        return _clock(session)


def clock_answer(desk: Desk) -> ClockAnswer:
    """The clock with what it reads now."""
    clock = read_clock(desk)
    elapsed = clock.elapsed_s(desk.now())
    return ClockAnswer(clock.running, clock.started, elapsed, rounded_h(elapsed), clock.target, clock.step)


def start(desk: Desk, target: str = "", step: str = "") -> Outcome:
    """Starts the clock, or lets it run on; says for which work, where that is given."""
    if target:
        target = find_target(desk.standing().site, target).name
    with desk.store.fill() as session:
        clock = _clock(session)
        if clock.running:
            return _said(f"The clock runs already: {shown(clock.elapsed_s(desk.now()))} so far.")
        _write(session, replace(clock, started=desk.now(), target=target or clock.target, step=step or clock.step))
    work = f" for {target}{', ' + step if step else ''}" if target else ""
    return _said(f"The clock runs{work}, from {shown(clock.banked_s)}.")


def stop(desk: Desk) -> Outcome:
    """Stops the clock; what it reads is kept."""
    with desk.store.fill() as session:
        clock = _clock(session)
        elapsed = clock.elapsed_s(desk.now())
        if not clock.running:
            return _said(f"The clock stands already, at {shown(elapsed)}.")
        _write(session, replace(clock, started=None, banked_s=elapsed))
    return _said(f"The clock stands at {shown(elapsed)}; an entry takes it as {hours_text(elapsed)}.")


def reset(desk: Desk) -> Outcome:
    """Sets the clock back to nothing, standing."""
    with desk.store.fill() as session:
        elapsed = _clock(session).elapsed_s(desk.now())
        _write(session, Clock())
    return _said(f"The clock is set back; it read {shown(elapsed)}." if elapsed else "The clock is set back.")


def turn(desk: Desk, target: str = "", step: str = "") -> Outcome:
    """Starts a clock that stands and stops one that runs."""
    return stop(desk) if read_clock(desk).running else start(desk, target, step)


def log_clocked(desk: Desk, words: DayWords) -> Outcome:
    """Logs a stretch of work, its hours from the clock where they say `clock`; the clock is cleared once it is stored.

    An entry of an earlier day, of other work than the clock runs for, or without hours leaves the clock as it is,
    unless it took its hours from it.
    """
    from tracker.services.diary import log_words

    clock = read_clock(desk)
    elapsed = clock.elapsed_s(desk.now())
    taken = words.hours is not None and words.hours.strip().casefold() == CLOCK
    if taken:
        if not elapsed:
            raise Refused("hours: the clock has not run; start it with `sabinry clock start`, or write e.g. 1:30")
        if elapsed > LONGEST_S:
            raise Refused(f"hours: the clock ran for {shown(elapsed)}, so it was left running; write the hours, "
                          "e.g. 1:30")
        words = replace(words, hours=hours_text(elapsed))
    outcome = log_words(desk, words)
    if not elapsed or words.hours is None:
        return outcome
    if not taken and (words.on is not None or _elsewhere(desk, clock, words.target)):
        return outcome
    reset(desk)
    return replace(outcome, sentence=f"{outcome.sentence} The clock is cleared; it read {shown(elapsed)}.")


def _elsewhere(desk: Desk, clock: Clock, target: str) -> bool:
    """Does the clock run for other work than this?"""
    return clock.target != "" and find_target(desk.standing().site, target).name != clock.target


def rounded_h(elapsed_s: int) -> float:
    """Seconds as hours, rounded up to five minutes."""
    return -(-elapsed_s // STEP_S) * STEP_S / 3600


def hours_text(elapsed_s: int) -> str:
    """Seconds as h:mm, rounded up to five minutes."""
    minutes = round(rounded_h(elapsed_s) * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def shown(elapsed_s: int) -> str:
    """Seconds as h:mm:ss."""
    return f"{elapsed_s // 3600}:{elapsed_s // 60 % 60:02d}:{elapsed_s % 60:02d}"


def _clock(session: Session) -> Clock:
    rows = rows_of(session, "clock")
    if not rows:
        return Clock()
    row = rows[0]
    started = None if row.started is None else datetime.fromisoformat(row.started)
    return Clock(started, row.banked_s, row.target, row.step)


def _write(session: Session, clock: Clock) -> None:
    from tracker.store.tables import ClockRow

    started = None if clock.started is None else clock.started.isoformat(timespec="seconds")
    session.merge(ClockRow(id=1, started=started, banked_s=clock.banked_s, target=clock.target, step=clock.step))


def _said(sentence: str) -> Outcome:
    return Outcome(sentence, frozenset())
