"""Lengths as people write them: read, shown, refused."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tracker.measures import LONGEST_M, MeasureError, factor, read_length, show_length

# The forms seen in the trade (trade dossier, section 6) with the millimetres it gives for each; exact, since
# 1 in = 25.4 mm (UCUM, ucum-essence.xml) and 1 ft = 12 in.
TRADE = [
    ("7' 3-1/2\"", "mm", 2222.5), ("7'-3 1/2\"", "mm", 2222.5), ("7-3 1/2", "in", 2222.5),
    ("7 ft 3 1/2 in", "mm", 2222.5), ("7\u20323\u00bd\u2033", "mm", 2222.5), ('87.5"', "mm", 2222.5),
    ("87 1/2", "in", 2222.5), ("2.215 m", "mm", 2215), ("2215", "mm", 2215), ("2215 mm", "in", 2215),
    ("221.5 cm", "mm", 2215), ("2,215 m", "mm", 2215), ("4' 0 1/16\"", "mm", 1220.7875),
    ("5' 5 3/8\"", "mm", 1660.525), ("8'", "mm", 2438.4), ("8'-0\"", "mm", 2438.4), ('96"', "mm", 2438.4),
]
# The contract's own list of forms, worked out by hand with 25.4 mm to the inch.
CONTRACT = [
    ("7ft 3 1/2in", "mm", 2222.5), ('87 1/2"', "mm", 2222.5), ('3/4"', "mm", 19.05), ("7' 3\u00bd\u201d", "in", 2222.5),
    ("7\u2019 3-1/2\u201d", "in", 2222.5), ("7-3", "in", 2209.8), ("7-1/2", "in", 190.5), ("7-3-1/2", "in", 2222.5),
    ("3''", "mm", 76.2), ("7,5 ft", "mm", 2286), ("7' 3", "mm", 2209.8), ("1,5 cm", "mm", 15), (".5 m", "mm", 500),
    ("2.215 M", "mm", 2215), ("7 FT", "mm", 2133.6), ("7 feet 3 inches", "mm", 2209.8),
    ("  2215  ", "mm", 2215), ("0,125 mm", "mm", 0.125), ("12", "in", 304.8), ("3/8", "in", 9.525),
    ("\u00be\"", "mm", 19.05),
]
LIKELY = "0123456789 .,'\"-/\u00bdfitnmc\u2032\u2033\n\u2212x"


@pytest.mark.parametrize(("text", "unit", "mm"), TRADE + CONTRACT)
def test_good_forms_are_read(text: str, unit: str, mm: float) -> None:
    assert read_length(text, unit) == pytest.approx(mm / 1000, rel=1e-15)


@pytest.mark.parametrize(("mm", "shown"), [  # trade dossier, section 6: metric sizes back to the tape, in sixteenths
    (2215, "7' 3-3/16\""), (1200, "3' 11-1/4\""), (600, "1' 11-5/8\""), (2400, "7' 10-1/2\""), (2222.5, "7' 3-1/2\""),
    (1660.525, "5' 5-3/8\""), (2438.4, "8' 0\""), (19.05, '3/4"'), (1220.7875, "4' 1/16\""),
])
def test_inch_sites_show_feet_inches_and_sixteenths(mm: float, shown: str) -> None:
    assert show_length(mm / 1000, "in") == shown


@pytest.mark.parametrize(("metres", "shown"), [
    (2.215, "2215 mm"), (9.999, "9999 mm"), (10, "10 m"), (12.3456, "12.346 m"), (0.003175, "3.2 mm"), (0, "0 mm"),
    (-0.004, "-4 mm"), (0.0999, "99.9 mm"), (1.0005, "1001 mm"),
])
def test_metric_sites_show_mm_under_ten_metres_and_m_above(metres: float, shown: str) -> None:
    assert show_length(metres, "mm") == shown


def test_rounding_down_never_makes_a_size_longer() -> None:
    assert show_length(1.1888, "mm", down=True) == "1188 mm"
    assert show_length(1.188, "mm", down=True) == "1188 mm"
    assert show_length(0.0254 * 11.99, "in", down=True) == '11-15/16"'
    assert show_length(5.3, "mm", tape=False) == "5.3 m"


@given(st.integers(1, 100_000))
def test_a_millimetre_survives_show_and_read(mm: int) -> None:
    assert read_length(show_length(mm / 1000, "mm"), "mm") == mm / 1000


@given(st.integers(1, int(LONGEST_M / 0.0254 * 16)))
def test_a_sixteenth_survives_show_and_read(sixteenths: int) -> None:
    metres = float(Fraction(sixteenths, 16) * factor("inch", "metre"))
    assert read_length(show_length(metres, "in"), "in") == metres


@given(st.floats(0.002, 99))
def test_any_length_comes_back_within_half_a_mark(metres: float) -> None:
    assert abs(read_length(show_length(metres, "mm"), "mm") - metres) <= 0.0005 + 1e-9
    assert abs(read_length(show_length(metres, "in"), "in") - metres) <= 0.0254 / 32 + 1e-9


@given(st.floats(0.001, 0.099) | st.integers(1, 99_999))
def test_a_bare_figure_reads_as_its_text(figure: float) -> None:
    if figure <= 3900:
        assert read_length(figure, "in") == pytest.approx(figure * 0.0254, rel=1e-12)
    assert read_length(figure, "mm") == pytest.approx(figure / 1000, rel=1e-12)


@pytest.mark.parametrize(("text", "unit", "said"), [
    ("7' 3x", "in", "cannot read 'x' (character 5); write e.g. 7' 3-1/2\""),
    ("15x", "mm", "cannot read 'x' (character 3); write e.g. 2215 mm"),
    ("5 5 3/8", "in", "(character 5)"), ("1.200,5", "mm", "cannot read ',5' (character 6)"),
    ("O8", "mm", "cannot read 'O' (character 1)"), ("6 foot 2 and a half", "in", "cannot read 'and' (character 10)"),
    ("1e3", "mm", "cannot read 'e'"), ("7' 3-", "in", "missing at the end"), ("7 3", "in", "missing at the end"),
    ("12 yd", "in", "cannot read 'yd'"), ("", "mm", "nothing is written"), ("   ", "in", "nothing is written"),
    ("7-3 1/2", "mm", "inch sites only"), ("7-3", "mm", "inch sites only"), ("87 1/2", "mm", "inch mark"),
    ("1/2", "mm", "inch mark"), ('3/5"', "in", "2, 4, 8, 16, 32 or 64"), ('1/128"', "in", "2, 4, 8, 16, 32 or 64"),
    ('9/8"', "in", "under the one below"), ('0/8"', "in", "over 0"), ("7' 12\"", "in", "under 12"),
    ("7.5' 3\"", "in", "must be whole"), ('3.5 1/2"', "in", "whole inches"),
    ("2,215 mm", "mm", "could be 2.215 mm or 2215 mm"), ("1,200", "mm", "could be 1.200 mm or 1200 mm"),
    ("-4", "mm", "negative"), ("\u22124", "mm", "negative"), (-4, "mm", "negative"), (-0.5, "in", "negative"),
    ("0", "mm", "can't be 0"), (0, "mm", "can't be 0"), ("0' 0\"", "in", "can't be 0"), ("nan", "mm", "not a number"),
    ("inf", "mm", "not a number"), (math.nan, "mm", "not a number"), (math.inf, "in", "not a number"),
    (True, "mm", "not a number"), ("100.001 m", "mm", "over 100 m"), (100_001, "mm", "over 100 m"),
    ("329'", "in", "over 100 m"), (10**400, "mm", "over 100 m"), ("9" * 5000, "mm", "cannot read"),
])
def test_bad_forms_are_refused_with_place_and_example(text: object, unit: str, said: str) -> None:
    with pytest.raises(MeasureError) as refused:
        read_length(text, unit, what="left")
    line = str(refused.value)
    assert said in line
    assert line.startswith("left ") and "\n" not in line and len(line) < 250
    assert "write e.g." in refused.value.reason


def test_a_position_may_be_zero_but_not_negative() -> None:
    assert read_length(0, "mm", position=True) == 0
    assert read_length("0", "in", position=True) == 0
    with pytest.raises(MeasureError, match="negative"):
        read_length(-1, "mm", position=True)


def test_exactly_a_hundred_metres_passes() -> None:
    assert read_length("100 m", "mm") == 100


@settings(max_examples=150)
@given(st.text(st.sampled_from(LIKELY), max_size=14) | st.text(max_size=8), st.sampled_from(["mm", "in"]))
@example("\u0663", "mm")
@example("\u00b2", "in")
@example("1//2", "in")
def test_any_text_is_read_or_refused_in_one_line(text: str, unit: str) -> None:
    try:
        metres = read_length(text, unit, position=True)
    except MeasureError as error:
        assert "\n" not in str(error) and "write e.g." in str(error)
    else:
        assert 0 <= metres <= LONGEST_M
