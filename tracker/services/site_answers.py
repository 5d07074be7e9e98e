"""The rooms, planes and bays as services answer them to be drawn. SI, units in the names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tracker.domain.site import Outline, PlaneKind, Step
from tracker.services.answers import Verdict, Warned


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
