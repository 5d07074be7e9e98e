"""Plain characters for terminals whose locale is not UTF-8: one stand-in for each sign that is drawn."""

from __future__ import annotations

import locale
import unicodedata

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

_SIGNS = {
    "✓": "+", "█": "#", "▓": "%", "▒": "=", "░": ":", "▀": "'", "▌": "#", "▐": "#", "▸": ">", "◂": "<", "…": "~",
    "─": "-", "│": "|",
    "┃": "|", "‖": "|", "╷": "'", "╵": "'", "·": ".", "²": "2", "³": "3", "×": "x", "–": "-", "—": "-", "’": "'",
    "‘": "'", "“": '"', "”": '"', "→": ">", "←": "<", "↑": "^", "↓": "v", "↵": "<", "▎": "|", "▏": "|", "▕": "|",
    "▁": "_", "▂": "_", "▃": "_", "▄": ".", "▅": "#", "▆": "#", "▇": "#", "▉": "#", "▊": "#", "▋": "#", "▍": "|",
    "▔": "-", "α": "a",
    # The hatches of infill and of fabric, cell by cell, as the drawings fill them.
    "⢁": "/", "⠔": "/", "⢕": "%",
}
_DOTS = " .:*#"
"""A braille cell by how many of its eight dots are set, in steps of two."""


def utf8_locale() -> bool:
    """Whether this terminal is said to read UTF-8."""
    return locale.getencoding().lower().replace("-", "") == "utf8"


def plain_text(text: str) -> str:
    """The text in ASCII, as wide as before."""
    return text if text.isascii() else "".join(_plain(char) for char in text)


def _plain(char: str) -> str:
    if char.isascii():
        return char
    if char in _SIGNS:
        return _SIGNS[char]
    code = ord(char)
    if 0x2800 <= code <= 0x28FF:
        return _DOTS[(bin(code - 0x2800).count("1") + 1) // 2]
    if 0x2500 <= code <= 0x257F:
        return "+"
    base = unicodedata.normalize("NFKD", char)[0]
    return base if base.isascii() and cell_len(char) == 1 else "?" * cell_len(char)


class PlainCharacters(LineFilter):
    """Replaces every character a plain terminal can't show, whatever widget drew it."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [Segment(plain_text(segment.text), segment.style, segment.control) for segment in segments]
