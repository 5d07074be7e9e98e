"""What services answer: frozen values whose field names are the JSON keys scripts rely on. SI, units in the names."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.site import Step

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
    plan_first: bool = False
    """It is cut to measure and no kept plan has all cuts yet: planned together, they may need less."""


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
    half_done: tuple[Stopped, ...] = ()
    """Other steps and tasks left half done, each as its last entry says, the newest first."""
