"""Between the domain's metres and quantities and the store's whole numbers."""

from __future__ import annotations

import json

from tracker.domain.bands import PerBand
from tracker.domain.site import Outline

_PARTS = 1_000_000


def whole(value: float) -> int:
    """Metres as micrometres, or a quantity as millionths of its unit."""
    return round(value * _PARTS)


def whole_or_none(value: float | None) -> int | None:
    return None if value is None else whole(value)


def amount(parts: int) -> float:
    """Micrometres as metres, or millionths as a quantity."""
    return parts / _PARTS


def amount_or_none(parts: int | None) -> float | None:
    return None if parts is None else amount(parts)


def outline_text(outline: Outline) -> str:
    return json.dumps([[whole(x), whole(y)] for x, y in outline])


def read_outline(text: str) -> Outline:
    return tuple((amount(x), amount(y)) for x, y in json.loads(text))


def bands_text(figures: PerBand) -> str:
    return json.dumps(list(figures))


def read_bands(text: str) -> PerBand:
    return tuple(json.loads(text))
