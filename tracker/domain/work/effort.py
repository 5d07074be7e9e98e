"""Hours of work: what the person's own diary shows, and a plain assumption until it shows something."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tracker.domain.site import STEPS, Step

_FIRST_H_PER_M2: Mapping[Step, float] = {"set-out": 0.15, "track": 0.45, "infill": 0.40, "fabric": 0.35,
                                         "make-good": 0.10}
"""Hours a square metre of bay, one person new to it, clean-up included. An assumption, no source: replaced by the
person's own rate as soon as the diary has one."""

FIRST_TASK_H = 1.0
"""Hours of a free task that says none. An assumption, no source."""


@dataclass(frozen=True, slots=True)
class Worked:
    """Logged work on one step: hours for so many square metres of bay brought from one fraction to another."""

    step: Step
    hours_h: float
    area_m2: float


def rates_h_per_m2(worked: Iterable[Worked]) -> dict[Step, float]:
    """Hours a square metre for each step: the person's own where logged, else the first assumption.

    Areas in m2, hours in h. Source: definition (hours over area done); assumption as marked above.
    """
    hours = dict.fromkeys(STEPS, 0.0)
    areas = dict.fromkeys(STEPS, 0.0)
    for one in worked:
        hours[one.step] += one.hours_h
        areas[one.step] += one.area_m2
    return {step: hours[step] / areas[step] if areas[step] > 0 and hours[step] > 0 else _FIRST_H_PER_M2[step]
            for step in STEPS}
