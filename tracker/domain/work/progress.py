"""What is done, worked out from the diary: how far each step of each bay is, and which pieces are up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from tracker.domain.site import STEPS, Bay, Outline, Site, Step, Task


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece that is cut and up: an infill piece by its outline on the plane, others by length, m."""

    piece: str
    step: Step
    outline: Outline | None = None
    length_m: float | None = None


@dataclass(frozen=True)
class Progress:
    """How far the work is. Fractions run from 0 to 1."""

    steps: Mapping[tuple[str, Step], float] = field(default_factory=dict)
    """(bay key, step) to the fraction done."""
    tasks: Mapping[str, float] = field(default_factory=dict)
    cut: Mapping[str, tuple[CutPiece, ...]] = field(default_factory=dict)
    """Bay key to its pieces that are cut and up."""
    absent: frozenset[tuple[str, Step]] = frozenset()
    """Steps a bay's build-up has nothing for: done before they begin."""

    @cached_property
    def track_up(self) -> frozenset[str]:
        """Names of the runs of track that are up, whichever bay they were cut for."""
        return frozenset(piece.piece for pieces in self.cut.values() for piece in pieces if piece.step == "track")

    def of(self, bay: Bay, step: Step) -> float:
        """Fraction of the step done; set-out counts as done once track has begun, since track cannot go up without."""
        if (bay.key, step) in self.absent:
            return 1.0
        done = self.steps.get((bay.key, step), 0.0)
        if step == "set-out" and self.steps.get((bay.key, "track"), 0.0) > 0:
            return 1.0
        return done

    def next_step(self, bay: Bay) -> Step | None:
        """The first step not yet done; None where all are."""
        return next((step for step in STEPS if self.of(bay, step) < 1), None)

    def bay_done(self, bay: Bay) -> bool:
        return self.next_step(bay) is None

    def begun(self, unit: Bay | Task) -> bool:
        """Is anything of the bay or task logged?"""
        if isinstance(unit, Task):
            return self.tasks.get(unit.key, 0.0) > 0
        return any(self.steps.get((unit.key, step), 0.0) > 0 for step in STEPS)

    def so_far(self, unit: Bay | Task, step: Step | None) -> float:
        """Fraction done of a bay's step, or of a task; 0 where a bay has no step left."""
        if isinstance(unit, Task):
            return self.tasks.get(unit.key, 0.0)
        return self.of(unit, step) if step else 0.0

    def task_done(self, task: Task) -> bool:
        return self.tasks.get(task.key, 0.0) >= 1

    def done(self, site: Site, key: str) -> bool:
        """Is the bay or task of this key done?"""
        if key in site.bays:
            return self.bay_done(site.bays[key])
        return self.task_done(site.tasks[key])

    def pieces(self, bay: Bay, step: Step) -> tuple[CutPiece, ...]:
        return tuple(piece for piece in self.cut.get(bay.key, ()) if piece.step == step)


def absent_steps(site: Site) -> frozenset[tuple[str, Step]]:
    """Steps that bays do not have: no track or no fabric in their build-up."""
    found: set[tuple[str, Step]] = set()
    for bay in site.bays.values():
        build_up = site.build_up[bay.build_up]
        if build_up.fabric is None:
            found.add((bay.key, "fabric"))
        if build_up.edge is None and build_up.joint is None:
            found.add((bay.key, "track"))
    return frozenset(found)
