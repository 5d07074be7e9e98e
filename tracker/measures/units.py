"""The one pint registry, the bare figure, and the error that every reading raises."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from pint import UnitRegistry

SiteUnit = Literal["mm", "in"]
Written = str | int | float

NUMBER = r"(?:[0-9]{1,15}(?:[.,][0-9]{1,15})?|[.,][0-9]{1,15})"
"""A figure with `.` or `,` as its decimal sign; longer ones are slips."""
_PREFIXED = {"m": Fraction(1), "cm": Fraction(1, 100), "mm": Fraction(1, 1000)}  # SI prefixes; all else is pint's
_NAMES = {"in": "inch", "ft": "foot", "yd": "yard"}


class MeasureError(ValueError):
    """What was written cannot be read or used: one line with what it is for, the text, the reason and a good form."""

    def __init__(self, what: str, text: object, reason: str) -> None:
        super().__init__(f"{what} {quoted(text)}: {reason}")
        self.reason = reason
        """The reason and a good form, without the text."""


@cache
def registry() -> UnitRegistry:
    """The one registry of units, made when first asked for, with exact factors."""
    import pint  # late: a fifth of a second that a metric site never needs

    return pint.UnitRegistry(str(Path(__file__).with_name("units.txt")), non_int_type=Fraction)


@cache
def factor(unit: str, to: str) -> Fraction:
    """How many `to` one `unit` is, exactly; both as pint writes them, such as `lb/ft**3`."""
    return Fraction(registry().Quantity(Fraction(1), unit).to(to).magnitude)


def metres_per(mark: str) -> Fraction:
    """How many metres one mm, cm, m, in, ft or yd is, exactly."""
    return _PREFIXED[mark] if mark in _PREFIXED else factor(_NAMES[mark], "metre")


def quoted(value: object, most: int = 60) -> str:
    """A value as the person wrote it, on one line: text in quotes, cut where it is longer than `most` characters."""
    if isinstance(value, bool):
        return str(value).lower()
    text = "".join(char if char.isprintable() else " " for char in str(value))
    text = text if len(text) <= most else f"{text[:most - 3]}..."
    return f'"{text}"' if isinstance(value, str) else text


def number(text: str) -> Fraction:
    """The figure that a text of the form NUMBER writes, exactly."""
    return Fraction(text.replace(",", "."))


def bare(figure: Written, what: str, remedy: str) -> Fraction:
    """A figure that is no text, exactly as its shortest decimal; MeasureError where negative or not a number."""
    finite = isinstance(figure, int) or (isinstance(figure, float) and math.isfinite(figure))
    if isinstance(figure, bool) or not finite:
        raise MeasureError(what, figure, f"that is not a number; {remedy}")
    if figure < 0:
        raise MeasureError(what, figure, f"it can't be negative; {remedy}")
    return Fraction(figure) if isinstance(figure, int) else Fraction(str(figure))


def refuse_no_figure(text: str, what: str, remedy: str) -> None:
    """MeasureError where a text is empty, negative, or a word for what is not a number."""
    if not text.strip():
        raise MeasureError(what, text, f"nothing is written; {remedy}")
    if re.match(r"\s*[-\u2212\u2010\u2011\u2013]", text):
        raise MeasureError(what, text, f"it can't be negative; {remedy}")
    if re.match(r"\s*\+?(nan|inf)", text, re.I):
        raise MeasureError(what, text, f"that is not a number; {remedy}")
