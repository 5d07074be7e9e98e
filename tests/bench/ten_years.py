"""Makes a store as ten years of work leave it: by hand `python tests/bench/ten_years.py FILE`.

The site is drawn, the work follows from it by our own cutting plans, and what chance decides comes from one seed. The
rows are written in bulk with an operation for each, as the services would have written them one by one.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil, hypot
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from tracker.domain.geometry.outline import extent_m
from tracker.domain.site import (
    STEPS,
    Bay,
    BuildUp,
    Fixing,
    Item,
    Opening,
    Outline,
    Phase,
    Plane,
    Room,
    Site,
    Step,
    TapeSet,
    Target,
    Task,
)
from tracker.domain.stock.pool import Pool
from tracker.domain.work.allotment import Allotment, Share
from tracker.domain.work.material import Shapes
from tracker.domain.work.planning import WorkPlan
from tracker.domain.work.progress import Progress
from tracker.domain.work.taking import Taking, take
from tracker.services.setup import store_site
from tracker.store.amounts import outline_text, whole, whole_or_none
from tracker.store.site_writer import tape_row
from tracker.store.store import Store
from tracker.store.tables import ChangeRow, CutRow, EntryRow, MovementRow, OffcutRow, OperationRow, TapeRow

TODAY = date(2026, 3, 22)
START = date(2016, 3, 1)
ROOM_NAMES = ("mixing room", "control room", "drum room", "voice booth", "rehearsal room", "listening room")
PLANES = ("north", "east", "south", "west", "ceiling")
SUNDRIES = ("wood screw", "staple", "sealant", "corner pad")
NOTES = ("Line chalked and checked with the long level.", "Mitre at the reveal is not 45: bevel set to half the angle.",
         "Two boards cut from the rack, the rest new.", "Stopped at the sill; the lower half is in.",
         "Stretched from the middle outwards, no crease.", "Dusty: sheet hung, mask on.", "")
LESSONS = ("Mark each piece before cutting.", "Tape inside the track, never before it.",
           "Pull the cloth along the weave first.", "Half an hour of clean-up each evening.")


@dataclass(frozen=True)
class Size:
    """How much of everything: rooms of five planes with ten bays each; the last phases are still to come."""

    rooms: int = 6
    phases_open: int = 3
    entries: int = 10_000
    movements: int = 50_000
    rack: int = 40
    """Offcuts still in stock."""


TEN_YEARS = Size()


def build_ten_years(path: Path, size: Size = TEN_YEARS, seed: int = 7) -> None:
    """Makes the store at `path`."""
    site = drawn_site(size.rooms)
    store_site(path, site, START)
    book = _Book(site, random.Random(seed))
    for stint in _stints(site, size):
        book.work(stint)
    book.fill_up(size)
    _write(path, book)


# --- the site ---------------------------------------------------------------------------------------------------


def drawn_site(rooms: int) -> Site:
    """Rooms of four walls and a ceiling, two planes to a phase, ten bays to a plane."""
    names = ROOM_NAMES[:rooms]
    places = [(room, plane) for room in names for plane in PLANES]
    phase_of = {place: f"phase {number // 2 + 1}" for number, place in enumerate(places)}
    phases = dict.fromkeys(phase_of.values())
    return Site(
        name="Mill lane studios", unit="mm", currency="EUR", start=START, hours=(("tue", 2.0), ("sat", 6.0)),
        items=_items(), build_ups=_build_ups(),
        rooms=tuple(Room(name=room, volume_m3=63.5, target=Target("listening"), planes=tuple(
            _plane(room, plane, phase_of[room, plane]) for plane in PLANES)) for room in names),
        phases=tuple(Phase(name, (Task(name, "clear the room", hours_h=1.0),
                                  Task(name, "hang the lamps", after=(f"{name}: clear the room",), hours_h=2.0,
                                       needs=(("corner pad", 8.0), ("wood screw", 24.0))))) for name in phases))


def _items() -> tuple[Item, ...]:
    def stick(name: str, depth_m: float, face_m: float, price: float) -> Item:
        return Item(name, "stick", length_m=3.0, depth_m=depth_m, face_m=face_m, kerf_m=0.003, pack=10, price=price,
                    lead_days=8, waste_below_m=0.25, unit="stick", on_hand=60)

    def board(name: str, depth_m: float, price: float) -> Item:
        return Item(name, "board", length_m=1.2, width_m=0.6, depth_m=depth_m, density_kg_m3=48, kerf_m=0.003, pack=6,
                    price=price, lead_days=6, waste_below_m=0.1, unit="board", on_hand=48)

    def each(name: str, pack: float, price: float) -> Item:
        return Item(name, "each", pack=pack, price=price, lead_days=2, on_hand=2 * pack)

    return (board("wool board 50", 0.05, 54.0), board("wool board 100", 0.1, 66.0),
            stick("edge track 50", 0.05, 0.012, 61.0), stick("joint track 50", 0.05, 0.014, 37.0),
            stick("edge track 100", 0.1, 0.012, 78.0), stick("joint track 100", 0.1, 0.014, 48.0),
            Item("fabric oat", "roll", width_m=1.68, tuck_m=0.06, price=14.5, lead_days=5, dye_lot="A1", unit="m",
                 on_hand=50.0),
            each("track screw", 200, 9.8), each("wood screw", 200, 8.0), each("staple", 1000, 6.0),
            each("corner pad", 50, 4.5), Item("sealant", "bulk", unit="tube", price=5.0, lead_days=3, on_hand=24.0))


def _build_ups() -> tuple[BuildUp, ...]:
    screw = (Fixing("track screw", 0.15),)
    return (BuildUp("wall 50", "wool board 50", fabric="fabric oat", edge="edge track 50", joint="joint track 50",
                    each=screw),
            BuildUp("ceiling 100", "wool board 100", fabric="fabric oat", edge="edge track 100",
                    joint="joint track 100", each=screw))


def _box(x: float, y: float, wide: float, high: float) -> Outline:
    return (x, y), (x + wide, y), (x + wide, y + high), (x, y + high)


def _plane(room: str, name: str, phase: str) -> Plane:
    high = 4.2 if name == "ceiling" else 2.7
    openings = {"north": (Opening("window", _box(2.0, 1.0, 1.0, 1.0), "window glass"),),
                "east": (Opening("door", _box(0.5, 0.0, 0.85, 2.0), "solid wooden door"),)}
    bays = tuple(
        Bay(room=room, plane=name, name=f"{column + 1} {row}", phase=phase,
            build_up="ceiling 100" if name == "ceiling" else "wall 50",
            outline=_box(0.3 + column, low, 1.0, 1.15))
        for row, low in (("low", 0.2), ("high", 1.35)) for column in range(5))
    return Plane(room=room, name=name, kind="ceiling" if name == "ceiling" else "wall", outline=_box(0, 0, 5.6, high),
                 surface="plasterboard on studs", openings=openings.get(name, ()), bays=bays,
                 axis={"north": "y", "south": "y", "ceiling": None}.get(name, "x"))


# --- the work ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Stint:
    """One step of one bay, or a task, spread over several entries up to `done`."""

    unit: Bay | Task
    step: Step | None
    done: float
    entries: int
    begins: date
    ends: date


def _stints(site: Site, size: Size) -> Iterator[_Stint]:
    work: list[tuple[Bay | Task, Step | None, float]] = []
    phases = [phase for phase in site.phases][:-size.phases_open or None]
    for phase in phases:
        work += [(bay, step, 1.0) for bay in site.bays_of(phase.name) for step in STEPS]
        work += [(task, None, 1.0) for task in phase.tasks]
    if size.phases_open:
        bays = list(site.bays_of(site.phases[len(phases)].name))
        work += [(bay, step, 1.0) for bay in bays[:len(bays) // 2] for step in STEPS]
        work += [(bays[len(bays) // 2], "track", 1.0), (bays[len(bays) // 2], "infill", 0.5)]
    days = (TODAY - START).days - 7
    for number, (unit, step, done) in enumerate(work):
        shares = [size.entries * place // len(work) for place in (number, number + 1)]
        begins, ends = (START + timedelta(days=days * place // len(work)) for place in (number, number + 1))
        yield _Stint(unit, step, done, max(1, shares[1] - shares[0]), begins, ends)


@dataclass
class _Book:
    """Rows of the diary and the book, in the order they come to be written."""

    site: Site
    chance: random.Random
    rows: dict[str, list[dict[str, Any]]] = field(default_factory=lambda: {
        name: [] for name in ("entry", "movement", "cut", "offcut", "tape")})
    operations: list[tuple[date, str, list[tuple[str, dict[str, Any]]]]] = field(default_factory=list)
    on_hand: dict[str, float] = field(default_factory=dict)
    movements: list[tuple[str, str, float, date, dict[str, Any], int]] = field(default_factory=list)
    """(item, kind, quantity, day, other columns, operation)."""

    def __post_init__(self) -> None:
        self.bays = {key: number for number, key in enumerate(self.site.bays, start=1)}
        self.tasks = {key: number for number, key in enumerate(self.site.tasks, start=1)}
        self.on_hand = {item.name: item.on_hand for item in self.site.items}
        self.shapes = Shapes(self.site)

    def work(self, stint: _Stint) -> None:
        """Writes the entries of one stretch of work, with what they took and left."""
        unit, count = stint.unit, stint.entries
        taking = self._taking(stint)
        days = max(1, (stint.ends - stint.begins).days)
        if stint.step == "infill" and stint.done == 1 and self.chance.random() < 0.3:
            self._tape(unit, stint.begins)
        for number in range(count):
            on = stint.begins + timedelta(days=days * number // count)
            done = stint.done * (number + 1) / count
            entry = self._entry(unit, stint.step, done, on)
            self._use(entry, taking.uses, number, count, on)
            for piece in taking.pieces[number::count]:
                self._add("cut", {"entry_id": entry, "bay_id": self.bays[unit.key], "step": piece.step,
                                  "piece": piece.piece, "length_um": whole_or_none(piece.length_m),
                                  "outline": None if piece.outline is None else outline_text(piece.outline)})
        for left in taking.offcuts_made[:2]:
            self._add("offcut", {"item_id": self._item(left.item), "length_um": whole(left.length_m),
                                 "width_um": whole_or_none(left.width_m), "made_entry_id": entry,
                                 "used_entry_id": entry})

    def _taking(self, stint: _Stint) -> Taking:
        alone = Allotment(self.site, self.shapes, Progress(), Pool({}), {},
                          {stint.unit.key: Share(WorkPlan({}), Pool({}))})
        return take(alone, stint.unit, stint.step, stint.done)

    def _tape(self, unit: Bay | Task, on: date) -> None:
        infill = self.shapes.of(self.site.bays[unit.key]).infill
        if len(infill) != 1 or len(infill[0].exterior) != 4:
            return
        (left, bottom), (right, top) = extent_m(infill[0].exterior)
        wide, high = right - left + self.chance.choice((-0.002, 0.0, 0.001)), top - bottom
        row = tape_row(TapeSet(wide, wide, high, high, hypot(wide, high)), on, bay_id=self.bays[unit.key], fitted=True)
        self._add("tape", {name: value for name, value in row.model_dump().items() if name != "id"})

    def _entry(self, unit: Bay | Task, step: Step | None, done: float, on: date) -> int:
        chance = self.chance
        row = {"bay_id": self.bays.get(unit.key), "task_id": self.tasks.get(unit.key), "step": step, "done": done,
               "hours_h": chance.choice((0.5, 0.75, 1.0, 1.5, 2.0, None)), "note": chance.choice(NOTES),
               "lesson": chance.choice(LESSONS) if chance.random() < 0.05 else "", "on_date": on.isoformat(),
               "written": f"{on.isoformat()}T20:00:00+00:00", "corrects_id": None}
        self._begin(on, f"Logged {unit.key}{', ' + step if step else ''} {done:.0%}.")
        number = self._add("entry", row)
        if chance.random() < 0.02:
            self._begin(on, f"Corrected #{number} as #{number + 1}.")
            number = self._add("entry", {**row, "hours_h": 1.25, "corrects_id": number})
        return number

    def _use(self, entry: int, uses: tuple[tuple[str, float], ...], number: int, count: int, on: date) -> None:
        own = {item: round(quantity * (number + 1) / count // 1 - quantity * number / count // 1, 6)
               for item, quantity in uses}
        own |= {item: float(self.chance.randint(1, 9)) for item in
                self.chance.sample(SUNDRIES, self.chance.choice((2, 3, 3, 4)))}
        operation = len(self.operations) - 1
        for item, quantity in own.items():
            if quantity <= 0:
                continue
            spoiled = 1.0 if self.chance.random() < 0.03 else 0.0
            self._restock(item, quantity + spoiled, on)
            self._move(item, "use", -quantity, on, operation, entry_id=entry)
            if spoiled:
                self._move(item, "spoil", -spoiled, on, operation, entry_id=entry)

    def _restock(self, item: str, quantity: float, on: date) -> None:
        if self.on_hand[item] >= quantity:
            return
        packs = self.site.item[item].pack * ceil(max(quantity, 20.0) / self.site.item[item].pack)
        self._begin(on, f"Ordered {packs:g} of {item}.")
        self._move(item, "order", packs, on, len(self.operations) - 1, due=on.isoformat())
        self._begin(on, f"Received {packs:g} of {item}.")
        lot = f"A{len(self.movements) % 7}" if item == "fabric oat" else None
        self._move(item, "delivery", packs, on, len(self.operations) - 1, lot=lot)

    def _move(self, item: str, kind: str, quantity: float, on: date, operation: int, **more: Any) -> None:
        if kind != "order":
            self.on_hand[item] = round(self.on_hand[item] + quantity, 6)
        self.movements.append((item, kind, quantity, on, more, operation))

    def fill_up(self, size: Size) -> None:
        """Places the movements in the book, with counts between them up to the number wanted, and clears the rack."""
        counts = size.movements - len(self.movements) - len(self.site.items)
        if counts < 0:
            raise ValueError(f"{-counts} movements too many")
        after = sorted(self.chance.choices(range(len(self.movements)), k=counts))
        have = {item.name: item.on_hand for item in self.site.items}
        names = list(have)
        for place, (item, kind, quantity, on, more, operation) in enumerate(self.movements):
            self._place(item, kind, quantity, on, operation, more)
            if kind != "order":
                have[item] = round(have[item] + quantity, 6)
            while after and after[0] == place:
                after.pop(0)
                counted = names[self.chance.randrange(len(names))]
                self._begin(on, f"Counted {have[counted]:g} of {counted}.")
                self._place(counted, "count", have[counted], on, len(self.operations) - 1, {})
        for row in self.rows["offcut"][-size.rack:]:
            row["used_entry_id"] = None

    def _place(self, item: str, kind: str, quantity: float, on: date, operation: int, more: dict[str, Any]) -> None:
        row = {"item_id": self._item(item), "kind": kind, "quantity_u": whole(quantity), "on_date": on.isoformat(),
               "due": None, "lot": None, "note": "", "entry_id": None, "superseded": 0,
               "position": len(self.rows["movement"]) + 1 + len(self.site.items), **more}
        row["id"] = len(self.rows["movement"]) + 1 + len(self.site.items)
        self.rows["movement"].append(row)
        self.operations[operation][2].append(("movement", row))

    def _item(self, name: str) -> int:
        return list(self.site.item).index(name) + 1

    def _begin(self, on: date, sentence: str) -> None:
        self.operations.append((on, sentence, []))

    def _add(self, table: str, row: dict[str, Any]) -> int:
        row["id"] = len(self.rows[table]) + 1
        self.rows[table].append(row)
        if not self.operations:
            self._begin(START, "Measured.")
        self.operations[-1][2].append((table, row))
        return row["id"]


def _write(path: Path, book: _Book) -> None:
    kinds = {"entry": EntryRow, "movement": MovementRow, "cut": CutRow, "offcut": OffcutRow, "tape": TapeRow}
    operations = [{"id": number, "at": f"{on.isoformat()}T20:00:00+00:00", "sentence": sentence, "undone": 0}
                  for number, (on, sentence, _) in enumerate(book.operations, start=1)]
    changes = [{"operation_id": number, "table_name": table, "row_id": row["id"], "before": None,
                "after": json.dumps(row)}
               for number, (_, _, rows) in enumerate(book.operations, start=1) for table, row in rows]
    store = Store(path)
    with store.fill() as session:
        for table, rows in book.rows.items():
            if rows:
                session.execute(sa.insert(kinds[table].__table__), rows)
        session.execute(sa.insert(OperationRow.__table__), operations)
        session.execute(sa.insert(ChangeRow.__table__), changes)
    store.settle()
    store.close()


if __name__ == "__main__":
    build_ten_years(Path(sys.argv[1]))
