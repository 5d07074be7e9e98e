"""Whether a decay time counts: what ISO 3382-2 asks, and what is known to go wrong where it asks nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tracker.domain.sweep.decay import Curve, Line, clarity_db, early_share, line_through
from tracker.domain.sweep.octaves import bandwidth_hz

DYNAMIC_DB = {"EDT": 25.0, "T20": 35.0, "T30": 45.0}
"""How far the decay must start over the noise: 10 dB below the lowest level fitted, and 5 more for where it begins.

Source: ISO 3382-2:2008, 5.3.3 (35 and 45 dB); for EDT by the same rule.
"""
RANGE_DB = {"EDT": 15.0, "T20": 30.0, "T30": 40.0}
"""How far the curve must fall by itself, before what is made up: a tail cut short (our simulation)."""
BT_LEAST = 4.0
"""Least bandwidth times decay time of a filter run backwards. Source: ISO 3382-2:2008, 7.3 (from memory)."""
DROP_DB = 5.0
"""A direct sound that takes more of the energy than this rules EDT (our simulation)."""
BT_TO_JUDGE = 20.0
"""Below it a perfectly straight decay scatters too much to be called bent (our simulation)."""
LOUDSPEAKER_S = 0.4
"""At 63 Hz a box loudspeaker's own decay shows in decays shorter than this (common practice, no source)."""
_SPANS = {"EDT": (0.0, -10.0), "T20": (-5.0, -25.0), "T30": (-5.0, -35.0)}


@dataclass(frozen=True, slots=True)
class Figure:
    """A decay time in s, None where it cannot be read, and why it does not count; it counts where nothing is said."""

    value_s: float | None
    reasons: tuple[str, ...] = ()

    @property
    def valid(self) -> bool:
        """Whether it counts."""
        return self.value_s is not None and not self.reasons


@dataclass(frozen=True, slots=True)
class BandDecay:
    """One octave band: decay times in s, C80 in dB, D50 as a share, start of the decay over the noise in dB.

    bt: bandwidth times decay time. curvature_pct: 100 (T30/T20 - 1). xi20, xi30: non-linearity in permille. notes: what
    to know beside it, which takes nothing away. curve: what the figures were read from, None where there was none.
    """

    nominal_hz: int
    edt: Figure
    t20: Figure
    t30: Figure
    c80_db: float | None
    d50: float | None
    dynamic_db: float | None
    bt: float | None
    curvature_pct: float | None
    xi20_permille: float | None
    xi30_permille: float | None
    notes: tuple[str, ...]
    curve: Curve | None

    def figure(self, name: str) -> Figure:
        """The decay time called EDT, T20 or T30."""
        return {"EDT": self.edt, "T20": self.t20, "T30": self.t30}[name]


def band_decay(nominal_hz: int, curve: Curve | None) -> BandDecay:
    """Every figure of one octave band (Hz) from its decay curve, with the reasons why one does not count.

    Source: ISO 3382-1:2009 and ISO 3382-2:2008; limits that are ours say so above.
    """
    if curve is None:
        lost = Figure(None, ("nothing stands out of the noise",))
        return BandDecay(nominal_hz, lost, lost, lost, None, None, None, None, None, None, None, (), None)
    lines = {name: line_through(curve, *span) for name, span in _SPANS.items()}
    figures = {name: Figure(line.time_s if line else None, _reasons(name, curve, line))
               for name, line in lines.items()}
    t20, t30 = lines["T20"], lines["T30"]
    bt = bandwidth_hz(nominal_hz) * (t30 or t20).time_s if t30 or t20 else None
    curvature = 100.0 * (t30.time_s / t20.time_s - 1.0) if t20 and t30 else None
    judged = curvature is not None and figures["T20"].valid and figures["T30"].valid
    return BandDecay(
        nominal_hz, figures["EDT"], figures["T20"], figures["T30"],
        clarity_db(early_share(curve, 0.08)), early_share(curve, 0.05), curve.dynamic_db, bt, curvature,
        t20.nonlinearity_permille if t20 else None, t30.nonlinearity_permille if t30 else None,
        _curvature_notes(curvature, bt) if judged else (), curve)


def _reasons(name: str, curve: Curve, line: Line | None) -> tuple[str, ...]:
    said = []
    if curve.dynamic_db < DYNAMIC_DB[name]:
        said.append(f"the decay starts {curve.dynamic_db:.0f} dB over the noise, {DYNAMIC_DB[name]:.0f} dB are needed")
    if curve.range_db < RANGE_DB[name]:
        cause = "" if curve.reaches_noise else ": the recording ends before the room is quiet"
        said.append(f"the decay can be followed for {curve.range_db:.0f} dB, {RANGE_DB[name]:.0f} dB are needed{cause}")
    if line is None:
        return tuple(said) or ("the decay is too short to read",)
    bt = bandwidth_hz(curve.nominal_hz) * line.time_s
    if bt < BT_LEAST:
        said.append(f"{line.time_s:.2f} s is shorter than this band can show ({BT_LEAST:.0f} over its width)")
    if name == "EDT" and curve.drop_db > DROP_DB:
        said.append(f"the direct sound alone takes the first {curve.drop_db:.0f} dB")
    if curve.nominal_hz < 100 and (name == "EDT" or line.time_s < LOUDSPEAKER_S):
        said.append("the loudspeaker's own decay may show at 63 Hz")
    return tuple(said)


def _curvature_notes(curvature_pct: float, bt: float) -> tuple[str, ...]:
    limit = max(10.0, 130.0 / math.sqrt(bt))
    if abs(curvature_pct) <= limit:
        return ()
    if bt < BT_TO_JUDGE:
        return (f"whether the decay is straight cannot be judged ({curvature_pct:+.0f} %)",)
    return (f"the decay is bent ({curvature_pct:+.0f} %, up to {limit:.0f} % would be chance): T20 and T30 tell of "
            "different parts of it",)
