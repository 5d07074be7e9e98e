"""A field of a form: a word, the input beside it, and room for a remark after that."""

from __future__ import annotations

from typing import Any
from weakref import WeakKeyDictionary

from rich.style import Style
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.dom import DOMNode
from textual.screen import Screen
from textual.strip import Strip
from textual.validation import ValidationResult
from textual.widgets import Input

from tracker.ui.ink import Inked, Line, fit, spans, width_of

WORD = 11
"""Cells of the word before the input."""


_parts: WeakKeyDictionary[Screen[Any], dict[tuple[str, bool, str], Style]] = WeakKeyDictionary()


class FieldInput(Input):
    """An input whose text only a service judges: it has no validators, so a changed text is not styled anew.

    The parts of an input (cursor, hint, selection, completion) look alike in all fields of a form: each is styled once
    for the form, when it is first drawn, and not for every field whenever one is mounted or gets the cursor. Both names
    with an underscore are private in the pinned Textual, whose style sheet does the same for every part every time.
    """

    @classmethod
    def _get_component_classes(cls) -> frozenset[str]:
        return frozenset()

    def validate(self, value: str) -> ValidationResult | None:
        return None

    def get_component_rich_style(self, *names: str, partial: bool = False, default: Style | None = None) -> Style:
        known = _parts.setdefault(self.screen, {})
        key = names[0], self.has_focus, self.app.theme
        if key not in known:
            part = DOMNode(classes=names[0])
            part._attach(self)
            self.app.stylesheet.apply(part)
            known[key] = part.styles.rich_style
        return known[key]


class Field(Inked, Horizontal):
    """Draws word and remark itself, left and right of the input."""

    DEFAULT_CSS = "Field { height: 1; width: 100%; }"

    def __init__(self, name: str, word: str, hint: str = "", value: str = "", goes_on: bool = False) -> None:
        super().__init__()
        self.word = word
        self.input = FieldInput(value, placeholder=hint, id=f"field-{name}", select_on_focus=not goes_on)
        self._remark: Line = ()
        self._make_room()

    def compose(self) -> ComposeResult:
        yield self.input

    def render_line(self, y: int) -> Strip:
        # Colour alone does not tell where the keys go.
        here = self.input.has_focus
        word = spans(("▸" if here else " ", "accent"), (fit(self.word, WORD - 1), "title"))
        gap = self.size.width - WORD - width_of(self._remark)
        return self.paint((*word, (" " * gap, "plain"), *self._remark), self.size.width)

    def on_descendant_focus(self) -> None:
        self.refresh()

    def on_descendant_blur(self) -> None:
        self.refresh()

    def say(self, line: Line) -> None:
        """Puts a remark after the input; an empty one gives its room back."""
        self._remark = line
        self._make_room()
        self.refresh()

    def _make_room(self) -> None:
        self.input.styles.margin = (0, width_of(self._remark), 0, WORD)
