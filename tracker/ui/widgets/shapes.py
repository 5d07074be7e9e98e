"""What a drawing is made of: outlines, lines, tiles, words and dimensions, in the drawing's own measure, y up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline with holes, in the drawing's own measure, y up."""

    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    role: str = "edge"
    edge: str | None = "edge"
    """Role of its outline; None for none."""
    hatch: str | None = None
    """One of `raster.HATCHES`, `blank` to wipe what is beneath, None to leave it."""
    heavy: bool = False
    """Is its outline two dots wide, the second one within it?"""


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open line through points."""

    points: tuple[Point, ...]
    role: str = "edge"
    dash: int = 0


@dataclass(frozen=True, slots=True)
class Tiles:
    """Outlines side by side, all left out where most would be too small to tell apart."""

    outlines: tuple[tuple[Point, ...], ...]
    role: str = "edge"


@dataclass(frozen=True, slots=True)
class Label:
    """Text at a point: centred on it, below it, or ending left of it. One that would cover another is left out."""

    at: Point
    text: str
    role: str = "plain"
    place: Literal["centre", "below", "left"] = "centre"
    row: int = 0
    """Rows to shift down."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A length below the level line it is of: from tick to tick, or where that has no room the figure alone."""

    start: Point
    end: Point
    text: str
    role: str = "muted"
    row: int = 0
    """Rows to shift down."""


Shape = Polygon | Stroke | Tiles | Label | Dimension
Words = Label | Dimension
