"""The cuts of a board in order, each as a person reads it at the saw, in the site's units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tracker.domain.cutting.plans import BoardCut, SawCut
from tracker.measures import show_length
from tracker.services.cut_answers import SawView

SAME_M = 1e-6
Panel = tuple[tuple[float, float], tuple[float, float]]
"""Where a panel lies on its board and its size, m."""


def mark_m(unit: str) -> float:
    """What a tape is marked to, m: a millimetre, or a sixteenth of an inch."""
    return 0.001 if unit == "mm" else 0.0254 / 16


def saw_steps(board: BoardCut, unit: str) -> Iterator[SawView]:
    """The cuts of a board in order, each with the pieces that are done once it is made."""
    mark = mark_m(unit)
    steps = [saw for one in board.saw if not _on_the_rim(saw := _straightened(one, mark))]
    last = {cut.piece: number for number, saw in enumerate(steps) for cut in board.cuts
            if _holds((saw.panel_at_m, saw.panel_size_m), (cut.at_m, cut.size_m))}
    in_hand: Panel = ((0.0, 0.0), board.size_m)
    for number, saw in enumerate(steps):
        panel = saw.panel_at_m, saw.panel_size_m
        rest = "" if _holds(panel, in_hand) and _holds(in_hand, panel) else f"rest {_size(saw.panel_size_m, unit)}: "
        frees = tuple(piece for piece, when in last.items() if when == number)
        yield SawView(saw.kind, saw.at_m, saw.keep, saw.start_m, saw.end_m, rest + _saw_words(saw, unit), frees)
        in_hand = _kept_of(saw)


def _holds(panel: Panel, other: Panel) -> bool:
    return all(panel[0][axis] - SAME_M <= other[0][axis] and
               other[0][axis] + other[1][axis] <= panel[0][axis] + panel[1][axis] + SAME_M for axis in (0, 1))


def _straightened(saw: SawCut, mark: float) -> SawCut:
    """A slanted cut with a taper finer than the tape's mark, m, made straight, and brought to a rim as near as that."""
    if saw.kind != "line":
        return saw
    start, end = list(saw.start_m), list(saw.end_m)
    for axis in (0, 1):
        low, high = saw.panel_at_m[axis], saw.panel_at_m[axis] + saw.panel_size_m[axis]
        for point in (start, end):
            point[axis] = next((rim for rim in (low, high) if abs(point[axis] - rim) < mark), point[axis])
    along = [abs(one - other) for one, other in zip(start, end, strict=True)]
    for axis in (0, 1):
        if 0 < along[axis] < mark < along[1 - axis]:
            start[axis] = end[axis] = (start[axis] + end[axis]) / 2
    return replace(saw, start_m=tuple(start), end_m=tuple(end))


def _on_the_rim(saw: SawCut) -> bool:
    """Does a slanted cut take nothing off the piece's rectangle?"""
    return saw.kind == "line" and any(
        all(abs(point[axis] - saw.panel_at_m[axis] - side) < SAME_M for point in (saw.start_m, saw.end_m))
        for axis in (0, 1) for side in (0.0, saw.panel_size_m[axis]))


def _kept_of(saw: SawCut) -> Panel:
    """The part of its panel that a cut keeps in hand; a slanted one is made in the piece's own rectangle."""
    width, height = saw.panel_size_m
    return saw.panel_at_m, {"rip": (width, saw.at_m), "cross": (saw.at_m, height)}.get(saw.kind, (width, height))


def _saw_words(saw: SawCut, unit: str) -> str:
    if saw.kind == "line":
        # Measured from the corner of what is in hand: by then the board is in parts.
        ends = (tuple(value - by for value, by in zip(point, saw.panel_at_m, strict=True))
                for point in (saw.start_m, saw.end_m))
        return f"cut from {' to '.join(' / '.join(show_length(value, unit) for value in end) for end in ends)}, keep " \
               "the piece"
    return f"{saw.kind} at {show_length(saw.at_m, unit)}, keep {saw.keep}"


def _size(size_m: tuple[float, float], unit: str) -> str:
    return f"{show_length(size_m[0], unit)} x {show_length(size_m[1], unit)}"
