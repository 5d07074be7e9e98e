"""How a site file takes what was written otherwise: a size with a cross, `1200 x 600`, and text without quotes."""

from __future__ import annotations

import re

from tracker.measures.units import NUMBER

_UNIT = r"mm|cm|m|in|ft|\"|''|'"
_MARKS = ('"', "''", "'")
_BY = r"\s*(?:x|×|\*|by)\s*"
_CROSS = re.compile(rf"\s*(?P<one>{NUMBER})\s*(?P<of>{_UNIT})?{_BY}(?P<two>{NUMBER})\s*(?P<to>{_UNIT})?"
                    rf"(?:{_BY}(?P<deep>{NUMBER})\s*(?P<by>{_UNIT})?)?\s*", re.I)


def size_pair(text: str) -> str | None:
    """The two figures as a TOML list, quoted where they have units, a third as depth; None for any other text."""
    found = _CROSS.fullmatch(text)
    if found is None:
        return None
    last = found["by"] or found["to"] or found["of"]
    pair = f"[{_figure(found['one'], found['of'] or last)}, {_figure(found['two'], found['to'] or last)}]"
    return pair if found["deep"] is None else f"{pair} and depth = {_figure(found['deep'], found['by'] or last)}"


def _figure(figure: str, unit: str | None) -> str:
    point = figure.replace(",", ".")
    if unit is None:
        return f"0{point}" if point[0] == "." else point
    return in_quotes(f"{point}{unit}" if unit in _MARKS else f"{point} {unit}")


def in_quotes(text: str) -> str:
    """A text as TOML takes it, in the quotes that do not stand in it."""
    return f'"{text}"' if '"' not in text else f"'{text}'" if "'" not in text else f"'''{text}'''"
