"""When work will be reached: hours of work counted off along the hours planned a week."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from math import floor

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_SLACK_H = 1e-6
Hours = tuple[tuple[str, float], ...]
"""(day as mon..sun, hours of work planned)."""


def day_reached(start: date, hours: Hours, before_h: float) -> date | None:
    """The day on which the work begins that comes after `before_h` hours of other work, from the morning of `start` on.

    A day's hours filled to the last, the next day of work is meant. None where no hours are planned.
    Source: definition (running sum of the hours planned by day).
    """
    planned = dict(hours)
    by_day = [max(0.0, planned.get(day, 0.0)) for day in WEEKDAYS]
    week_h = sum(by_day)
    if week_h <= 0:
        return None
    weeks = floor(before_h / week_h + _SLACK_H)
    day, left_h = start + timedelta(weeks=weeks), before_h - weeks * week_h
    while (today_h := by_day[day.weekday()]) <= 0 or left_h > today_h - _SLACK_H:
        left_h -= today_h
        day += timedelta(days=1)
    return day


def days_reached(start: date, hours: Hours, work: Iterable[tuple[str, float]]) -> dict[str, date]:
    """The day each piece of work is begun, done one after the other: (key, its hours) in the order of work.

    Hours in h. Empty where no hours are planned. Source: definition, as `day_reached`.
    """
    found, before_h = {}, 0.0
    for key, work_h in work:
        day = day_reached(start, hours, before_h)
        if day is not None:
            found[key] = day
        before_h += work_h
    return found
