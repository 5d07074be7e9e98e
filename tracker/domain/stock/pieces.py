"""Offcuts: usable remainders kept in stock by their size."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Offcut:
    """A remainder of known size, m; a stick's has no width. A roll's length runs along the roll."""

    id: str
    item: str
    length_m: float
    width_m: float | None = None
    made_by: str = ""
    piece: str = ""
    """Name of the piece of the cutting plan it is, cut and waiting; empty for a remainder."""
