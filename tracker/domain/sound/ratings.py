"""Single-number ratings of an absorber, in exact hundredths: binary fractions would break the comparisons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from tracker.domain.errors import Refused

_REFERENCE = (80, 100, 100, 100, 90)
"""Reference curve at 250, 500, 1000, 2000, 4000 Hz, hundredths (ISO 11654:1997, table 1)."""
_LETTERS = "LMMHH"
_CLASSES = ((90, "A"), (80, "B"), (60, "C"), (30, "D"), (15, "E"))
"""Least weighted coefficient of each class, hundredths (ISO 11654:1997, annex B)."""


@dataclass(frozen=True, slots=True)
class Rating:
    """Weighted coefficient 0 to 1 in steps of 0.05, shape letters of `L`, `M`, `H`, and class A to E or none."""

    weighted: Decimal
    shape: str
    sound_class: str

    def __str__(self) -> str:
        return f"{self.weighted}({self.shape})" if self.shape else str(self.weighted)


def practical(thirds: Sequence[float]) -> Decimal:
    """Practical coefficient of an octave from its three third-octave coefficients, in steps of 0.05, at most 1.

    Source: ISO 11654:1997, 4.1.
    """
    if len(thirds) != 3:
        raise Refused("practical coefficient: give three third-octave coefficients")
    mean = (sum(Decimal(str(a)) for a in thirds) / 3).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return min(_step(mean), Decimal("1.00"))


def rating(octaves: Sequence[float | Decimal]) -> Rating:
    """Weighted coefficient, shape and class from the coefficients at 250, 500, 1000, 2000 and 4000 Hz.

    They are first brought to steps of 0.05, at most 1, as practical coefficients are. 125 Hz plays no part.

    Source: ISO 11654:1997, 4.2, 4.3 and annex B.
    """
    if len(octaves) != len(_REFERENCE):
        raise Refused("rating: give the five coefficients at 250, 500, 1000, 2000 and 4000 Hz")
    values = [int(100 * min(_step(_hundredths(a)), Decimal(1))) for a in octaves]
    shift = next(
        s for s in range(0, 101, 5) if sum(max(0, r - s - v) for r, v in zip(_REFERENCE, values, strict=True)) <= 10
    )
    curve = [reference - shift for reference in _REFERENCE]
    over = [letter for letter, v, c in zip(_LETTERS, values, curve, strict=True) if v - c >= 25]
    weighted = 100 - shift
    sound_class = next((name for least, name in _CLASSES if weighted >= least), "not classified")
    return Rating(Decimal(weighted).scaleb(-2), "".join(dict.fromkeys(over)), sound_class)


def noise_reduction_coefficient(octaves: Sequence[float | Decimal]) -> Decimal:
    """Mean of the coefficients at 250, 500, 1000 and 2000 Hz to the nearest 0.05, halves up; may exceed 1.

    Source: ASTM C423, as quoted in encyclopedias; the standard was not read. Halves up: common practice, no source.
    """
    if len(octaves) != 4:
        raise Refused("noise reduction coefficient: give the four coefficients at 250, 500, 1000 and 2000 Hz")
    return _step(sum(Decimal(str(a)) for a in octaves) / 4)


def _hundredths(value: float | Decimal) -> Decimal:
    return Decimal(str(value)).quantize(Decimal("0.01"), ROUND_HALF_UP)


def _step(value: Decimal) -> Decimal:
    """To the nearest 0.05, halves up."""
    return ((value * 20).quantize(Decimal(1), ROUND_HALF_UP) / 20).quantize(Decimal("0.01"))
