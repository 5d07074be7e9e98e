"""How hours and days are written."""

from __future__ import annotations

import re
from datetime import date, timedelta
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


def read_date(text: str, today: date, *, what: str = "date") -> date:
    """A day from `2026-03-02`, `today` or `yesterday`; MeasureError otherwise."""
    word = text.strip().lower()
    if word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", word):
            return date.fromisoformat(word)
    except ValueError as error:
        raise MeasureError(what, text, f"{error}; write e.g. 2026-03-02, today or yesterday") from None
    raise MeasureError(what, text, "cannot read that as a day; write e.g. 2026-03-02, today or yesterday")
