"""How a quantity of an item is written: pieces, packs, a length of roll, a bulk amount."""

from __future__ import annotations

import re
from fractions import Fraction

from tracker.measures.lengths import metres_written, trimmed
from tracker.measures.units import (
    NUMBER,
    MeasureError,
    SiteUnit,
    Written,
    bare,
    metres_per,
    number,
    quoted,
    refuse_no_figure,
)

_MOST = 10_000_000  # more of anything is a slip of the keys
_COUNTED = ("board", "stick", "each")
_LITTLE_M = Fraction(1, 10)


def read_quantity(text: Written, *, form: str, unit: SiteUnit, pack: float, item_unit: str, what: str = "quantity",
                  allow_zero: bool = False) -> float:
    """A quantity such as `2 packs`, `7`, `7 boards`, `14.5 m` in the item's unit; a roll's is a length, in m.

    A bare number on a roll is in the site's unit. Boards, sticks and pieces are counted whole.
    Errors: MeasureError for anything else, negative, 0 unless allowed, or over ten million.
    """
    remedy = _remedy(form, unit, item_unit)
    quantity = _roll(text, unit, what, remedy) if form == "roll" else _count(text, form, pack, item_unit, what, remedy)
    if quantity == 0 and not allow_zero:
        raise MeasureError(what, text, f"that is none; {remedy}")
    if quantity > _MOST:
        raise MeasureError(what, text, f"that is over {_MOST}; {remedy}")
    return float(quantity)


def _roll(text: Written, unit: SiteUnit, what: str, remedy: str) -> Fraction:
    if isinstance(text, str):
        yards = re.fullmatch(rf"\s*({NUMBER})\s*(?:yd|yds|yard|yards)\s*", text, re.I)
        if yards:
            return number(yards[1]) * metres_per("yd")
        if re.search("pack", text, re.I):
            raise MeasureError(what, text, f"a roll is counted by its length; {remedy}")
    metres = metres_written(text, unit, what)
    unmarked = not isinstance(text, str) or re.fullmatch(NUMBER, text.strip())
    if unit == "mm" and unmarked and 0 < metres < _LITTLE_M:
        raise MeasureError(what, text, f"a bare number is in mm, and metres are likelier here; {remedy}")
    return metres


def _count(text: Written, form: str, pack: float, item_unit: str, what: str, remedy: str) -> Fraction:
    if isinstance(text, str):
        amount, word = _amount_and_word(text, what, remedy)
        words = {"", item_unit.lower(), f"{item_unit.lower()}s", "pack", "packs"}
        if word.lower() not in (words | {"piece", "pieces"} if form in _COUNTED else words):
            raise MeasureError(what, text, f"cannot read '{quoted(word)[1:-1]}' "
                                           f"(character {text.rstrip().rindex(word) + 1}); {remedy}")
        if form in _COUNTED and re.fullmatch("[1-9][0-9]{0,2}[.,][0-9]{3}", amount):
            raise MeasureError(what, text, f"this could be {amount[:-4]} or {amount[:-4]}{amount[-3:]}: "
                                           f"leave the mark out; {remedy}")
        quantity = number(amount) * (Fraction(str(pack)) if word.lower().startswith("pack") else 1)
    else:
        quantity = bare(text, what, remedy)
    if form in _COUNTED and quantity.denominator != 1:
        raise MeasureError(what, text, f"{_plural(item_unit)} are counted whole; {remedy}")
    return quantity


def _amount_and_word(text: str, what: str, remedy: str) -> tuple[str, str]:
    refuse_no_figure(text, what, remedy)
    match = re.fullmatch(rf"\s*({NUMBER})\s*(.*?)\s*", text, re.S)
    if match is None:
        start = len(text) - len(text.lstrip())
        raise MeasureError(what, text, f"cannot read '{quoted(text[start])[1:-1]}' (character {start + 1}); {remedy}")
    return match[1], match[2]


def _remedy(form: str, unit: SiteUnit, item_unit: str) -> str:
    if form == "roll":
        return "write e.g. 14.5 m" if unit == "mm" else "write e.g. 40' or 15 yd"
    return f"write e.g. 7, 7 {_plural(item_unit)} or 2 packs"


def _plural(item_unit: str) -> str:
    return f"{item_unit}s" if item_unit in ("board", "stick", "piece", "unit") else item_unit


def show_quantity(quantity: float, item_unit: str, site_unit: SiteUnit) -> str:
    """A quantity in the item's unit as the site shows it: `5 boards`, `14.5 m`, or `15.9 yd` on an inch site."""
    if item_unit == "m":
        per, mark = (metres_per("yd"), "yd") if site_unit == "in" else (Fraction(1), "m")
        figure = quantity / float(per)
        return f"{_unsigned(trimmed(figure, 2 if abs(figure) >= 0.1 else 3))} {mark}"
    shown = _unsigned(trimmed(quantity, 2))
    return f"{shown} {item_unit if shown == '1' else _plural(item_unit)}"


def _unsigned(shown: str) -> str:
    return "0" if shown == "-0" else shown
