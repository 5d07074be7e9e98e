"""Decay curve of one band, and what is read off it: EDT, T20, T30, C80, D50, and how straight it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tracker.domain.sweep.octaves import RINGS_CYCLES, Envelope
from tracker.domain.sweep.truncation import SIXTY_DB, truncation

POINTS = 800
"""How many points of a decay curve are kept: a curve is smooth, and is stored."""


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A decay curve: levels in dB (1-D, 0 dB is all of the energy), the first at first_s after the direct sound.

    step_s: from one to the next. drop_db: how far it has fallen when the sound begins. dynamic_db: start of the decay
    over the noise. range_db: how far it falls before the rest is made up. reaches_noise: false where the recording ends
    before the decay does.
    """

    nominal_hz: int
    first_s: float
    step_s: float
    level_db: np.ndarray
    drop_db: float
    dynamic_db: float
    range_db: float
    reaches_noise: bool

    @property
    def times_s(self) -> np.ndarray:
        """When each level is reached, s after the direct sound."""
        return self.first_s + self.step_s * np.arange(self.level_db.size)

    @property
    def end_s(self) -> float:
        """Where the curve is cut, s after the direct sound."""
        return self.first_s + self.step_s * (self.level_db.size - 1)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line fitted to a part of a decay curve: the decay time in s, and non-linearity in permille."""

    time_s: float
    nonlinearity_permille: float


def curve_of(envelope: Envelope) -> Curve | None:
    """Decay curve of one band, cut where it meets the noise, the noise taken off, the rest made up.

    None where nothing stands out of the noise. Energy that the filter rings ahead of the sound counts in the 0 dB, or a
    strong direct sound would be left out. Source: ISO 3382-1:2009, 5.3.3, integrated impulse response (M. R. Schroeder,
    JASA 37 (1965) 409).
    """
    cut = truncation(envelope)
    if cut is None:
        return None
    # ahead of the sound only what its filter rings counts, not harmonics and noise further off
    ahead = max(0, envelope.onset - round(RINGS_CYCLES / envelope.nominal_hz / envelope.step_s))
    kept = envelope.energy[ahead: cut.end] - cut.noise
    left = np.cumsum(kept[::-1])[::-1] + cut.left
    total = float(left[0])
    after = left[envelope.onset - ahead:]
    sunk = np.nonzero(after <= 0.0)[0]
    if sunk.size:
        after = after[: int(sunk[0])]
    if after.size < 8 or not total > 0.0:
        return None
    level = 10.0 * np.log10(after / total)
    late = cut.noise * cut.late_s / SIXTY_DB / envelope.step_s
    return Curve(envelope.nominal_hz, 0.0, envelope.step_s, level, -float(level[0]), 10.0 * math.log10(total / late),
                 -float(level[-1]), cut.reaches_noise)


def thinned(curve: Curve, points: int = POINTS) -> Curve:
    """The same curve in at most so many points, each the mean of its neighbours, so that a line through it is the same.

    Levels are rounded to 0.001 dB, as they are stored.
    """
    every = -(-curve.level_db.size // points)
    count = curve.level_db.size // every
    level = curve.level_db[: count * every].reshape(count, every).mean(axis=1)
    return replace(curve, first_s=curve.first_s + 0.5 * (every - 1) * curve.step_s, step_s=every * curve.step_s,
                   level_db=np.round(level, 3))


def mean_curve(curves: Sequence[Curve]) -> Curve | None:
    """The mean decay of several positions in one band: energies averaged, each position's own 0 dB; None without any.

    Cut where the first of them is. Source: ISO 3382-2:2008, 5.4.3, ensemble average of decay curves (from memory).
    """
    if not curves:
        return None
    finest = min(curves, key=lambda one: one.step_s)
    first_s, end_s = max(one.first_s for one in curves), min(one.end_s for one in curves)
    if end_s - first_s < 8 * finest.step_s:
        return None
    t = np.arange(first_s, end_s, finest.step_s)
    energy = sum(10.0 ** (np.interp(t, one.times_s, one.level_db) / 10.0) for one in curves) / len(curves)
    return Curve(finest.nominal_hz, first_s, finest.step_s, 10.0 * np.log10(energy),
                 sum(one.drop_db for one in curves) / len(curves), min(one.dynamic_db for one in curves),
                 min(one.range_db for one in curves), all(one.reaches_noise for one in curves))


def line_through(curve: Curve, from_db: float, to_db: float) -> Line | None:
    """Decay time from the least-squares line between two levels of a curve (dB, at or below 0).

    None where the curve stops short of the lower one, or does not fall. Only what comes after the direct sound counts.
    Source: ISO 3382-1:2009, 3.3 and 5.3.3; non-linearity 1000 (1 - r^2), ISO 3382-2:2008, B.2.
    """
    level = curve.level_db
    if level[-1] > to_db:
        return None
    first, last = int(np.argmax(level <= from_db)) if from_db < 0.0 else 0, int(np.argmax(level <= to_db))
    index, y = np.arange(first, last, dtype=float), level[first:last]
    if last and level[last] < to_db:
        # the lower end lies between two points: put it where the curve crosses
        index = np.append(index, last - (to_db - level[last]) / (level[last - 1] - level[last]))
        y = np.append(y, to_db)
    if y.size < 3:
        return None
    t = (index - index.mean()) * curve.step_s
    y = y - y.mean()
    square, product, spread = float(t @ t), float(t @ y), float(y @ y)
    if not product < 0.0:
        return None
    return Line(-60.0 * square / product, max(0.0, 1000.0 * (1.0 - product**2 / (square * spread))))


def early_share(curve: Curve, until_s: float) -> float:
    """Share of the energy that comes within a time (s) of the direct sound; past the curve's end, all that it holds.

    Source: ISO 3382-1:2009, A.2.3: D50 at 0.05 s; C80 = 10 lg(x/(1 - x)) at 0.08 s.
    """
    if until_s > curve.end_s:
        # what is left there falls on as it was made up: straight, by the slope that fell to the range's end
        late_s = 60.0 * curve.end_s / max(curve.range_db - curve.drop_db, 1e-9)
        return 1.0 - 10.0 ** ((-curve.range_db - 60.0 * (until_s - curve.end_s) / late_s) / 10.0)
    return 1.0 - 10.0 ** (float(np.interp(until_s, curve.times_s, curve.level_db)) / 10.0)


def clarity_db(share: float) -> float | None:
    """C80 in dB from the early share (0 to 1) at 0.08 s; None for all or nothing.

    Source: ISO 3382-1:2009, A.2.3, equation A.10.
    """
    return 10.0 * math.log10(share / (1.0 - share)) if 0.0 < share < 1.0 else None
