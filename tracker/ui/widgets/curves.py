"""Curves over the octave bands as shapes: the three states of a room, its target shaded, and what was measured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from tracker.domain.bands import BANDS_HZ
from tracker.services.sound_answers import RoomSound, Times
from tracker.ui.widgets.shapes import Label, Point, Polygon, Shape, Stroke

STATES = (("bare", "b", "muted", 2), ("planned", "p", "way", 4), ("now", "n", "strong", 0))
"""State, its letter on the curve, its role, its dash."""
MEASURED = "order"
"""Role of what was measured."""
_FIVES = (1.0, 2.0, 2.5, 5.0, 10.0)
_LAST = float(len(BANDS_HZ) - 1)


def decay_shapes(room: RoomSound, band: int) -> tuple[list[Shape], tuple[Point, Point]]:
    """Decay time, s, with the target's band and the span over the models, and the corners of the chart."""
    curves = {state: getattr(room, state).sabine_s for state, *_ in STATES}
    points = [(one.measured_s, one.expanded_s) for one in room.measured]
    spans = {state: (getattr(room, state).low_s, getattr(room, state).high_s) for state in ("planned", "now")}
    top = _top([*curves.values(), *(high for _, high in spans.values()), *(times for times, _ in points)])
    shapes: list[Shape] = _aim(room.target.low_s, room.target.high_s, top) if room.target is not None else []
    roles = {state: role for state, _, role, _ in STATES}
    for state, (low, high) in spans.items():
        shapes += [Stroke(((float(x), one), (float(x), two)), roles[state])
                   for x, (one, two) in enumerate(zip(low, high, strict=True)) if one is not None and two is not None]
    return _chart(shapes, curves, points, top, band, "s")


def area_shapes(room: RoomSound, band: int) -> tuple[list[Shape], tuple[Point, Point]]:
    """Absorption area, m2, with what the target asks for, and the corners of the chart."""
    curves = {state: getattr(room, state).area_m2 for state, *_ in STATES}
    points = [(one.area_m2, (None,) * len(BANDS_HZ)) for one in room.measured]
    # The least that the target asks for is in sight, however little is up.
    least = room.target.area_low_m2 if room.target is not None else ()
    top = _top([*curves.values(), *(areas for areas, _ in points), least])
    behind = _aim(least, room.target.area_high_m2, top) if room.target is not None else []
    return _chart(behind, curves, points, top, band, "m2")


def _aim(low: Sequence[float], high: Times, top: float) -> list[Shape]:
    """What the target lets pass, shaded between its ends, which may lie above the chart or be none there."""
    ends = [[(float(x), top if y is None else min(y, top)) for x, y in enumerate(end)] for end in (low, high)]
    lines = [Stroke(pair, "aim") for end in ends for pair in pairwise(end) if min(y for _, y in pair) < top]
    return [Polygon((*ends[0], *reversed(ends[1])), role="aim", edge=None, hatch="rain"), *lines]


def _chart(behind: list[Shape], curves: dict[str, Times], measured: Sequence[tuple[Times, Times]], top: float,
           band: int, unit: str) -> tuple[list[Shape], tuple[Point, Point]]:
    step = _step(top)
    ticks = [step * count for count in range(round(top / step) + 1)]
    # A cell takes the role of what is drawn on it last: the target goes over the rules.
    shapes = [*(Stroke(((0.0, tick), (_LAST, tick)), "rule", dash=1 if tick else 0) for tick in ticks), *behind,
              Stroke(((float(band), 0.0), (float(band), top)), "accent", dash=1)]
    labels: list[Shape] = [Label((0.0, tick), f"{tick:g} ", "muted", "left") for tick in ticks[:-1]]
    labels.append(Label((0.0, ticks[-1]), f"{unit} ", "muted", "left"))
    for number, (figures, wide) in enumerate(measured, start=1):
        for x, (figure, error) in enumerate(zip(figures, wide, strict=True)):
            if figure is not None:
                ends = max(0.0, figure - (error or 0.0)), min(top, figure + (error or 0.0))
                shapes.append(Stroke(((float(x), ends[0]), (float(x), ends[1])), MEASURED))
                labels.append(Label((float(x), figure), f"{number}", MEASURED))
    for state, letter, role, dash in STATES:
        points = [(float(x), y) for x, y in enumerate(curves[state]) if y is not None]
        shapes.append(Stroke(tuple(points), role, dash))
        labels += [Label(point, letter, role) for point in points]
    labels += [Label((float(x), 0.0), f"▸{name}" if x == band else name, "accent" if x == band else "muted", "below")
               for x, name in enumerate(map(band_name, BANDS_HZ))]
    return [*shapes, *sorted(labels, key=_last_first)], ((0.0, 0.0), (_LAST, top))


def band_name(hz: int) -> str:
    """A band as it is labelled: `500`, `1k`."""
    return f"{hz // 1000}k" if hz >= 1000 else str(hz)


def _last_first(shape: Shape) -> int:
    """What is measured is read first where letters fall on one cell, then what is now."""
    if not isinstance(shape, Label):
        return 2
    return 0 if shape.role == MEASURED else 1 if shape.text == "n" else 2


def _step(top: float) -> float:
    power = 10.0 ** math.floor(math.log10(top / 4))
    return next(power * five for five in _FIVES if power * five >= top / 4 - 1e-12)


def _top(curves: Iterable[Times]) -> float:
    highest = max((figure for curve in curves for figure in curve if figure is not None), default=1.0) or 1.0
    step = _step(highest)
    return step * math.ceil(highest / step - 1e-9)
