"""What a diary entry does to stock: movements, offcuts and pieces, booked with it, released when it is corrected."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

import sqlalchemy as sa

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Task
from tracker.domain.stock.ledger import Movement, refuse_below_zero
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.taking import Taking, take
from tracker.services.allotment import allot
from tracker.services.desk import Standing
from tracker.services.diary_answers import DayLog
from tracker.services.stock import add_movement
from tracker.store.amounts import outline_text, whole, whole_or_none
from tracker.store.book_reader import offcut_id
from tracker.store.store import WriteSession
from tracker.store.tables import CutRow, MovementRow, OffcutRow

Places = Mapping[str, int]
"""Item to the place in the book its movements take."""


def taking_for(now: Standing, unit: Bay | Task, day: DayLog) -> Taking:
    """What the entry takes: by the cutting plan, with what the person said of an item in the place of the plan's."""
    taking = take(allot(now), unit, day.step, day.done)
    if day.used is None:
        return taking
    said = dict(day.used)
    planned = dict(taking.uses)
    uses = {**planned, **said}
    # Fewer taken than planned: which offcuts came of it is not known, so none are booked.
    made = tuple(one for one in taking.offcuts_made if said.get(one.item, planned.get(one.item, 0.0))
                 >= planned.get(one.item, 0.0))
    return replace(taking, uses=tuple((item, amount) for item, amount in uses.items() if amount > 0), offcuts_made=made)


def book_entry(session: WriteSession, now: Standing, entry: int, unit: Bay | Task, day: DayLog, taking: Taking,
               on: date, places: Places | None = None) -> None:
    """Books what the entry took, spoiled, cut and kept; Refused where the book would go below zero."""
    _book(session, now, entry, _movements(taking.uses, day, on), places or {})
    if isinstance(unit, Bay):
        session.add_all(CutRow(entry_id=entry, bay_id=now.numbers.bays[unit.key], step=piece.step, piece=piece.piece,
                               outline=None if piece.outline is None else outline_text(piece.outline),
                               length_um=whole_or_none(piece.length_m)) for piece in taking.pieces)
    session.add_all(_offcut_row(now, one, entry) for one in taking.offcuts_made)
    taken = set(taking.offcuts_used)
    for row in session.exec(sa.select(OffcutRow).where(OffcutRow.used_entry_id.is_(None))).scalars():
        if offcut_id(row.id) in taken:
            row.used_entry_id = entry


def rebook(session: WriteSession, now: Standing, old: int, entry: int, day: DayLog, on: date) -> None:
    """Books the corrected entry's use and spoil in the place of the old one's; Refused where that can't be."""
    places = _supersede(session, now, old)
    _book(session, replace(now, book=now.book.without(old)), entry, _movements(day.used or (), day, on), places)


def _movements(uses: Iterable[tuple[str, float]], day: DayLog, on: date) -> list[tuple[str, Movement]]:
    return [(item, Movement("use", -amount, on)) for item, amount in uses if amount > 0] + [
        (item, Movement("spoil", -amount, on)) for item, amount in day.spoiled if amount > 0]


def _book(session: WriteSession, now: Standing, entry: int, movements: list[tuple[str, Movement]],
          places: Places) -> None:
    for item in dict.fromkeys(item for item, _ in movements):
        own = [movement for name, movement in movements if name == item]
        _refuse_overdrawn(now, item, own, places.get(item))
    for item, movement in movements:
        add_movement(session, now, item, movement, entry=entry, position=places.get(item))


def _refuse_overdrawn(now: Standing, item: str, own: list[Movement], place: int | None) -> None:
    lines = now.book.get(item, ())
    before = [line.movement for line in lines if place is None or line.position <= place]
    after = [line.movement for line in lines if place is not None and line.position > place]
    refuse_below_zero(item, now.site.item[item].unit, [*before, *own, *after])


def _offcut_row(now: Standing, one: Offcut, entry: int) -> OffcutRow:
    return OffcutRow(item_id=now.numbers.items[one.item], length_um=whole(one.length_m),
                     width_um=whole_or_none(one.width_m), made_entry_id=entry, piece=one.piece or None)


def release_entry(session: WriteSession, now: Standing, entry: int) -> dict[str, int]:
    """Takes an entry's movements out of the count and its offcuts off the rack; returns their places by item.

    Refused where an offcut it made has been used since.
    """
    for row in session.exec(sa.select(OffcutRow).where(OffcutRow.made_entry_id == entry)).scalars().all():
        if row.used_entry_id is not None:
            raise Refused(f"#{entry}: its offcut {offcut_id(row.id)} went into #{row.used_entry_id} since; correct "
                          "that one first, or correct only the words and hours here")
        session.delete(row)
    for row in session.exec(sa.select(OffcutRow).where(OffcutRow.used_entry_id == entry)).scalars().all():
        row.used_entry_id = None
    return _supersede(session, now, entry)


def _supersede(session: WriteSession, now: Standing, entry: int) -> dict[str, int]:
    names = {number: name for name, number in now.numbers.items.items()}
    places: dict[str, int] = {}
    for row in session.exec(sa.select(MovementRow).where(MovementRow.entry_id == entry)).scalars().all():
        row.superseded = 1
        places[names[row.item_id]] = min(row.position, places.get(names[row.item_id], row.position))
    session.flush()
    return places


def hand_over(session: WriteSession, old: int, new: int) -> None:
    """Hands the pieces and offcuts of an entry to the one that corrects it."""
    for table, column in ((CutRow, "entry_id"), (OffcutRow, "made_entry_id"), (OffcutRow, "used_entry_id")):
        for row in session.exec(sa.select(table).where(getattr(table, column) == old)).scalars().all():
            setattr(row, column, new)
