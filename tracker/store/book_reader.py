"""Reads the diary and the stock book as the domain's plain values."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from tracker.domain.site import Step
from tracker.domain.stock.ledger import Movement
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.progress import CutPiece, Progress
from tracker.store.amounts import amount, amount_or_none, read_outline
from tracker.store.site_reader import Numbers, rows_of


@dataclass(frozen=True, slots=True)
class BookLine:
    """A movement with its row number, item, and the diary entry it belongs to."""

    id: int
    item: str
    movement: Movement
    note: str
    entry: int | None
    position: int
    superseded: bool
    """Replaced when its entry was corrected: it stays to be seen, and no longer counts."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A diary entry as written; `corrected_by` names the entry that replaces it."""

    id: int
    key: str
    """Bay or task key."""
    step: Step | None
    done: float
    hours_h: float | None
    note: str
    lesson: str
    on: date
    photos: tuple[str, ...]
    corrects: int | None
    corrected_by: int | None
    place: int
    """Number of the first entry in its chain of corrections: where it stands among the entries of its day."""


def read_movements(session: Session, numbers: Numbers) -> dict[str, tuple[BookLine, ...]]:
    """Each item's movements in their order in the book, those that no longer count too."""
    names = {number: name for name, number in numbers.items.items()}
    lines: dict[str, list[BookLine]] = defaultdict(list)
    for row in rows_of(session, "movement", "position, id"):
        movement = Movement(kind=row.kind, quantity=amount(row.quantity_u), on=date.fromisoformat(row.on_date),
                            due=None if row.due is None else date.fromisoformat(row.due), lot=row.lot)
        item = names[row.item_id]
        lines[item].append(BookLine(row.id, item, movement, row.note, row.entry_id, row.position,
                                    bool(row.superseded)))
    return {item: tuple(found) for item, found in lines.items()}


def offcut_id(number: int) -> str:
    """The short name an offcut goes by on the rack and on cut lists."""
    return f"O{number}"


def read_offcuts(session: Session, numbers: Numbers, entries: dict[int, Entry]) -> tuple[Offcut, ...]:
    """Offcuts in stock."""
    names = {number: name for name, number in numbers.items.items()}
    return tuple(
        Offcut(id=offcut_id(row.id), item=names[row.item_id], length_m=amount(row.length_um),
               width_m=amount_or_none(row.width_um), made_by=_origin(entries.get(row.made_entry_id)))
        for row in rows_of(session, "offcut") if row.used_entry_id is None)


def _origin(entry: Entry | None) -> str:
    return "" if entry is None else f"{entry.key.split('/', 1)[-1]}, {entry.on.isoformat()}"


def read_entries(session: Session, numbers: Numbers) -> dict[int, Entry]:
    """Every diary entry by number, the corrected ones too."""
    keys = {("bay", number): key for key, number in numbers.bays.items()}
    keys |= {("task", number): key for key, number in numbers.tasks.items()}
    photos: dict[int, list[str]] = defaultdict(list)
    for row in rows_of(session, "photo"):
        photos[row.entry_id].append(row.path)
    rows = rows_of(session, "entry")
    corrected_by = {row.corrects_id: row.id for row in rows if row.corrects_id}
    places: dict[int, int] = {}
    for row in rows:
        places[row.id] = places.get(row.corrects_id, row.id)
    return {row.id: Entry(
        id=row.id, key=keys[("bay", row.bay_id) if row.bay_id else ("task", row.task_id)], step=row.step,
        done=row.done, hours_h=row.hours_h, note=row.note, lesson=row.lesson, on=date.fromisoformat(row.on_date),
        photos=tuple(photos[row.id]), corrects=row.corrects_id, corrected_by=corrected_by.get(row.id),
        place=places[row.id])
        for row in rows}


def read_progress(session: Session, numbers: Numbers, entries: dict[int, Entry],
                  absent: frozenset[tuple[str, Step]]) -> Progress:
    """How far the work is: the standing entry of a step that went furthest says, whenever it was written."""
    steps: dict[tuple[str, Step], float] = {}
    tasks: dict[str, float] = {}
    for entry in entries.values():
        if entry.corrected_by is not None:
            continue
        if entry.step is None:
            tasks[entry.key] = max(entry.done, tasks.get(entry.key, 0.0))
        else:
            steps[entry.key, entry.step] = max(entry.done, steps.get((entry.key, entry.step), 0.0))
    return Progress(steps, tasks, _read_cut(session, numbers, entries), absent)


def _read_cut(session: Session, numbers: Numbers, entries: dict[int, Entry]) -> dict[str, tuple[CutPiece, ...]]:
    keys = {number: key for key, number in numbers.bays.items()}
    cut: dict[str, list[CutPiece]] = defaultdict(list)
    for row in rows_of(session, "cut"):
        entry = entries.get(row.entry_id)
        if entry is not None and entry.corrected_by is None:
            cut[keys[row.bay_id]].append(_piece(row))
    return {key: tuple(pieces) for key, pieces in cut.items()}


def _piece(row: Any) -> CutPiece:
    return CutPiece(piece=row.piece, step=row.step, outline=None if row.outline is None else read_outline(row.outline),
                    length_m=amount_or_none(row.length_um))
