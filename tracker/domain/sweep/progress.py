"""How far the reading of a recording has come: told between its steps, so that a long one can be shown and stopped."""

from __future__ import annotations

from collections.abc import Callable

Told = Callable[[str, float], object]
"""Hears what comes next, and the share of the work that is done, 0 to 1; what it raises ends the work there."""


def unheard(step: str, share: float) -> None:
    """For work that nobody watches."""


def part_of(told: Told, first: float, last: float, lead: str = "") -> Told:
    """The same for one part of the work, from one share of the whole to another (0 to 1); `lead` goes before its words.
    """
    return lambda step, share: told(lead + step, first + (last - first) * share)
