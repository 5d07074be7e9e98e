"""What options accept."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import Annotated

import typer

from tracker.domain.errors import Refused
from tracker.measures import MeasureError, read_date

SomeTarget = Annotated[str | None, typer.Argument(help="plane/bay, a plane, a phase's or a room's name; all of it "
                                                  "if left out.", show_default=False)]


class StepName(StrEnum):
    set_out = "set-out"
    track = "track"
    infill = "infill"
    fabric = "fabric"
    make_good = "make-good"


def read_day(text: str, today: date) -> date:
    """A day as a person writes it."""
    try:
        return read_date(text, today)
    except MeasureError as error:
        raise Refused(str(error)) from error


def read_pair(text: str, option: str) -> tuple[str, str]:
    """`NAME=VALUE` as its two parts."""
    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise Refused(f"{option} {text}: write it as NAME=QUANTITY, e.g. {option} \"wool board 50=2\"")
    return name.strip(), value.strip()
