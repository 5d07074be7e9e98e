"""Lines of words and signs, each span with a role that the theme colours; user text is never read as markup."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable
from typing import Any

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from tracker.ui.inks import inks_of

Span = tuple[str, str]
"""(text, role) or, with an action after the role, `role@action`."""
Line = tuple[Span, ...]


def spans(*parts: Span | str) -> Line:
    """A line from spans; a bare text is plain."""
    return tuple((part, "plain") if isinstance(part, str) else part for part in parts)


def width_of(line: Line) -> int:
    """Cells a line takes."""
    return sum(cell_len(text) for text, _ in line)


def fit(text: str, width: int, right: bool = False) -> str:
    """The text in exactly `width` cells on one line: padded, or cut with a mark."""
    if width <= 0:
        return ""
    if not text.isprintable():
        text = " ".join(text.split())
    over = cell_len(text) > width
    if over:
        return set_cell_size(text, width - 1) + "…"
    gap = " " * (width - cell_len(text))
    return gap + text if right else text + gap


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """The text in lines of at most `width` cells, later ones indented."""
    lines = textwrap.wrap(" ".join(text.split()), max(8, width), subsequent_indent=indent, break_long_words=True)
    return lines or [""]


def wrapped(text: str, role: str, width: int, lead: Line = ()) -> list[Line]:
    """The text in one role, wrapped; `lead` stands before the first line and its width before the others."""
    room = width_of(lead)
    lines = wrap(text, width - room)
    first: Line = (*lead, (lines[0], role))
    return [first, *(((" " * room, "plain"), (more, role)) for more in lines[1:])]


class Inked(Widget):
    """A widget that draws lines of spans."""

    _base: Style | None = None
    _inks: dict[tuple[str, Style | None], Style] | None = None

    def render_lines(self, crop: Region) -> list[Strip]:
        # The ground follows from every widget around this one, so it is asked for once a picture, not once a line.
        self._base, self._inks = self.rich_style, {}
        try:
            return super().render_lines(crop)
        finally:
            self._base = self._inks = None

    def ink(self, role: str, base: Style, under: Style | None = None) -> Style:
        """The look's style for a role on the widget's ground; `role@action` also runs an action when clicked."""
        known = {} if self._inks is None else self._inks
        if (role, under) not in known:
            name, _, action = role.partition("@")
            style = base + inks_of(self.app)[name]
            if action:
                style += Style.from_meta({"@click": action})
            known[role, under] = style if under is None else style + under
        return known[role, under]

    def paint(self, line: Line, width: int, under: Style | None = None) -> Strip:
        """A line as a strip of exactly `width` cells, cut with a mark where it is longer."""
        segments: list[Segment] = []
        left = width
        over = width_of(line) > width
        base = self.rich_style if self._base is None else self._base
        for text, role in line:
            style = self.ink(role, base, under)
            size = cell_len(text)
            if over and size >= left:
                segments.append(Segment(fit(text + " ", left) if left else "", style))
                left = 0
                break
            segments.append(Segment(text, style))
            left -= size
        if left > 0:
            blank = base if under is None else base + under
            segments.append(Segment(" " * left, blank))
        return Strip(segments, width)


Draw = Callable[[int], Iterable[Line]]
"""Lines of a sheet for a width in cells."""


class Sheet(Inked):
    """A block of lines drawn anew for its width; as high as its lines, or where it `fills`, at least as its container.

    One that fills takes other lines without the whole screen being laid out again, as long as they are all in sight.
    """

    DEFAULT_CSS = "Sheet { height: auto; }"

    def __init__(self, draw: Draw | None = None, fills: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._fills = fills
        self._draw: Draw = draw or (lambda width: ())
        self._ready: tuple[int, list[Line]] = (-1, [])

    def show(self, draw: Draw) -> None:
        """Shows other lines."""
        before = len(self._ready[1])
        self._draw, width = draw, self._ready[0]
        self._ready = (-1, [])
        least = self.container_size.height if self._fills else 0
        self.refresh(layout=width < 0 or max(least, len(self.lines(width))) != max(least, before))

    def lines(self, width: int) -> list[Line]:
        """The lines for a width in cells."""
        if self._ready[0] != width:
            self._ready = (width, list(self._draw(width)))
        return self._ready[1]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return max(container.height if self._fills else 0, len(self.lines(width)))

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        lines = self.lines(width)
        return self.paint(lines[y] if y < len(lines) else (), width)
