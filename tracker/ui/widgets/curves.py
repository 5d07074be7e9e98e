"""Curves over the octave bands as shapes: the three states of a room, the target shaded behind them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from tracker.domain.bands import BANDS_HZ
from tracker.services.answers import RoomSound
from tracker.ui.widgets.drawing import Label, Point, Polygon, Shape, Stroke

STATES = (("bare", "b", "muted", 2), ("planned", "p", "way", 4), ("now", "n", "strong", 0))
"""State, its letter on the curve, its role, its dash."""
_FIVES = (1.0, 2.0, 2.5, 5.0, 10.0)


def decay_shapes(room: RoomSound) -> tuple[list[Shape], tuple[Point, Point]]:
    """Decay time, s, with the target's band, and the corners of the chart."""
    curves = {state: getattr(room, state).sabine_s for state, *_ in STATES}
    shapes: list[Shape] = []
    if room.target is not None:
        # Above the chart there is nothing to shade; the target may be open at the top.
        top = _top(curves.values())
        outline = [*((float(x), min(y, top)) for x, y in enumerate(room.target.low_s)),
                   *((float(x), min(y, top)) for x, y in reversed(list(enumerate(room.target.high_s))))]
        shapes.append(Polygon(tuple(outline), role="aim", edge="aim", hatch="rain"))
    return _chart(shapes, curves, "s")


def area_shapes(room: RoomSound) -> tuple[list[Shape], tuple[Point, Point]]:
    """Absorption area, m2, and the corners of the chart."""
    return _chart([], {state: getattr(room, state).area_m2 for state, *_ in STATES}, "m2")


def _chart(behind: list[Shape], curves: dict[str, Sequence[float]],
           unit: str) -> tuple[list[Shape], tuple[Point, Point]]:
    top, last = _top(curves.values()), len(BANDS_HZ) - 1
    shapes = [*behind, Stroke(((0.0, 0.0), (float(last), 0.0)), "rule")]
    step = _step(top)
    ticks = [step * count for count in range(round(top / step) + 1)]
    labels: list[Shape] = [Label((0.0, tick), f"{tick:g} ", "muted", "left") for tick in ticks[:-1]]
    labels.append(Label((0.0, ticks[-1]), f"{unit} ", "muted", "left"))
    shapes += [Stroke(((0.0, tick), (float(last), tick)), "rule", dash=1) for tick in ticks[1:]]
    for state, letter, role, dash in STATES:
        points = tuple((float(x), y) for x, y in enumerate(curves[state]))
        shapes.append(Stroke(points, role, dash))
        labels += [Label(point, letter, role) for point in points]
    labels += [Label((float(x), 0.0), f"{band // 1000}k" if band >= 1000 else str(band), "muted", "below")
               for x, band in enumerate(BANDS_HZ)]
    return [*shapes, *sorted(labels, key=_last_first)], ((0.0, 0.0), (float(last), top))


def _last_first(shape: Shape) -> int:
    """What is now is read first where letters fall on one cell."""
    return 0 if isinstance(shape, Label) and shape.text == "n" else 1


def _step(top: float) -> float:
    power = 10.0 ** math.floor(math.log10(top / 4))
    return next(power * five for five in _FIVES if power * five >= top / 4 - 1e-12)


def _top(curves: Iterable[Sequence[float]]) -> float:
    highest = max((max(curve) for curve in curves), default=1.0) or 1.0
    step = _step(highest)
    return step * math.ceil(highest / step - 1e-9)
