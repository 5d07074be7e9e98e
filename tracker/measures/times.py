"""How hours and days are written."""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction

from tracker.measures.units import NUMBER, MeasureError, Written, bare, number, refuse_no_figure

_MINUTES_AN_HOUR = 60
_DAYS_FROM_TODAY = {"yesterday": -1, "today": 0, "tomorrow": 1}
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


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


def read_date(text: str, today: date, *, what: str = "date", past: bool = False) -> date:
    """A day from `2026-03-02`, `today`, `yesterday`, `tomorrow`, `fri`, `in 3 days` or `2 weeks ago`.

    A day of the week is the next such day after today; with `past` the last one, today included.
    Errors: MeasureError for anything else.
    """
    word = " ".join(text.lower().split())
    remedy = f"write e.g. 2026-03-02, {'yesterday, mon or 3 days ago' if past else 'tomorrow, fri or in 3 days'}"
    if word in _DAYS_FROM_TODAY:
        return today + timedelta(days=_DAYS_FROM_TODAY[word])
    if weekday := re.fullmatch("(mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?", word):
        wanted = _WEEK.index(weekday[1][:3])
        ahead = (wanted - today.weekday() - 1) % 7 + 1
        return today - timedelta(days=(7 - ahead) % 7) if past else today + timedelta(days=ahead)
    if away := re.fullmatch("(?:in ([0-9]{1,3}) (day|week)s?|([0-9]{1,3}) (day|week)s? ago)", word):
        days = int(away[1] or away[3]) * (7 if "week" in word else 1)
        return today + timedelta(days=days if away[1] else -days)
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", word):
            return date.fromisoformat(word)
    except ValueError as error:
        raise MeasureError(what, text, f"{error}; {remedy}") from None
    raise MeasureError(what, text, f"cannot read that as a day; {remedy}")
