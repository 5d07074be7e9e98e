"""How much is spoiled: the person's own share by form of item, and a first assumption until the diary shows one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tracker.domain.site import Form

FIRST_RATE = 0.03
"""Share of pieces spoiled before the diary shows any. Common practice, no source."""
FIRST_WEIGHT = 100.0
"""Pieces (roll: metres) that the first assumption is worth beside the person's own. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Spoiled:
    """What was spoiled and what went up of an item, both in its unit."""

    form: Form
    spoiled: float
    used: float


def spoil_rates(records: Iterable[Spoiled]) -> dict[Form, float]:
    """Share spoiled of all that was taken (0 to 1), for each form: all items of a form together.

    The first assumption counts as FIRST_WEIGHT pieces at FIRST_RATE.
    Source: mean of the beta distribution after binomial evidence, (a + spoiled) / (a + b + spoiled + used), with
    a = FIRST_RATE FIRST_WEIGHT and a + b = FIRST_WEIGHT.
    """
    forms: tuple[Form, ...] = ("board", "stick", "roll", "each", "bulk")
    spoiled, taken = dict.fromkeys(forms, FIRST_RATE * FIRST_WEIGHT), dict.fromkeys(forms, FIRST_WEIGHT)
    for one in records:
        spoiled[one.form] += one.spoiled
        taken[one.form] += one.spoiled + one.used
    return {form: spoiled[form] / taken[form] for form in forms}
