"""What the parser and the terminal can't say in our words: its refusals, and signs that an encoding has no room for."""

from __future__ import annotations

import codecs
import re
import sys

_PARSERS = (
    (r"Invalid value for '([^']+)':", r"\1:"),
    (r"Input should be a valid integer.*", "write a whole number"),
    (r"Input should be a valid number.*", "write a number"),
    (r"Input should be less than or equal to (\S+)", r"write a number up to \1"),
    (r"Input should be greater than or equal to (\S+)", r"write a number from \1 up"),
    (r"Value error, (\S+) is not one of (.*)", lambda match: f"there is no {match[1]}; write one of "
                                                             f"{match[2]}".replace("'", "")),
)
_PLAIN = {"±": "+/-", "×": "x", "…": "...", "–": "-", "—": "-", "−": "-", "²": "2", "³": "3", "°": "deg", "½": "1/2",
          "¼": "1/4", "¾": "3/4", "‘": "'", "’": "'", "“": '"', "”": '"', "•": "*", "→": "->", "←": "<-"}


def in_our_words(refusal: str) -> str:
    """A refusal of the parser, short and with the remedy."""
    for pattern, words in _PARSERS:
        refusal = re.sub(pattern, words, refusal)
    return refusal


def write_plainly() -> None:
    """Lets both outputs stand in for a sign their encoding lacks, as a terminal without UTF-8 does, and go on."""
    codecs.register_error("sabinry", _stand_in)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="sabinry")


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start:error.end]
    return "".join(_PLAIN.get(sign, "?") for sign in lost), error.end
