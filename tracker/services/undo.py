"""Takes back the last change, whatever it was."""

from __future__ import annotations

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.services.desk import Desk

EVERYTHING = frozenset({"diary", "stock", "plan", "measure"})


def last_change(desk: Desk) -> str | None:
    """What undo would take back; None where there is nothing."""
    return desk.store.last_operation()


def undo_last(desk: Desk, only: str | None = None) -> Outcome:
    """Takes back the newest change; Refused where nothing is left to take back, or it is not the one of `only`."""
    sentence = desk.store.undo(only)
    if sentence is None:
        raise Refused("nothing to take back: no change was made, or all are taken back")
    return Outcome(f"Taken back: {sentence}", EVERYTHING)
