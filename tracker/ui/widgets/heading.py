"""Headings of sections: a word, a rule to the right edge, and at its end a key or a figure."""

from __future__ import annotations

from tracker.ui.ink import Line, width_of


def heading(text: str, width: int, end: Line = (), space: bool = True) -> list[Line]:
    """A blank row and the heading."""
    if end and width_of(end) + len(text) + 6 > width:
        end = ()
    rule = width - len(text) - 3 - (width_of(end) + 1 if end else 0)
    line: Line = ((f" {text} ", "title"), ("─" * max(0, rule), "rule"))
    line = (*line, (" ", "plain"), *end) if end else line
    return [(), line] if space else [line]
