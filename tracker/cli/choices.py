"""What options accept."""

from __future__ import annotations

import re
from datetime import date
from enum import StrEnum
from typing import Annotated

import typer

from tracker.domain.errors import Refused
from tracker.measures import MeasureError, read_date
from tracker.measures.units import NUMBER, number, quoted

SomeTarget = Annotated[str | None, typer.Argument(help="plane/bay, a plane, a phase's or a room's name; all of it "
                                                  "if left out.", show_default=False)]


class StepName(StrEnum):
    set_out = "set-out"
    track = "track"
    infill = "infill"
    fabric = "fabric"
    make_good = "make-good"


def read_day(text: str, today: date, *, past: bool = False) -> date:
    """A day as a person writes it; a day of the week is the next such day, or with `past` the last."""
    try:
        return read_date(text, today, past=past)
    except MeasureError as error:
        raise Refused(str(error)) from error


def read_chance(text: str) -> float:
    """A chance written as `5%` or as a share of 1; what share makes sense is the service's to say."""
    match = re.fullmatch(rf"\s*({NUMBER})\s*(%?)\s*", text)
    if match is None:
        raise Refused(f"risk {quoted(text)}: cannot read that as a chance; write e.g. 5% or 0.05")
    return float(number(match[1]) / (100 if match[2] else 1))


def amounts_words(texts: list[str], option: str) -> str:
    """What an option that is given once for each item says, as one text."""
    if not all(text.strip() for text in texts):
        raise Refused(f"{option}: write an item and how much of it, e.g. {option} \"wool board 50=2\"")
    return "; ".join(texts)


def read_pair(text: str) -> tuple[str, str]:
    """`NAME=LENGTH` as its two parts."""
    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise Refused(f"tape {text}: write it as NAME=LENGTH, e.g. bottom=4200")
    return name.strip(), value.strip()
