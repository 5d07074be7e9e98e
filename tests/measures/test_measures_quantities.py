"""Quantities as people write them: pieces, packs, lengths of roll, bulk."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.measures import MeasureError, read_quantity, show_quantity

BOARD = {"form": "board", "unit": "mm", "pack": 6, "item_unit": "board"}
STICK = {"form": "stick", "unit": "in", "pack": 10, "item_unit": "stick"}
EACH = {"form": "each", "unit": "mm", "pack": 200, "item_unit": "piece"}
BULK = {"form": "bulk", "unit": "mm", "pack": 2.5, "item_unit": "litre"}
ROLL = {"form": "roll", "unit": "mm", "pack": 1, "item_unit": "m"}
ROLL_IN = {**ROLL, "unit": "in"}


@pytest.mark.parametrize(("text", "item", "quantity"), [
    ("7", BOARD, 7), (7, BOARD, 7), (7.0, BOARD, 7), ("7 boards", BOARD, 7), ("1 board", BOARD, 1),
    ("2 packs", BOARD, 12), ("1 pack", BOARD, 6), ("2packs", BOARD, 12), ("0.5 packs", BOARD, 3),
    ("0,5 pack", BOARD, 3), ("3 sticks", STICK, 3), ("7 pieces", EACH, 7), ("2 Packs", EACH, 400), ("1.5", BULK, 1.5),
    ("1,5 litre", BULK, 1.5), ("3 packs", BULK, 7.5), (0.25, BULK, 0.25),
    ("14.5 m", ROLL, 14.5), ("12 m", ROLL, 12), ("14,5 m", ROLL, 14.5), (12000, ROLL, 12), ("1450 cm", ROLL, 14.5),
    ("100", ROLL, 0.1), ("99 mm", ROLL, 0.099), ("250 m", ROLL, 250),
    ("40'", ROLL_IN, 12.192), (700, ROLL_IN, 17.78), ("15 yd", ROLL_IN, 13.716), ("15 yards", ROLL, 13.716),
])  # 1 ft = 304.8 mm, 1 yd = 914.4 mm, 1 in = 25.4 mm exactly (UCUM, ucum-essence.xml)
def test_good_quantities_are_read(text: object, item: dict, quantity: float) -> None:
    assert read_quantity(text, **item) == pytest.approx(quantity, rel=1e-15)


@pytest.mark.parametrize(("text", "item", "said"), [
    ("7.5", BOARD, "boards are counted whole"), (7.5, STICK, "sticks are counted whole"),
    ("0.3 packs", BOARD, "counted whole"), ("7 sticks", BOARD, "cannot read 'sticks' (character 3)"),
    ("7 m", BOARD, "cannot read 'm'"), ("seven", BOARD, "cannot read 's' (character 1)"), ("", BOARD, "nothing"),
    ("-2", BOARD, "negative"), (-2, EACH, "negative"), ("-2 m", ROLL, "negative"), ("0", BOARD, "that is none"),
    (0, ROLL, "that is none"), (math.nan, BOARD, "not a number"), ("inf", BULK, "not a number"),
    (True, EACH, "not a number"), ("1,000", EACH, "could be 1 or 1000"), ("1.000", EACH, "could be 1 or 1000"),
    ("2 packs", ROLL, "counted by its length"), ("14", ROLL, "metres are likelier"), (14, ROLL, "metres are likelier"),
    ("14 x", ROLL, "cannot read 'x'"), ("2 kg", BULK, "cannot read 'kg'"), (10**9, EACH, "over 10000000"),
    ("7\nboards; drop", BOARD, "cannot read"),
])
def test_bad_quantities_are_refused_with_the_reason_and_a_good_form(text: object, item: dict, said: str) -> None:
    with pytest.raises(MeasureError) as refused:
        read_quantity(text, **item, what="thing")
    line = str(refused.value)
    assert said in line and line.startswith("thing ") and "write e.g." in line and "\n" not in line


@pytest.mark.parametrize("item", [BOARD, STICK, EACH, BULK, ROLL, ROLL_IN])
def test_a_count_may_come_to_none(item: dict) -> None:
    assert read_quantity("0", **item, allow_zero=True) == 0


@pytest.mark.parametrize(("quantity", "item_unit", "site_unit", "shown"), [
    (5, "board", "mm", "5 boards"), (1, "board", "mm", "1 board"), (0, "stick", "in", "0 sticks"),
    (14.5, "m", "mm", "14.5 m"), (14.5, "m", "in", "15.86 yd"), (2.5, "litre", "mm", "2.5 litre"),
    (0.014, "m", "mm", "0.014 m"), (-2, "piece", "mm", "-2 pieces"), (0.0, "m", "mm", "0 m"), (-1e-9, "m", "mm", "0 m"),
])  # 14.5 m / 0.9144 m = 15.857 yd
def test_quantities_are_shown_in_the_items_unit(quantity: float, item_unit: str, site_unit: str, shown: str) -> None:
    assert show_quantity(quantity, item_unit, site_unit) == shown


@given(st.integers(1, 9999), st.sampled_from([BOARD, STICK, EACH]))
def test_counts_survive_show_and_read(count: int, item: dict) -> None:
    assert read_quantity(show_quantity(count, item["item_unit"], item["unit"]), **item) == count


@given(st.integers(1, 99_999), st.sampled_from([ROLL, ROLL_IN]))
def test_roll_comes_back_within_half_of_what_is_shown(centimetres: int, item: dict) -> None:
    metres = centimetres / 100
    assert read_quantity(show_quantity(metres, "m", item["unit"]), **item) == pytest.approx(metres, abs=0.0051)


@given(st.text(max_size=10), st.sampled_from([BOARD, EACH, BULK, ROLL, ROLL_IN]))
def test_any_text_is_a_quantity_or_refused_in_one_line(text: str, item: dict) -> None:
    try:
        assert read_quantity(text, **item, allow_zero=True) >= 0
    except MeasureError as error:
        assert "\n" not in str(error) and "write e.g." in str(error)
