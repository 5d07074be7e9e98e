"""Two measurements of a room over one another: decay times, response, and the verdict band by band."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tracker.services.sweep_answers import BandChange, Stage, SweepComparison, SweepReading
from tracker.ui.ink import Line, fit, spans, wrapped
from tracker.ui.widgets.curves import band_name
from tracker.ui.widgets.shapes import Label, Point, Shape, Stroke

BEFORE, AFTER = ("b", "muted", 2), ("a", "strong", 0)
"""Letter, role and dash of the measurement before and of the one after."""
_MARKS_HZ = (50, 100, 200, 500, 1000, 2000, 5000, 10000)
"""One-third octaves that are named and lettered; all of them would not fit."""
_STEPS = (1.0, 2.0, 5.0, 10.0)
_ROLES = {"as predicted": "ready", "more than predicted": "way", "less than predicted": "short",
          "more absorption": "plain", "less absorption": "plain"}
Frame = tuple[Point, Point]


def decay_overlay(found: SweepComparison, narrow: bool = False) -> tuple[list[Shape], Frame]:
    """Decay time of both, s, in every octave band both hold and where it counts, and the corners of the chart.

    Where it is narrow, every other band is named.
    """
    curves = [_decays(found.before.reading), _decays(found.after.reading)]
    bands = sorted({hz for curve in curves for hz in curve})
    return _chart([[curve.get(hz) for hz in bands] for curve in curves], bands,
                  bands[:: 2 if narrow else 1], "s", 0.0)


def response_overlay(found: SweepComparison, narrow: bool = False) -> tuple[list[Shape], Frame]:
    """Response of both in one-third octaves, dB, and the corners of the chart."""
    curves = [dict(zip(stage.reading.response.hz, stage.reading.response.db, strict=True))
              for stage in (found.before, found.after)]
    bands = sorted({hz for curve in curves for hz in curve})
    return _chart([[curve.get(hz) for hz in bands] for curve in curves], bands,
                  _MARKS_HZ[:: 2 if narrow else 1], "dB", None)


def overlay_caption(found: SweepComparison, width: int) -> list[Line]:
    """Which is which."""
    line: list[tuple[str, str]] = []
    for (letter, role, _), stage in ((BEFORE, found.before), (AFTER, found.after)):
        line += [(f" {letter} ", role), (stage.name, "title"), (f" {_about(stage)}  ", "muted")]
    return [spans(*line)]


def verdict_lines(found: SweepComparison, width: int) -> list[Line]:
    """Band by band: decay before and after, the gain with its span, the one predicted, and the verdict."""
    lines: list[Line] = [_row(("Hz", "before", "after", "gain m2", "predicted"), "verdict", "title", "title")]
    lines += [_row(_figures(one), one.verdict, "plain", _ROLES.get(one.verdict, "muted")) for one in found.changes]
    lines += wrapped(found.sentence, "strong", width - 2, spans(" "))
    said = [f"{problem.text}; {problem.remedy}." for stage in (found.before, found.after)
            for problem in stage.reading.problems]
    lines += [line for one in dict.fromkeys(said) for line in wrapped(one, "short", width - 3, spans(" ! "))]
    return [*lines, *(line for one in found.notes for line in wrapped(one, "note", width - 2, spans(" ")))]


def _about(stage: Stage) -> str:
    return f"{stage.state}, {stage.positions} position{'s' if stage.positions != 1 else ''}"


def _decays(reading: SweepReading) -> dict[int, float]:
    """T30 where it counts, else T20."""
    found: dict[int, float] = {}
    for hertz, figures in ((reading.bands_hz, reading), (reading.outer.hz, reading.outer)):
        for at, hz in enumerate(hertz):
            if figures.t30_valid[at] or figures.t20_valid[at]:
                value = figures.t30_s[at] if figures.t30_valid[at] else figures.t20_s[at]
                if value is not None:
                    found[hz] = value
    return found


def _chart(curves: Sequence[Sequence[float | None]], bands: Sequence[int], marks: Sequence[int], unit: str,
           floor: float | None) -> tuple[list[Shape], Frame]:
    values = [one for curve in curves for one in curve if one is not None] or [0.0, 1.0]
    low, high = min(values) if floor is None else floor, max(values)
    step = _step(high - low)
    low, high = step * math.floor(low / step), step * math.ceil(high / step - 1e-9)
    high = max(high, low + step)
    last = float(max(1, len(bands) - 1))
    ticks = [low + step * count for count in range(round((high - low) / step) + 1)]
    shapes: list[Shape] = [Stroke(((0.0, tick), (last, tick)), "rule", dash=0 if tick == low else 1) for tick in ticks]
    labels: list[Shape] = [Label((0.0, tick), f"{tick:g} ", "muted", "left") for tick in ticks[:-1]]
    labels.append(Label((0.0, ticks[-1]), f"{unit} ", "muted", "left"))
    for curve, (letter, role, dash) in zip(curves, (BEFORE, AFTER), strict=True):
        points = [(float(x), y) for x, y in enumerate(curve) if y is not None]
        shapes.append(Stroke(tuple(points), role, dash))
        labels += [Label(point, letter, role) for point in points if bands[round(point[0])] in marks]
    # What is after is read first where letters fall on one cell.
    labels.sort(key=lambda label: isinstance(label, Label) and label.text != AFTER[0])
    labels += [Label((float(x), low), band_name(hz), "muted", "below") for x, hz in enumerate(bands) if hz in marks]
    return [*shapes, *labels], ((0.0, low), (last, high))


def _step(span: float) -> float:
    """A round step that divides a span into four to eight."""
    least = max(span, 1e-6) / 4.0
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * one for one in _STEPS if power * one >= least - 1e-12)


def _figures(one: BandChange) -> tuple[str, ...]:
    times = tuple("-" if time_s is None else f"{time_s:.2f}" for time_s in (one.before_s, one.after_s))
    gain = "-" if one.gain_m2 is None or one.high_m2 is None else f"{one.gain_m2:+.1f} ±{one.high_m2 - one.gain_m2:.1f}"
    predicted = "-" if one.predicted_m2 is None else f"{one.predicted_m2:+.1f}"
    return band_name(one.hz), *times, gain, predicted


def _row(words: Sequence[str], verdict: str, role: str, verdict_role: str) -> Line:
    cells = (fit(word, size, right=True) for word, size in zip(words, (5, 8, 7, 13, 11), strict=True))
    return spans(*((cell, role) for cell in cells), (f"  {verdict}", verdict_role))
