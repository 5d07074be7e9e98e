"""How days are written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from tracker.measures.units import MeasureError

_DAYS_FROM_TODAY = {"yesterday": -1, "today": 0, "tomorrow": 1}
_WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_LEAP_YEARS_APART = 8
"""29 February comes again after so many years at the most (1896, 1904)."""

_WEEKDAY = "(mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?"
_DAY = "(?P<day>[0-9]{1,2})"
_MONTH = ("(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|"
          "oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)")
_YEAR = "(?P<year>[0-9]{4}|[0-9]{2})"
_FORMS = (
    rf"{_DAY}(?:st|nd|rd|th|\.)? ?{_MONTH}\.?(?: {_YEAR})?",
    rf"{_MONTH}\.? ?{_DAY}(?:st|nd|rd|th|\.)?(?: {_YEAR})?",
    rf"{_DAY}\. ?(?P<month>[0-9]{{1,2}})\.(?: ?{_YEAR})?",
    rf"{_DAY}(?P<parted>[./-])(?P<month>[0-9]{{1,2}})(?:(?P=parted){_YEAR})?",
)


def show_day(on: date, today: date | None = None) -> str:
    """A day as it is said, `Fri 4 Dec`; with the year where that is not today's."""
    return f"{_WEEK[on.weekday()][:3]} {_named(on, today is not None and on.year != today.year)}"


def read_date(text: str, today: date, *, what: str = "date", past: bool = False) -> date:
    """A day from `2026-12-04`, `4 dec`, `Fri 4 Dec 2026`, `4.12.`, `tomorrow`, `fri`, `in 3 days` or `2 weeks ago`.

    A day of the week is the next such day after today, a date without a year the next such date; with `past` the last
    one, today included. `next fri` is read only where all ways to count the weeks come to the same day.
    Errors: MeasureError for anything else, for what could be either of two days, for a day of the week beside a date
    that is another.
    """
    return _Reader(text, today, what, past).read()


class _Reader:
    """One text, to be read on one day."""

    def __init__(self, text: str, today: date, what: str, past: bool) -> None:
        self.text, self.today, self.what, self.past = text, today, what, past
        self.word = " ".join(text.lower().replace(",", " ").split())

    def read(self) -> date:
        if self.word in _DAYS_FROM_TODAY:
            return self.today + timedelta(days=_DAYS_FROM_TODAY[self.word])
        if weekday := re.fullmatch(f"(?:(next|last) )?{_WEEKDAY}", self.word):
            return self._weekday(_number_of(weekday[2]), weekday[1])
        if away := re.fullmatch("(?:in ([0-9]{1,3}) (day|week)s?|([0-9]{1,3}) (day|week)s? ago)", self.word):
            days = int(away[1] or away[3]) * (7 if "week" in self.word else 1)
            return self.today + timedelta(days=days if away[1] else -days)
        if whole := re.fullmatch("([0-9]{4})-([0-9]{2})-([0-9]{2})", self.word):
            year, month, day = map(int, whole.groups())
            return self._fitting(None, day, month, year)
        for form in _FORMS:
            if said := re.fullmatch(rf"(?:{_WEEKDAY}\.? )?{form}", self.word):
                return self._dated(said)
        raise self._refused("cannot read that as a day")

    def _weekday(self, wanted: int, beside: str | None) -> date:
        """A day of the week; `next` and `last` only where all ways to count the weeks come to the same day."""
        ahead = (wanted - self.today.weekday() - 1) % 7 + 1
        behind = 7 - ahead or 7
        if beside is None:
            return self.today - timedelta(days=behind % 7) if self.past else self.today + timedelta(days=ahead)
        nearest = timedelta(days=ahead if beside == "next" else -behind)
        week = timedelta(days=7 if beside == "next" else -7)
        # A week begins on Monday for some and on Sunday for others.
        by_monday = week + timedelta(days=wanted - self.today.weekday())
        by_sunday = week + timedelta(days=(wanted + 1) % 7 - (self.today.weekday() + 1) % 7)
        first, *others = sorted({self.today + days for days in (nearest, by_monday, by_sunday)})
        if others:
            raise MeasureError(self.what, self.text,
                               f"that could be {show_day(first, self.today)} or {show_day(others[0], self.today)}; "
                               f"write {first.isoformat()} or {others[0].isoformat()}")
        return first

    def _dated(self, said: re.Match[str]) -> date:
        weekday = None if said[1] is None else _number_of(said[1])
        day, month, year = int(said["day"]), said["month"], said["year"]
        if year is not None and len(year) == 2:
            raise self._refused("the year needs four figures")
        full = None if year is None else int(year)
        if not month.isdigit():
            return self._fitting(weekday, day, 1 + _MONTHS.index(month[:3].title()), full)
        if "parted" not in said.re.groupindex:
            return self._fitting(weekday, day, int(month), full)
        return self._fitting(weekday, *self._which_first(day, int(month), full), full)

    def _which_first(self, one: int, other: int, year: int | None) -> tuple[int, int]:
        """Day and month of two figures that may stand either way round; refused where both ways there is such a day."""
        ways = [way for way in dict.fromkeys([(one, other), (other, one)]) if any(_days_of(*way, year, self.today, 1))]
        if not ways:
            raise self._refused("there is no such day")
        if len(ways) > 1:
            of_year = "" if year is None else f" {year}"
            both = " or ".join(f"{day} {_MONTHS[month - 1]}{of_year}" for day, month in ways)
            raise MeasureError(self.what, self.text, f"that could be {both}; write {both.lower()}")
        return ways[0]

    def _fitting(self, weekday: int | None, day: int, month: int, year: int | None) -> date:
        """The one date that is meant; refused where it falls on another day of the week than was said."""
        ways = (-1, 1) if self.past else (1, -1)
        found, *elsewhere = (next(_days_of(day, month, year, self.today, way), None) for way in ways)
        if found is None:
            raise self._refused(f"there is no {_said(day, month, year)}")
        if weekday is None or found.weekday() == weekday:
            return found
        other = next((on for on in elsewhere if on is not None and on.weekday() == weekday), None)
        also = "" if other is None else f", {_named(other, True)} a {_WEEK[weekday]}"
        remedy = "the day you mean" if other is None else other.isoformat()
        raise MeasureError(self.what, self.text, f"{_named(found, True)} is a {_WEEK[found.weekday()]}{also}; "
                                                 f"write {found.isoformat()} or {remedy}")

    def _refused(self, reason: str) -> MeasureError:
        ways = "yesterday, mon or 3 days ago" if self.past else "tomorrow, fri or in 3 days"
        return MeasureError(self.what, self.text, f"{reason}; write e.g. 2026-03-02, 4 dec, {ways}")


def _days_of(day: int, month: int, year: int | None, today: date, way: int) -> Iterator[date]:
    """That date of a year; without one the nearest from today on, or with `way` -1 the nearest back from it."""
    years = (year,) if year is not None else range(today.year, today.year + way * (_LEAP_YEARS_APART + 1), way)
    for one in years:
        try:
            on = date(one, month, day)
        except ValueError:
            continue
        if year is not None or (on - today).days * way >= 0:
            yield on
            return


def _number_of(weekday: str) -> int:
    return next(number for number, name in enumerate(_WEEK) if name.lower().startswith(weekday[:3]))


def _named(on: date, year: bool) -> str:
    return f"{on.day} {_MONTHS[on.month - 1]}" + (f" {on.year}" if year else "")


def _said(day: int, month: int, year: int | None) -> str:
    if not 1 <= month <= len(_MONTHS):
        return f"month {month}"
    return f"{day} {_MONTHS[month - 1]}" + ("" if year is None else f" {year}")
