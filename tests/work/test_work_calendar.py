"""Hours of work counted off along the hours planned a week."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.work.calendar import WEEKDAYS, day_reached, days_reached

WEDNESDAY = date(2026, 3, 4)
WEEK = (("wed", 2.0), ("sat", 6.0), ("sun", 4.0))


@pytest.mark.parametrize(("before_h", "day"), [
    (0, date(2026, 3, 4)), (1.9, date(2026, 3, 4)), (2, date(2026, 3, 7)), (7.5, date(2026, 3, 7)),
    (8, date(2026, 3, 8)), (12, date(2026, 3, 11)), (25, date(2026, 3, 18)), (26, date(2026, 3, 21)),
])
def test_a_week_by_hand(before_h: float, day: date) -> None:
    # 2026-03-04 is a Wednesday; two hours then, six on Saturday, four on Sunday, twelve a week.
    assert day_reached(WEDNESDAY, WEEK, before_h) == day


@given(start=st.dates(date(2020, 1, 1), date(2030, 1, 1)), days=st.integers(0, 400),
       worked=st.sets(st.sampled_from(WEEKDAYS), min_size=1), hours=st.sampled_from([0.5, 1.0, 1.7, 8.0]))
def test_equal_days_are_counted_as_numpy_counts_them(start: date, days: int, worked: set[str], hours: float) -> None:
    # numpy.busday_offset: the working day that comes so many after the first on or after the start.
    mask = [day in worked for day in WEEKDAYS]
    wanted = np.busday_offset(start, days, roll="forward", weekmask=mask).astype(date)
    assert day_reached(start, tuple((day, hours) for day in worked), days * hours) == wanted


def test_without_planned_hours_there_is_no_date() -> None:
    assert day_reached(WEDNESDAY, (), 3) is None
    assert days_reached(WEDNESDAY, (("mon", 0.0),), [("a", 1.0)]) == {}


def test_work_done_one_after_the_other() -> None:
    found = days_reached(WEDNESDAY, WEEK, [("a", 1.5), ("b", 6.5), ("c", 0.0), ("d", 4.0), ("e", 1.0)])
    assert found == {"a": date(2026, 3, 4), "b": date(2026, 3, 4), "c": date(2026, 3, 8), "d": date(2026, 3, 8),
                     "e": date(2026, 3, 11)}
