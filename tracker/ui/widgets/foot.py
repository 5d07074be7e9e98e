"""The two rows along the bottom: what was said last, and the keys of this view."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual.binding import Binding
from textual.reactive import reactive

from tracker.ui.ink import Inked, Line, spans, width_of

_NAMES = {"enter": "↵", "left": "←", "right": "→", "up": "↑", "down": "↓", "question_mark": "?", "slash": "/",
          "escape": "esc", "pagedown": "page down", "pageup": "page up"}


def key_name(key: str) -> str:
    """A key as it is written on the screen, e.g. `?` or `↑↓`."""
    return "".join(_NAMES.get(one, one) for one in key.split(","))


class Said(Inked):
    """One row for the last outcome or refusal; always there, so that nothing jumps."""

    DEFAULT_CSS = "Said { height: 1; }"

    sentence: reactive[str] = reactive("")
    trouble: reactive[bool] = reactive(False)
    waiting: reactive[bool] = reactive(False)
    """Something takes long; what was said comes back after it."""

    def render_line(self, y: int) -> Any:
        if self.waiting:
            return self.paint(spans((" ~ ", "order"), ("working it out; the keys go on answering", "muted")),
                              self.size.width)
        sign: Line = ()
        if self.sentence:
            sign = ((" ! ", "short"),) if self.trouble else ((" x ", "done"),)
        return self.paint((*sign, (self.sentence, "short" if self.trouble else "plain")), self.size.width)


class KeyLine(Inked):
    """One row of keys that can be clicked; what does not fit is left to `?`, which always stays in sight."""

    DEFAULT_CSS = "KeyLine { height: 1; }"

    def __init__(self, here: Sequence[Binding], everywhere: Sequence[Binding], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._here, self._everywhere = here, everywhere

    def render_line(self, y: int) -> Any:
        return self.paint(self.line(self.size.width), self.size.width)

    def line(self, width: int) -> Line:
        """The row for a width in cells."""
        last = _key("?", "keys", "app.keys")
        room = width - width_of(last) - 1
        shown: list[Line] = []
        for binding, scope in [*((b, "screen") for b in self._here), *((b, "app") for b in self._everywhere)]:
            if not binding.show or binding.key == "question_mark":
                continue
            action = binding.action if binding.action.startswith("app.") else f"{scope}.{binding.action}"
            one = _key(key_name(binding.key), binding.description, action)
            if width_of(one) > room:
                break
            shown.append(one)
            room -= width_of(one)
        line = tuple(span for one in shown for span in one)
        return (*line, (" " * (room + 1), "plain"), *last)


def _key(key: str, word: str, action: str) -> Line:
    return spans((f" {key}", f"accent@{action}"), (f" {word} ", f"muted@{action}"))
