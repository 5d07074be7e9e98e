"""A view dimmed beneath a form: as Textual does it, with each style dimmed once and not once for every bit of text."""

from __future__ import annotations

from collections.abc import Iterable

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.renderables.background_screen import BackgroundScreen

_KEPT = 4096
"""Styles kept of one tint."""
_known: dict[Color, dict[Style, Style]] = {}


class Dimmed(BackgroundScreen):
    """A screen under a tint."""

    @classmethod
    def process_segments(cls, segments: Iterable[Segment], color: Color) -> Iterable[Segment]:
        known = _known.setdefault(color, {})
        for segment in segments:
            text, style, control = segment
            if control or style is None:
                yield from super().process_segments([segment], color)
                continue
            dimmed = known.get(style)
            if dimmed is None:
                (first,) = super().process_segments([Segment(text, style)], color)
                dimmed = known[style] = first.style or Style.null()
            yield Segment(text, dimmed)
        if len(known) > _KEPT:
            known.clear()
