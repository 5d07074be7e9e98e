"""Figures as the screens write them; lengths and quantities are written by `measures`, loaded late."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date


def quantity(amount: float, item_unit: str, site_unit: str = "mm") -> str:
    """An amount of an item with its unit, e.g. `4 boards` or `2.8 m`."""
    from tracker.measures import show_quantity
    return show_quantity(amount, item_unit, site_unit)


def length(metres: float, site_unit: str) -> str:
    """A length in m as the site writes it."""
    from tracker.measures import show_length
    return show_length(metres, site_unit)


def area(square_metres: float, site_unit: str) -> str:
    """An area in m2 as the site writes it."""
    from tracker.measures import show_area
    return show_area(square_metres, site_unit)


def number(amount: float) -> str:
    """A bare amount with no needless zeros, e.g. `4` or `2.8`."""
    return f"{amount:.2f}".rstrip("0").rstrip(".") if abs(amount) < 100 else f"{amount:.0f}"


def hours(amount_h: float | None) -> str:
    """Hours as h:mm; empty where none were written down."""
    if amount_h is None:
        return ""
    minutes = round(amount_h * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def percent(part: float) -> str:
    """A part from 0 to 1 in whole percent; only what is whole is 100 %."""
    return f"{min(99, round(part * 100)) if part < 1 else 100} %"


def day(on: date, year: bool = False) -> str:
    """A day as it is said, e.g. `Thu 19 Mar`."""
    return f"{on:%a} {on.day} {on:%b}" + (f" {on.year}" if year else "")


def listed(words: Iterable[str]) -> str:
    """Words joined as a sentence joins them."""
    found = list(words)
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}" if found else ""


def named(target: str, step: str | None) -> str:
    """A stretch of work by its target and step."""
    return f"{target} · {step}" if step else target


def typed(amount: float, unit: str) -> str:
    """An amount as it would be typed into a field."""
    return f"{number(amount)} m" if unit == "m" else number(amount)
