"""Targets for the decay time: the person's own figures, or a built-in one from a published recommendation."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.site import Target

_SAME_S = 1e-9
"""Decay times nearer than this are one and the same, s: what the computer's rounding leaves."""


@dataclass(frozen=True, slots=True)
class TargetBand:
    """Shortest and longest decay time that pass, s per octave band."""

    name: str
    low_s: PerBand
    high_s: PerBand
    source: str


def built_in_names() -> tuple[str, ...]:
    """Names of the built-in targets.

    Source: targets.toml.
    """
    return tuple(_rows())


def target_band(target: Target, volume_m3: float) -> TargetBand:
    """The decay times in s within which a room of this volume in m3 meets a target.

    Refused for a name that is not built in, and where the built-in one has no figure for the volume.

    Source: targets.toml, each row with its standard; the person's own figures and tolerance stand as given.
    """
    if target.t_s is not None:
        tolerance_s = target.tolerance_s or 0.0
        low_s = tuple(max(0.0, t - tolerance_s) for t in target.t_s)
        return TargetBand(target.name, low_s, tuple(t + tolerance_s for t in target.t_s), "the site's own figures")
    row = _rows().get(target.name)
    if row is None:
        raise Refused(f"{target.name}: no built-in target; the built-in ones are {', '.join(built_in_names())}")
    low_s, high_s = _span(row, volume_m3)
    return TargetBand(target.name, low_s, high_s, row["source"])


def middle_s(name: str, volume_m3: float) -> float:
    """The decay time in s that a built-in target is built around, for a volume in m3; refused as in `target_band`.

    Source: targets.toml, each row with its standard.
    """
    row = _rows()[name]
    if row["form"] == "cube root":
        shortest, longest = row["within"]
        return min(longest, max(shortest, row["at_100"] * (volume_m3 / 100.0) ** (1.0 / 3.0)))
    least, most = row["volume"]
    if not least <= volume_m3 <= most:
        raise Refused(
            f"target {name}: {row['source']}; none for {volume_m3:g} m3: give {{ t = [...], tolerance = 0.05 }}"
        )
    return row["slope"] * math.log10(volume_m3) + row["offset"]


def in_target(t_s: tuple[float | None, ...], band: TargetBand) -> tuple[int, ...]:
    """The bands, Hz, whose decay time in s lies within the target, both ends counted in; none where it has no figure.

    Source: definition.
    """
    return tuple(
        hz
        for hz, t, low, high in zip(BANDS_HZ, t_s, band.low_s, band.high_s, strict=True)
        if t is not None and low - _SAME_S <= t <= high + _SAME_S
    )


def _span(row: dict[str, Any], volume_m3: float) -> tuple[PerBand, PerBand]:
    middle = middle_s(row["name"], volume_m3)
    if row["form"] == "cube root":
        return tuple(middle + d for d in row["below"]), tuple(middle + d for d in row["above"])
    return tuple(middle * d for d in row["below"]), tuple(middle * d for d in row["above"])


@cache
def _rows() -> dict[str, dict[str, Any]]:
    import tomllib  # late: only what asks for a built-in target pays for reading it

    text = (Path(__file__).parent / "targets.toml").read_text(encoding="utf-8")
    return {row["name"]: row for row in tomllib.loads(text)["target"]}
