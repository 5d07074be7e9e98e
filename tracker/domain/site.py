"""A site as plain values: what the person described. Lengths in metres, areas in m2, hours in h."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Literal

from tracker.domain.bands import PerBand

Point = tuple[float, float]
Outline = tuple[Point, ...]
"""Corners in order, m, seen from inside the room, x to the right and y up; not closed, either turning sense."""

Form = Literal["board", "stick", "roll", "each", "bulk"]
PlaneKind = Literal["wall", "ceiling", "slope", "floor", "cloud"]
Step = Literal["set-out", "track", "infill", "fabric", "make-good"]
STEPS: tuple[Step, ...] = ("set-out", "track", "infill", "fabric", "make-good")


@dataclass(frozen=True, slots=True)
class Item:
    """Anything bought, counted and used. Quantities are counted in `unit`: pieces, metres of roll, or a bulk unit."""

    name: str
    form: Form
    length_m: float | None = None
    """Board: the longer size as given first; stick: its length."""
    width_m: float | None = None
    """Board: the size given second; roll: usable width."""
    depth_m: float | None = None
    """Board: thickness; stick: the depth of infill it holds."""
    density_kg_m3: float | None = None
    flow_resistivity_pa_s_m2: float | None = None
    face_m: float = 0.0
    """Stick: width it takes off the infill along an edge."""
    kerf_m: float = 0.0
    pack: float = 1
    price: float | None = None
    """A pack; roll: a metre, or a yard on an imperial site."""
    lead_days: int = 0
    on_hand: float = 0.0
    """Opening count in `unit`."""
    waste_below_m: float = 0.0
    tuck_m: float = 0.0
    turnable: bool = True
    dye_lot: str | None = None
    unit: str = "piece"
    """`board`, `stick`, `m`, `piece`, or the bulk unit as written."""
    flow_resistance_pa_s_m: float | None = None
    """Roll: specific flow resistance of the cloth, Pa s/m."""
    weight_kg: float | None = None
    """Roll: of a m2; stick: of a m, kg."""
    sliver_m: float | None = None
    """Board: the narrowest piece laid where the bay does not force a narrower one; None: the usual."""
    hairline_m: float | None = None
    """Board: a gap up to this is closed by trimming the neighbours, never by a strip; None: the usual."""
    face_down: bool = True
    """Board: may it be cut face down, so that mirrored pieces come from one rectangle?"""


@dataclass(frozen=True, slots=True)
class Fixing:
    item: str
    spacing_m: float


@dataclass(frozen=True, slots=True)
class BuildUp:
    """The layers of a bay from the surface outwards, with its tracks and fixings."""

    name: str
    infill: str
    gap_m: float = 0.0
    fabric: str | None = None
    edge: str | None = None
    joint: str | None = None
    each: tuple[Fixing, ...] = ()
    alpha: PerBand | None = None


@dataclass(frozen=True, slots=True)
class Surface:
    name: str
    alpha: PerBand
    source: str


@dataclass(frozen=True, slots=True)
class TapeSet:
    """Measurements of a quadrilateral, m; diagonal runs bottom left to top right, check the other way."""

    bottom_m: float
    top_m: float
    left_m: float
    right_m: float
    diagonal_m: float | None = None
    check_m: float | None = None
    middle_m: float | None = None
    """Width halfway up."""
    centre_m: float | None = None
    """Height halfway along."""


@dataclass(frozen=True, slots=True)
class Opening:
    name: str
    outline: Outline
    surface: str


@dataclass(frozen=True, slots=True)
class Bay:
    """One area enclosed by track. `outline` is the surveyed one on its plane, before openings are cut out of it."""

    room: str
    plane: str
    name: str
    phase: str
    build_up: str
    outline: Outline
    tape: TapeSet | None = None
    """The survey's tape set where the outline came from one."""
    fitted: TapeSet | None = None
    """Taken inside the fixed track; infill is cut to it once it exists."""
    after: tuple[str, ...] = ()
    """Targets (bays or `phase: task`) that must be done before its first step."""

    @property
    def key(self) -> str:
        return f"{self.room}/{self.plane}/{self.name}"


@dataclass(frozen=True, slots=True)
class Plane:
    room: str
    name: str
    kind: PlaneKind
    outline: Outline
    surface: str
    openings: tuple[Opening, ...] = ()
    bays: tuple[Bay, ...] = ()
    tape: TapeSet | None = None
    axis: Literal["x", "y", "z"] | None = None
    """The pair of opposite surfaces it belongs to; z for ceilings, slopes and floors; None where not said."""

    @property
    def key(self) -> str:
        return f"{self.room}/{self.name}"


@dataclass(frozen=True, slots=True)
class Absorber:
    name: str
    area_m2: PerBand
    """Equivalent absorption area of one, m2."""
    count: int = 1


@dataclass(frozen=True, slots=True)
class Target:
    """A decay-time target: a built-in one by name, or the person's own figures."""

    name: str
    t_s: PerBand | None = None
    tolerance_s: float | None = None


@dataclass(frozen=True, slots=True)
class Room:
    name: str
    volume_m3: float
    planes: tuple[Plane, ...]
    temperature_c: float = 20.0
    humidity_pct: float = 50.0
    target: Target | None = None
    absorbers: tuple[Absorber, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """A free-standing piece of work in a phase."""

    phase: str
    name: str
    after: tuple[str, ...] = ()
    """Keys of bays (`room/plane/bay`) or tasks (`phase: task`) that must be done first."""
    hours_h: float | None = None
    needs: tuple[tuple[str, float], ...] = ()
    """(item, quantity in the item's unit)."""

    @property
    def key(self) -> str:
        return f"{self.phase}: {self.name}"


@dataclass(frozen=True, slots=True)
class Phase:
    name: str
    tasks: tuple[Task, ...] = ()


@dataclass(frozen=True)
class Site:
    name: str
    unit: Literal["mm", "in"]
    currency: str
    start: date
    hours: tuple[tuple[str, float], ...] = ()
    """(day as mon..sun, hours of work planned)."""
    cap: bool = True
    """Coefficients over 1.00 are used as 1.00."""
    items: tuple[Item, ...] = ()
    build_ups: tuple[BuildUp, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    """The site's own; looked up before the built-in catalogue."""
    rooms: tuple[Room, ...] = ()
    phases: tuple[Phase, ...] = ()

    @cached_property
    def item(self) -> dict[str, Item]:
        return {item.name: item for item in self.items}

    @cached_property
    def build_up(self) -> dict[str, BuildUp]:
        return {build_up.name: build_up for build_up in self.build_ups}

    @cached_property
    def planes(self) -> dict[str, Plane]:
        """Planes by key `room/plane`, in the order written."""
        return {plane.key: plane for room in self.rooms for plane in room.planes}

    @cached_property
    def bays(self) -> dict[str, Bay]:
        """Bays by key `room/plane/bay`, in the order written."""
        return {bay.key: bay for plane in self.planes.values() for bay in plane.bays}

    @cached_property
    def tasks(self) -> dict[str, Task]:
        """Free tasks by key `phase: task`."""
        return {task.key: task for phase in self.phases for task in phase.tasks}

    def bays_of(self, phase: str) -> Iterator[Bay]:
        return (bay for bay in self.bays.values() if bay.phase == phase)

    def short(self, key: str) -> str:
        """The shortest name that fits only this bay or plane: `plane/bay`, or `room/plane/bay` where two share it."""
        return self._short_names.get(key, key)

    @cached_property
    def _short_names(self) -> dict[str, str]:
        names: dict[str, str] = {}
        for table in (self.planes, self.bays):
            tails = Counter(key.split("/", 1)[1] for key in table)
            for key in table:
                tail = key.split("/", 1)[1]
                names[key] = tail if tails[tail] == 1 else key
        return names
