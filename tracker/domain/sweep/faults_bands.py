"""When the direct sound of the sweep comes in each octave: at one time if it is this sweep, at others if it is not."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.faults_response import WholeResponse
from tracker.domain.sweep.faults_transient import BANDS_HZ
from tracker.domain.sweep.signal import Settings

LEAST_BANDS = 3
"""Fewer octaves than this may agree by chance: a sweep that rises evenly touches this one in two."""
_STANDS_DB = 20.0
"""A band's loudest moment over its median: noise alone has 14 at the most (our simulation)."""
_LEAST_HZ = 200.0
_TOGETHER_S = 0.005
_TOGETHER_CYCLES = 2.0
_LEAST_ACROSS_S = 0.03
"""From the lowest octave to the highest: this sweep has 0.007 at the most, 15 dB under noise too (our simulation)."""


@dataclass(frozen=True, slots=True)
class Begins:
    """When the loudest sound of an octave begins in a response, s from its zero; middle_hz: exact midband, Hz."""

    middle_hz: float
    at_s: float

    def together(self, at_s: float, turn_s: float) -> bool:
        """Whether that is at_s (s) as nearly as its band can tell, in a response that turns round after turn_s (s)."""
        return abs(_turned(self.at_s - at_s, turn_s)) < _TOGETHER_S + _TOGETHER_CYCLES / self.middle_hz


def begins_of(whole: WholeResponse, about_s: float | None = None) -> tuple[Begins, ...]:
    """Each octave, lowest first, in which something stands out of all else, and when; of what is about about_s, s."""
    found = ((middle, *whole.loudest(middle, about_s)) for middle in held_hz(whole))
    return tuple(Begins(middle, at_s) for middle, at_s, over_db in found if over_db > _STANDS_DB)


def held_hz(whole: WholeResponse) -> tuple[float, ...]:
    """The exact midbands, Hz, of the octaves that the recorder's rate holds."""
    return tuple(middle for middle in BANDS_HZ if middle * math.sqrt(2.0) < 0.46 * whole.rate_hz)


def shared_s(whole: WholeResponse, about_s: float | None = None) -> float | None:
    """When the sweep's direct sound comes, s from the zero: the time that most octaves share; None if too few do.

    about_s: only of what is within 0.1 s of that. Source: a count.
    """
    turn_s, begun = whole.size / whole.rate_hz, begins_of(whole, about_s)
    count, at_s = max(((sum(one.together(first.at_s, turn_s) for one in begun), first.at_s) for first in begun),
                      default=(0, 0.0))
    return at_s if count >= LEAST_BANDS else None


def slips(whole: WholeResponse) -> bool:
    """Whether the direct sound comes at other times in other octaves, as when buffers were lost on the way.

    Judged from 250 Hz up, where an octave can tell a buffer's length.
    """
    turn_s = whole.size / whole.rate_hz
    near = [one for one in begins_of(whole, whole.peak_s) if one.middle_hz > _LEAST_HZ]
    return any(not one.together(other.at_s, turn_s) for k, one in enumerate(near) for other in near[k + 1:])


def rises_in_s(whole: WholeResponse, settings: Settings) -> float | None:
    """The time in which the frequency of a sweep much like this one grows by e, s; None where it is this one, or none.

    The response of a slower sweep comes later from octave to octave, evenly. Source: the difference of two straight
    lines of log frequency, by the median of its steps.
    """
    found, turn_s = begins_of(whole), whole.size / whole.rate_hz
    steps = [(_turned(later.at_s - one.at_s, turn_s) / math.log(later.middle_hz / one.middle_hz), later.middle_hz)
             for one, later in zip(found, found[1:], strict=False)]
    if len(steps) < LEAST_BANDS:
        return None
    slope = float(np.median([step for step, _ in steps]))
    # within an octave it is drawn out as much as it is late in the next
    even = sum(abs(step - slope) < 0.5 * abs(slope) + _TOGETHER_S + _TOGETHER_CYCLES / middle for step, middle in steps)
    across_s = abs(slope) * math.log(found[-1].middle_hz / found[0].middle_hz)
    if even < max(LEAST_BANDS, len(steps) - 1) or across_s < _LEAST_ACROSS_S:
        return None
    return settings.growth_s + slope


def _turned(apart_s: float, turn_s: float) -> float:
    """A distance in a response that turns round, s: the shorter way."""
    return (apart_s + 0.5 * turn_s) % turn_s - 0.5 * turn_s
