"""A stick while it is being cut, in whole micrometres."""

from __future__ import annotations

from dataclasses import dataclass, field

from tracker.domain.cutting.plans import StickPart

UM = 1_000_000
"""Micrometres in a metre."""


@dataclass(slots=True)
class Stick:
    """A stick being cut, um: where it comes from, its length, and its parts with the length each takes."""

    source: str
    length: int
    parts: list[StickPart] = field(default_factory=list)
    used: int = 0

    def take(self, part: StickPart, kerf: int) -> None:
        """Cut a part off what is left; the last cut may fall off the end."""
        self.parts.append(part)
        self.used += round(part.length_m * UM) + kerf

    @property
    def left(self) -> int:
        return max(0, self.length - self.used)
