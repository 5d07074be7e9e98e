"""What services answer: frozen values whose field names are the JSON keys scripts rely on. SI, units in the names."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.site import Outline, PlaneKind, Step

Verdict = Literal["ready", "short", "on order", "waiting", "under way", "done"]
PhaseState = Literal["done", "under way", "ready", "short", "waiting"]


def as_json(answer: Any) -> dict[str, Any]:
    """An answer as a dictionary for JSON: dates as ISO text, `from_` as `from`, bands where figures per band are."""
    plain = asdict(answer, dict_factory=lambda pairs: {key.rstrip("_"): _plain(value) for key, value in pairs})
    if isinstance(answer, Status):
        plain = {"bands_hz": list(BANDS_HZ), **plain}
    return plain


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return value


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one change did: the sentence undo will show, and the parts of the site it touched."""

    sentence: str
    changed: frozenset[str]
    """Part names: `diary`, `stock`, `plan`, `measure`."""
    cautions: tuple[str, ...] = ()
    entry: int | None = None
    """Number of the diary entry written, where one was."""


# --- stock -------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class ItemNeed:
    """One item of a check: all quantities in `unit`."""

    item: str
    unit: str
    need: float
    on_hand: float
    offcuts_used: int
    held: float
    short: float
    on_order: float
    due: date | None


@dataclass(frozen=True, slots=True)
class OffcutView:
    id: str
    item: str
    length_m: float
    width_m: float | None
    """None for a stick."""
    made_by: str
    """Where it came from, e.g. `north/left, 2026-03-04`."""
    piece: str
    """The piece of the cut list it is, cut and waiting; empty for a remainder."""


@dataclass(frozen=True, slots=True)
class StockLine:
    item: str
    form: str
    unit: str
    on_hand: float
    held: float
    needed: float
    """For all that remains of the site, over and above offcuts."""
    on_order: float
    due: date | None
    short: float
    pack: float
    price: float | None
    offcuts: tuple[OffcutView, ...]
    dye_lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    site: str
    items: tuple[StockLine, ...]


@dataclass(frozen=True, slots=True)
class MovementView:
    id: int
    date: date
    item: str
    unit: str
    kind: str
    """delivery, use, spoil, count, return, order, opening."""
    quantity: float
    """Signed change of what is on hand; an order's or a count's own quantity."""
    note: str
    entry: int | None


@dataclass(frozen=True, slots=True)
class BuyLine:
    item: str
    unit: str
    need: float
    """Still short after what is on order."""
    packs: float
    """Packs to order (roll: the length)."""
    pack: float
    quantity: float
    cost: float | None
    lead_days: int
    floor_area_packs: float | None
    """What ordering by area alone would have bought, for comparison; boards only."""
    spoil_rate: float = 0.0
    """Share of pieces taken to be spoiled: the person's own, with the first assumption."""
    risk: float = 0.0
    """Chance of running short with these packs, 0 to 1."""
    order_by: date | None = None
    """The last day to order it, so that it is there when the first work short of it begins; None: no hours planned."""
    late_days: int = 0
    """Days since then, 0 where it is not past."""
    needed_for: str | None = None
    """The first work that is short of it."""
    floor_area_cost: float | None = None
    floor_area_left: float | None = None
    """What ordering by area alone would leave over of the plan, in `unit`; below nothing: what it would lack."""
    floor_area_risk: float | None = None


@dataclass(frozen=True, slots=True)
class EnoughLine:
    """An item that is enough by the plan, and may still run short where pieces are spoiled."""

    item: str
    unit: str
    risk: float
    """Chance of running short with what is on hand and on order, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Shopping:
    site: str
    target: str | None
    currency: str
    items: tuple[BuyLine, ...]
    total_cost: float
    risk: float | None = None
    """The chance of running short that was asked for; None: the plan's own need."""
    error_m: float | None = None
    """Standard deviation of a measured length; None: that of a class II tape."""
    enough: tuple[EnoughLine, ...] = ()
    plan_kept: bool = True
    """False where something is still to be cut that no kept cutting plan has."""


# --- work --------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Warned:
    code: str
    text: str


@dataclass(frozen=True, slots=True)
class Check:
    target: str
    step: Step | None
    """The step asked for, or the next one where the whole target was asked for; None for a task or when all is done."""
    verdict: Verdict
    items: tuple[ItemNeed, ...]
    waits_on: tuple[str, ...]
    warnings: tuple[Warned, ...]
    cautions: tuple[str, ...]
    reason: str
    """One sentence a person can act on."""
    title: str = ""
    """The target, with its step where the answer is of one step alone."""
    counted: str = ""
    """How a shortage was counted, where counting otherwise gives another."""


@dataclass(frozen=True, slots=True)
class Gain:
    planned_m2: float
    installed_m2: float
    covered_m2: float
    short_m2: float
    planned_by_band_m2: PerBand
    installed_by_band_m2: PerBand
    covered_by_band_m2: PerBand
    short_by_band_m2: PerBand


@dataclass(frozen=True, slots=True)
class Blocked:
    item: str
    unit: str
    need: float
    short: float
    on_order: float
    due: date | None


@dataclass(frozen=True, slots=True)
class Hours:
    spent_h: float
    left_h: float


@dataclass(frozen=True, slots=True)
class PhaseStatus:
    name: str
    state: PhaseState
    gain: Gain
    blocked_by: tuple[Blocked, ...]
    waits_on: tuple[str, ...]
    hours: Hours


@dataclass(frozen=True, slots=True)
class NextWork:
    target: str
    """Short name `plane/bay`, or `phase: task`."""
    step: Step | None
    verdict: Verdict
    reason: str
    phase: str
    progress: float
    """Done of this step, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Stopped:
    """Where the last work stopped and what was noted."""

    date: date
    target: str
    step: Step | None
    done: float
    note: str


@dataclass(frozen=True, slots=True)
class Status:
    site: str
    unit: str
    phases: tuple[PhaseStatus, ...]
    next: tuple[NextWork, ...]
    """What to do in the order of work: what can be started first, then what waits."""
    stopped: Stopped | None


@dataclass(frozen=True, slots=True)
class StepCell:
    step: Step
    progress: float
    """0 to 1."""
    verdict: Verdict
    reason: str


@dataclass(frozen=True, slots=True)
class BayView:
    """A bay as drawn and as worked on."""

    key: str
    target: str
    plane: str
    phase: str
    build_up: str
    outlines: tuple[tuple[Outline, tuple[Outline, ...]], ...]
    """Parts of the bay after openings are cut out: (exterior, holes), m on the plane."""
    area_m2: float
    infill_m2: float
    fitted: bool
    """Measured inside the fixed track."""
    gain_m2: float
    steps: tuple[StepCell, ...]
    warnings: tuple[Warned, ...]


@dataclass(frozen=True, slots=True)
class OpeningView:
    name: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class PlaneView:
    key: str
    name: str
    kind: PlaneKind
    room: str
    outline: Outline
    area_m2: float
    surface: str
    openings: tuple[OpeningView, ...]
    bays: tuple[BayView, ...]


@dataclass(frozen=True, slots=True)
class TaskView:
    key: str
    phase: str
    name: str
    verdict: Verdict
    reason: str
    hours_h: float | None


@dataclass(frozen=True, slots=True)
class SiteView:
    """The whole site for the Room and Phases views."""

    site: str
    unit: Literal["mm", "in"]
    planes: tuple[PlaneView, ...]
    tasks: tuple[TaskView, ...]
    phases: tuple[str, ...]


# --- diary -------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class DayLog:
    """What a person says of one stretch of work; None leaves a figure to be worked out."""

    target: str
    step: Step | None = None
    """None for a free task."""
    done: float = 1.0
    """How much of the step is done after this entry, 0 to 1."""
    hours_h: float | None = None
    used: tuple[tuple[str, float], ...] | None = None
    """(item, quantity in its unit); None: worked out from the cutting plan."""
    spoiled: tuple[tuple[str, float], ...] = ()
    note: str = ""
    lesson: str = ""
    photos: tuple[str, ...] = ()
    on: date | None = None
    """None: today."""


@dataclass(frozen=True, slots=True)
class LogPreview:
    """What a log entry would use and make, before it is written."""

    uses: tuple[tuple[str, float, str], ...]
    """(item, quantity, unit)."""
    offcuts_used: tuple[str, ...]
    offcuts_made: tuple[str, ...]
    """As sizes in the site's units."""
    short: tuple[Blocked, ...]


@dataclass(frozen=True, slots=True)
class LogChoice:
    """One stretch of work that can be logged now, likeliest first."""

    target: str
    step: Step | None
    progress: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class EntryView:
    id: int
    date: date
    target: str
    step: Step | None
    done: float
    hours_h: float | None
    used: tuple[tuple[str, float, str], ...]
    spoiled: tuple[tuple[str, float, str], ...]
    note: str
    lesson: str
    photos: tuple[str, ...]
    corrects: int | None
    corrected_by: int | None


@dataclass(frozen=True, slots=True)
class Diary:
    site: str
    entries: tuple[EntryView, ...]
    """Newest first; corrected entries stay, with the number of the entry that corrects them."""


# --- take-off ----------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class NeedLine:
    item: str
    form: str
    unit: str
    net: float
    need: float
    offcuts_used: int
    proved_least: bool
    least: float
    """What no plan can do with less of, over the pieces laid out."""


@dataclass(frozen=True, slots=True)
class CutView:
    piece: str
    bay: str
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    turned: bool
    outline_m: Outline
    flipped: bool = False
    """Cut with the board lying face down."""


@dataclass(frozen=True, slots=True)
class LeftView:
    at_m: tuple[float, float]
    size_m: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SawView:
    """One cut at the saw, in order."""

    kind: str
    """rip, cross or line."""
    at_m: float
    keep: str
    from_m: tuple[float, float]
    to_m: tuple[float, float]
    text: str
    """As a person reads it, in the site's units."""
    frees: tuple[str, ...]
    """Pieces that are done with this cut."""


@dataclass(frozen=True, slots=True)
class BoardView:
    item: str
    from_: str
    size_m: tuple[float, float]
    cuts: tuple[CutView, ...]
    offcuts: tuple[LeftView, ...]
    number: int
    """Its place on the cut list of the item."""
    saw: tuple[SawView, ...]
    cut: tuple[str, ...]
    """Pieces ticked off as cut."""


@dataclass(frozen=True, slots=True)
class PieceView:
    piece: str
    bay: str
    outline_m: Outline


@dataclass(frozen=True, slots=True)
class StickCutView:
    piece: str
    bay: str
    length_m: float
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True)
class StickView:
    item: str
    from_: str
    length_m: float
    cuts: tuple[StickCutView, ...]
    left_m: float
    number: int
    cut: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StripView:
    bay: str
    from_: str
    """`new`, or the id of the remnant."""
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    turned: bool


@dataclass(frozen=True, slots=True)
class JointView:
    """A bay wider than its cloth: where its pieces of cloth meet, m from the bay's left edge."""

    bay: str
    at_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class RollView:
    item: str
    width_m: float
    length_m: float
    strips: tuple[StripView, ...]
    joints: tuple[JointView, ...]


@dataclass(frozen=True, slots=True)
class TakeOff:
    site: str
    target: str | None
    items: tuple[NeedLine, ...]
    boards: tuple[BoardView, ...]
    pieces: tuple[PieceView, ...]
    sticks: tuple[StickView, ...]
    rolls: tuple[RollView, ...]
    kept: bool
    """Is this the plan that is kept, which check, stock and log go by?"""
