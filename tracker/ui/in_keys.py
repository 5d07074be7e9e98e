"""Remedies said in the keys of the screens where a service says them in verbs of the command line."""

from __future__ import annotations

import re

_REMEDIES = (
    (r"`sabinry need`", "p in the Saw view"),
    (r"`sabinry saw`", "the Saw view"),
    (r"`sabinry diary`", "the Diary view"),
    (r"`sabinry log --correct (\d+) --photo PATH`", r"correcting entry \1 in the Diary view"),
    (r"`sabinry clock start`", "w"),
    (r"`sabinry sound --measured`", "m in the Sound view"),
    (r"`sabinry sweep read FILE --as NAME`", "r in the Sound view"),
)


def in_keys(text: str) -> str:
    """The text with verbs that have a key told by it."""
    for verb, words in _REMEDIES:
        text = re.sub(verb, lambda found, words=words: _placed(found, words), text)
    return text


def _placed(found: re.Match[str], words: str) -> str:
    said = found.expand(words)
    begins = found.string[:found.start()].rstrip().endswith((".", "!", "?")) or not found.start()
    return said[:1].upper() + said[1:] if begins else said
