"""The diary and the rack as the domain's plain values, from the rows of the store."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from tracker.domain.site import Step
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.cut_list import Miscut
from tracker.domain.work.progress import CutPiece, Progress
from tracker.store.amounts import amount, amount_or_none, read_outline
from tracker.store.book_rows import BookRows, EntryTuple, Touched
from tracker.store.site_reader import Numbers


class Entry(NamedTuple):
    """A diary entry as written; `corrected_by` names the entry that replaces it.

    A named tuple, since ten years have ten thousand of them and it is made four times as fast as a frozen dataclass.
    """

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


def offcut_id(number: int) -> str:
    """The short name an offcut goes by on the rack and on cut lists."""
    return f"O{number}"


def offcuts_of(rows: BookRows, numbers: Numbers, entries: Mapping[int, Entry]) -> tuple[Offcut, ...]:
    """Offcuts in stock."""
    names = {number: name for name, number in numbers.items.items()}
    return tuple(
        Offcut(id=offcut_id(row.id), item=names[row.item_id], length_m=amount(row.length_um),
               width_m=amount_or_none(row.width_um), made_by=_origin(entries.get(row.made_entry_id)),
               piece=row.piece or "")
        for row in rows.offcut.values())


def miscuts_of(rows: BookRows, numbers: Numbers) -> tuple[Miscut, ...]:
    """What was cut wrong, in the order it was told."""
    names = {number: name for name, number in numbers.items.items()}
    return tuple(Miscut(row.id, row.piece, names[row.item_id], row.size) for row in rows.miscut.values())


def _origin(entry: Entry | None) -> str:
    return "" if entry is None else f"{entry.key.split('/', 1)[-1]}, {entry.on.isoformat()}"


def entries_of(rows: BookRows, numbers: Numbers) -> dict[int, Entry]:
    """Every diary entry by number, the corrected ones too."""
    return _made(rows, _Keys(numbers), rows.entry, {})


def renewed_entries(before: Mapping[int, Entry], old: BookRows, rows: BookRows, numbers: Numbers,
                    touched: Touched) -> dict[int, Entry]:
    """The entries once the touched rows are read again; those they say nothing of are the same as before."""
    again = set(touched.get("entry", ()))
    again |= {row.entry_id for one in (old, rows) for number in touched.get("photo", ())
              if (row := one.photo.get(number)) is not None}
    again |= {row.corrects_id for one in (old, rows) for number in touched.get("entry", ())
              if (row := one.entry.get(number)) is not None and row.corrects_id}
    if not again:
        return dict(before)
    kept = {number: entry for number, entry in before.items() if number not in again}
    made = _made(rows, _Keys(numbers), sorted(number for number in again if number in rows.entry), kept)
    return dict(sorted((kept | made).items()))


class _Keys:
    """Key of the bay or task of an entry's row."""

    def __init__(self, numbers: Numbers) -> None:
        self._bays = {number: key for key, number in numbers.bays.items()}
        self._tasks = {number: key for key, number in numbers.tasks.items()}

    def of(self, row: EntryTuple) -> str:
        return self._bays[row.bay_id] if row.bay_id else self._tasks[row.task_id or 0]


def _made(rows: BookRows, keys: _Keys, wanted: Iterable[int], known: Mapping[int, Entry]) -> dict[int, Entry]:
    photos: dict[int, list[str]] = defaultdict(list)
    for photo in rows.photo.values():
        photos[photo.entry_id].append(photo.path)
    corrected_by = {row.corrects_id: row.id for row in rows.entry.values() if row.corrects_id}
    made: dict[int, Entry] = {}
    for number in wanted:
        row: EntryTuple = rows.entry[number]
        first = made.get(row.corrects_id or 0) or known.get(row.corrects_id or 0)
        made[number] = Entry(
            number, keys.of(row), row.step, row.done, row.hours_h, row.note, row.lesson,
            date.fromisoformat(row.on_date), tuple(photos[number]) if number in photos else (), row.corrects_id,
            corrected_by.get(number), number if first is None else first.place)
    return made


def progress_of(rows: BookRows, numbers: Numbers, entries: Mapping[int, Entry],
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
    return Progress(steps, tasks, _cut_of(rows, numbers, entries), absent)


def _cut_of(rows: BookRows, numbers: Numbers, entries: Mapping[int, Entry]) -> dict[str, tuple[CutPiece, ...]]:
    keys = {number: key for key, number in numbers.bays.items()}
    cut: dict[str, list[CutPiece]] = defaultdict(list)
    for row in rows.cut.values():
        entry = entries.get(row.entry_id)
        if entry is not None and entry.corrected_by is None:
            cut[keys[row.bay_id]].append(_piece(row.piece, row.step, row.outline, row.length_um))
    return {key: tuple(pieces) for key, pieces in cut.items()}


@lru_cache(maxsize=1 << 16)
def _piece(piece: str, step: Step, outline: str | None, length_um: int | None) -> CutPiece:
    return CutPiece(piece=piece, step=step, outline=None if outline is None else read_outline(outline),
                    length_m=amount_or_none(length_um))
