"""Days as people write them, and as the screens write them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.measures import MeasureError, read_date, show_day
from tracker.ui import figures

MONDAY = date(2026, 3, 2)
SUNDAY = date(2026, 3, 22)
DAYS = st.dates(date(1950, 1, 1), date(2150, 1, 1))


def test_the_days_these_tests_stand_on() -> None:
    """ISO 8601 week dates: 2 March 2026 is 2026-W10-1, 22 March 2026-W12-7, 4 December 2026-W49-5."""
    assert MONDAY.isocalendar() == (2026, 10, 1)
    assert SUNDAY.isocalendar() == (2026, 12, 7)
    assert date(2026, 12, 4).isocalendar() == (2026, 49, 5)


def test_days_from_today_and_of_the_week_are_read() -> None:
    assert read_date("2026-03-01", MONDAY) == date(2026, 3, 1)
    assert read_date(" Today ", MONDAY) == MONDAY
    assert read_date("yesterday", MONDAY) == date(2026, 3, 1)
    assert read_date("tomorrow", MONDAY) == date(2026, 3, 3)
    assert read_date("in 3 days", MONDAY) == date(2026, 3, 5)
    assert read_date("in 2 weeks", MONDAY) == date(2026, 3, 16)
    assert read_date("3 days ago", MONDAY) == date(2026, 2, 27)
    for text in ("fri", "Friday", "FRI"):
        assert read_date(text, MONDAY) == date(2026, 3, 6)
        assert read_date(text, MONDAY, past=True) == date(2026, 2, 27)
    assert read_date("mon", MONDAY) == date(2026, 3, 9)
    assert read_date("monday", MONDAY, past=True) == MONDAY


@pytest.mark.parametrize("text", [
    "4 dec", "dec 4", "4 December", "december 4", "4. Dec", "4th dec", "Dec. 4", "4dec", "Fri 4 Dec", "Friday, 4 Dec",
    "fri. 4 december", "Fri Dec 4", "4 dec 2026", "Dec 4, 2026", "Fri 4 Dec 2026", "4.12.", "04.12.", "4.12.2026",
    "4. 12. 2026", "Fri 4.12.", "2026-12-04",
])
def test_dates_are_read(text: str) -> None:
    assert read_date(text, SUNDAY) == date(2026, 12, 4)


@pytest.mark.parametrize("text", ["4 dec", "4.12.", "dec 4", "Thu 4 Dec"])
def test_without_a_year_the_past_gives_the_last_such_day(text: str) -> None:
    assert read_date(text, SUNDAY, past=True) == date(2025, 12, 4)


def test_today_is_the_next_and_the_last_such_day() -> None:
    assert read_date("22 mar", SUNDAY) == read_date("22 mar", SUNDAY, past=True) == SUNDAY
    assert read_date("21 mar", SUNDAY) == date(2027, 3, 21)


def test_the_29th_of_february_is_the_next_there_is() -> None:
    """Gregorian calendar: 1900 is no leap year, 1896 and 1904 are."""
    assert read_date("29 feb", SUNDAY) == date(2028, 2, 29)
    assert read_date("29 feb", SUNDAY, past=True) == date(2024, 2, 29)
    assert read_date("29 feb", date(1896, 3, 1)) == date(1904, 2, 29)
    assert read_date("29.2.", date(1904, 2, 28), past=True) == date(1896, 2, 29)


@pytest.mark.parametrize(("today", "friday"), [
    (date(2026, 3, 20), date(2026, 3, 27)),   # on a Friday: that of the week after, however weeks are counted
    (date(2026, 3, 21), date(2026, 3, 27)),   # on a Saturday
])
def test_next_friday_is_read_where_it_can_only_be_one_day(today: date, friday: date) -> None:
    assert read_date("next fri", today) == read_date("Next Friday", today) == friday
    assert read_date("last fri", friday) == friday - timedelta(days=7)


@pytest.mark.parametrize("today", [SUNDAY, date(2026, 3, 23), date(2026, 3, 26)])
def test_next_friday_is_refused_with_both_days_where_it_can_be_two(today: date) -> None:
    with pytest.raises(MeasureError, match=r"Fri 27 Mar or Fri 3 Apr; write 2026-03-27 or 2026-04-03$"):
        read_date("next fri", today, what="due")


@given(DAYS, st.sampled_from(["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]))
def test_next_and_last_are_the_nearest_such_day_or_refused(today: date, weekday: str) -> None:
    for beside, way in (("next", 1), ("last", -1)):
        nearest = next(on for days in range(1, 8) if f"{(on := today + timedelta(days=days * way)):%a}" == weekday)
        try:
            assert read_date(f"{beside} {weekday}", today) == nearest
        except MeasureError as refused:
            assert nearest.isoformat() in str(refused)
            assert (nearest + timedelta(days=7 * way)).isoformat() in str(refused)


@pytest.mark.parametrize(("text", "said"), [
    ("12/4", "12 Apr or 4 Dec; write 12 apr or 4 dec"), ("4/12", "4 Dec or 12 Apr"), ("4.12", "4 Dec or 12 Apr"),
    ("12-4", "12 Apr or 4 Dec"), ("4/12/2026", "4 Dec 2026 or 12 Apr 2026; write 4 dec 2026 or 12 apr 2026"),
    ("Sat 4 Dec", "4 Dec 2026 is a Friday; write 2026-12-04"), ("Sat 4 Dec 2026", "4 Dec 2026 is a Friday"),
    ("Thu 4 Dec", "4 Dec 2026 is a Friday, 4 Dec 2025 a Thursday; write 2026-12-04 or 2025-12-04"),
    ("Sat 4.12.", "4 Dec 2026 is a Friday"), ("4 dec 26", "four figures"), ("4/12/26", "four figures"),
    ("30 feb", "there is no 30 Feb"), ("29 feb 2026", "there is no 29 Feb 2026"), ("4.13.", "there is no month 13"),
    ("31/4", "no such day"), ("0 dec", "no 0 Dec"), ("2026-02-30", "there is no 30 Feb 2026"),
    ("2026-13-01", "no month 13"), ("4 dez", "cannot read"), ("20260301", "cannot read"), ("2026-W10-1", "cannot read"),
    ("3 days", "cannot read"), ("in 3 days ago", "cannot read"), ("", "cannot read"), ("next week", "cannot read"),
    ("fri 4", "cannot read"), ("dec", "cannot read"),
])
def test_what_is_no_day_or_could_be_two_is_refused_with_the_way_to_write_it(text: str, said: str) -> None:
    with pytest.raises(MeasureError) as refused:
        read_date(text, SUNDAY)
    assert said in str(refused.value) and "; write " in str(refused.value) and "\n" not in str(refused.value)


@pytest.mark.parametrize("text", ["25/3", "25.3", "3/25", "Wed 25/3", "3/25/2026"])
def test_two_figures_are_read_where_only_one_way_round_is_a_day(text: str) -> None:
    assert read_date(text, SUNDAY) == date(2026, 3, 25)


@given(DAYS, st.integers(-364, 364))
def test_a_day_as_the_screens_write_it_is_read_as_the_same_day(today: date, days: int) -> None:
    on = today + timedelta(days=days)
    assert read_date(figures.day(on), today, past=days < 0) == on
    for past in (False, True):
        assert read_date(figures.day(on, year=True), today, past=past) == on


@given(DAYS, DAYS)
def test_a_day_as_sentences_say_it_is_read_as_the_same_day(today: date, on: date) -> None:
    """With the year where it is not this one, and as the screens write it where it is."""
    assert read_date(show_day(on, today), today, past=on < today) == on
    assert show_day(on, today) == figures.day(on, year=on.year != today.year)


PARTS = ["next", "last", "fri", "Sunday", " ", ".", "/", "-", ", ", "4", "04", "31", "0", "13", "dec", "February",
         "may", "2026", "26", "0000", "in", "days", "ago"]


@given(st.lists(st.sampled_from(PARTS), max_size=7).map("".join), DAYS, st.booleans())
def test_words_near_a_date_are_read_or_refused_in_one_line(text: str, today: date, past: bool) -> None:
    try:
        read_date(text, today, past=past)
    except MeasureError as error:
        assert "\n" not in str(error) and "; write " in str(error)
