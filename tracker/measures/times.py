"""How hours are written."""

from __future__ import annotations

import re
from fractions import Fraction

from tracker.measures.units import NUMBER, MeasureError, Written, bare, number, refuse_no_figure

_MINUTES_AN_HOUR = 60


def read_hours(text: Written, *, what: str = "hours", most: float = 24) -> float:
    """Hours from `1:30`, `1.5`, `1,5`, `1h30`, `1.5 h` or `90 min`, in h, 0 to `most`; MeasureError otherwise."""
    remedy = "write e.g. 1:30, 1.5 or 90 min"
    if isinstance(text, str):
        refuse_no_figure(text, what, remedy)
        value = _hours(text)
        if value is None:
            raise MeasureError(what, text, f"cannot read that as hours; {remedy}")
    else:
        value = bare(text, what, remedy)
    if value > most:
        raise MeasureError(what, text, f"that is over {most:g} hours; {remedy}")
    return float(value)


def _hours(text: str) -> Fraction | None:
    if clock := re.fullmatch(r"\s*([0-9]+)\s*(?::|h)\s*([0-5]?[0-9])\s*(?:m|min)?\s*", text, re.I):
        return int(clock[1]) + Fraction(int(clock[2]), _MINUTES_AN_HOUR)
    if hours := re.fullmatch(rf"\s*({NUMBER})\s*(?:h|hour|hours)?\s*", text, re.I):
        return number(hours[1])
    if minutes := re.fullmatch(rf"\s*({NUMBER})\s*(?:min|minute|minutes)\s*", text, re.I):
        return number(minutes[1]) / _MINUTES_AN_HOUR
    return None


def show_hours(hours_h: float) -> str:
    """Hours (h) to the minute: `1:30`."""
    whole, minutes = divmod(round(hours_h * _MINUTES_AN_HOUR), _MINUTES_AN_HOUR)
    return f"{whole}:{minutes:02d}"
