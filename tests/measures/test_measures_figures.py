"""Hours, days, shares, volumes, areas, money; and the factors behind them."""

from __future__ import annotations

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.measures import (
    MeasureError,
    factor,
    read_date,
    read_fraction,
    read_hours,
    read_volume,
    registry,
    show_area,
    show_money,
    show_volume,
)

TODAY = date(2026, 3, 2)


@pytest.mark.parametrize(("unit", "to", "value", "rel"), [
    ("inch", "mm", 25.4, 0),                       # UCUM, ucum-essence.xml
    ("foot", "mm", 304.8, 0),                      # UCUM: 12 in
    ("yard", "mm", 914.4, 0),                      # UCUM: 3 ft
    ("lb", "g", 453.59237, 0),                     # UCUM: 7000 grains
    ("foot**2", "m**2", 0.09290304, 0),            # UCUM
    ("yard**2", "m**2", 0.83612736, 0),            # UCUM
    ("foot**3", "m**3", 0.028316846592, 0),        # UCUM
    ("lb/ft**3", "kg/m**3", 16.01846, 5e-7),       # NIST SP 811 appendix B, page 66: 1.601 846 E+01
    ("lb/ft**2", "kg/m**2", 4.88242764, 5e-9),     # by the two above
])
def test_factors_are_those_of_the_standards(unit: str, to: str, value: float, rel: float) -> None:
    assert float(factor(unit, to)) == pytest.approx(value, rel=rel or 1e-15)


@pytest.mark.parametrize(("pcf", "kg_m3"), [(3, 48.055), (6, 96.111), (7, 112.129), (16, 256.295)])
def test_board_densities(pcf: float, kg_m3: float) -> None:
    """Densities of the trade dossier, section 6, to the figures printed there."""
    assert float(pcf * factor("lb/ft**3", "kg/m**3")) == pytest.approx(kg_m3, abs=0.0006)


def test_the_foot_is_not_the_survey_foot() -> None:
    """UCUM: the US survey foot is 1200/3937 m."""
    assert float(factor("foot", "m")) != 1200 / 3937


def test_there_is_one_registry() -> None:
    assert registry() is registry()


@pytest.mark.parametrize(("text", "hours"), [
    ("1:30", 1.5), ("1.5", 1.5), ("1,5", 1.5), ("1h30", 1.5), ("1h30m", 1.5), ("90 min", 1.5), ("1.5 h", 1.5),
    ("2 hours", 2), ("0:05", 5 / 60), (2, 2), (0.25, 0.25), ("0", 0), ("24", 24),
])
def test_hours_are_read(text: object, hours: float) -> None:
    assert read_hours(text) == pytest.approx(hours)


@pytest.mark.parametrize(("text", "said"), [
    ("1:75", "cannot read"), ("-1", "negative"), ("", "nothing"), ("abc", "cannot read"), ("25", "over 24"),
    (math.inf, "not a number"), ("nan", "not a number"), (True, "not a number"), ("1:30:00", "cannot read"),
])
def test_bad_hours_are_refused(text: object, said: str) -> None:
    with pytest.raises(MeasureError, match=said) as refused:
        read_hours(text)
    assert "write e.g. 1:30" in str(refused.value)


@pytest.mark.parametrize(("text", "share"), [
    ("60%", 0.6), ("60 %", 0.6), ("0.6", 0.6), ("0,6", 0.6), ("60", 0.6), ("1", 1), ("100", 1), ("100%", 1),
    ("1%", 0.01), ("0", 0), (0.5, 0.5), (50, 0.5), ("12.5%", 0.125),
])
def test_shares_are_read(text: object, share: float) -> None:
    assert read_fraction(text) == pytest.approx(share)


@pytest.mark.parametrize(("text", "said"), [
    ("101%", "over 100"), ("150", "over 100"), ("-5%", "negative"), ("half", "cannot read"), ("", "nothing")])
def test_bad_shares_are_refused(text: str, said: str) -> None:
    with pytest.raises(MeasureError, match=said):
        read_fraction(text)


@pytest.mark.parametrize(("text", "m3"), [
    (43.2, 43.2), ("43.2", 43.2), ("43,2 m3", 43.2), ("43.2 m^3", 43.2), ("43.2 m\u00b3", 43.2),
    ("1525 ft^3", 1525 * 0.028316846592), ("1525 ft3", 1525 * 0.028316846592), ("1525ft\u00b3", 1525 * 0.028316846592),
])  # 1 ft3 = 0.028316846592 m3 exactly (UCUM)
def test_volumes_are_read(text: object, m3: float) -> None:
    assert read_volume(text) == pytest.approx(m3, rel=1e-14)


@pytest.mark.parametrize("text", ["43 l", "0", 0, -3, "ft3", "1e9", 1e9, math.nan, "", True])
def test_bad_volumes_are_refused(text: object) -> None:
    with pytest.raises(MeasureError, match="write e.g. 43.2"):
        read_volume(text)


def test_areas_volumes_and_money_are_shown() -> None:
    """37.12 m2 / 0.09290304 = 399.6 ft2; 43.183 m3 / 0.028316846592 = 1525 ft3 (UCUM)."""
    assert show_area(3.45, "mm") == "3.45 m2"
    assert show_area(37.12, "in") == "399.6 ft2"
    assert show_volume(43.2, "mm") == "43.2 m3"
    assert show_volume(43.1832, "in") == "1525 ft3"
    assert show_money(54, "EUR") == "54.00 EUR"


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_in_one_line(text: str) -> None:
    for read in (read_hours, read_fraction, read_volume, lambda words: read_date(words, TODAY)):
        try:
            read(text)
        except MeasureError as error:
            assert "\n" not in str(error) and "write " in str(error)
