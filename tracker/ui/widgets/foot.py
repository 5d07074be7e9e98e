"""The two rows along the bottom: what was said last, and the keys of this view."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual.binding import Binding
from textual.geometry import Size
from textual.reactive import reactive

from tracker.ui.ink import Inked, Line, Span, spans, width_of, wrapped

_NAMES = {"enter": "↵", "left": "←", "right": "→", "up": "↑", "down": "↓", "question_mark": "?", "slash": "/",
          "colon": ":", "escape": "esc", "pagedown": "page down", "pageup": "page up"}


def key_name(key: str) -> str:
    """A key as it is written on the screen, e.g. `?` or `↑↓`."""
    return "".join(_NAMES.get(one, one) for one in key.split(","))


DONE, NOTE, TROUBLE = "done", "note", "trouble"
"""What was said: a change was made; something to know or to take back; a refusal."""
_SAID = {DONE: ((" ✓ ", "ready"), "plain"), NOTE: ((" ! ", "order"), "plain"), TROUBLE: ((" ! ", "short"), "short")}
MOST_ROWS = 8


class Said(Inked):
    """The last outcome or refusal: a row that is always there, so that nothing jumps; more for a long sentence."""

    DEFAULT_CSS = "Said { height: auto; max-height: 8; }"

    sentence: reactive[str] = reactive("", layout=True)
    kind: reactive[str] = reactive(DONE)
    waiting: reactive[bool] = reactive(False)
    """Something takes long; what was said comes back after it."""

    def lines(self, width: int) -> list[Line]:
        """The rows for a width in cells."""
        if not self.sentence:
            return [()]
        sign, role = _SAID[self.kind]
        lines = wrapped(self.sentence, role, width - 1, (sign,))
        if len(lines) <= MOST_ROWS:
            return lines
        *start, (text, _) = lines[MOST_ROWS - 1]
        return [*lines[:MOST_ROWS - 1], (*start, (text.rsplit(" ", 1)[0] + " …", role))]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.lines(width))

    def render_line(self, y: int) -> Any:
        if self.waiting:
            said = spans((" ~ ", "order"), ("working it out; the keys go on answering", "muted"))
            return self.paint(said if y == 0 else (), self.size.width)
        lines = self.lines(self.size.width)
        return self.paint(lines[y] if y < len(lines) else (), self.size.width)


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
        keys = [(b, scope) for scope, bindings in (("screen", self._here), ("app", self._everywhere))
                for b in bindings if b.show and b.key != "question_mark"]
        # Every key stays in sight: where there is no room, the words of the less needed ones go.
        worded = {at: self._shown(*keys[at], word=True) for at in range(len(keys))}
        shown = {at: self._shown(*keys[at], word=False) for at in range(len(keys))}
        spare = room - sum(map(width_of, shown.values()))
        for at in sorted(worded, key=lambda at: _WORDS_FIRST.get(keys[at][0].key, 1) if keys[at][1] == "app" else 0):
            more = width_of(worded[at]) - width_of(shown[at])
            if more <= spare:
                shown[at], spare = worded[at], spare - more
        line: list[Span] = []
        # Keys without a word stand after those with one: among them each would seem to go with the word behind.
        for one in sorted(shown.values(), key=_wordless):
            if width_of(tuple(line)) + width_of(one) > room:
                break
            line += one
        return (*line, (" " * (width - width_of(tuple(line)) - width_of(last)), "plain"), *last)

    def _shown(self, binding: Binding, scope: str, word: bool) -> Line:
        action = binding.action if binding.action.startswith("app.") else f"{scope}.{binding.action}"
        key = self._enter if binding.key == "enter" else key_name(binding.key)
        return _key(key, binding.description if word else "", action)

    @property
    def _enter(self) -> str:
        return getattr(self.app, "enter_name", "↵") if self.is_attached else "↵"


def _wordless(shown: Line) -> bool:
    return not shown[1][0]


_WORDS_FIRST = {"u": -1, "l": 0, "q": 0}
"""Keys of the application whose words go last where a row has no room for all."""


def _key(key: str, word: str, action: str) -> Line:
    return spans((f" {key}", f"accent@{action}"), (f" {word} " if word else "", f"muted@{action}"))
