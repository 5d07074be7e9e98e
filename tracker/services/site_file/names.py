"""Names in a site file: what they match, the likeliest where they match nothing, and names given twice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from typing import Any

from tracker.domain.errors import Refused
from tracker.services.site_file.faults import Gathered, NoMatch, Unjudged, judged
from tracker.services.site_file.tables import UNREAD

_ENOUGH_TO_LIST = 5


def tables_in(value: Any) -> Sequence[Any]:
    """The tables of a list; none where it could not be read."""
    return () if value is UNREAD else value


def names_in(tables: Any) -> list[Any]:
    """The names of the tables of a list, UNREAD for one that could not be read or is an earlier one's again."""
    names: list[Any] = []
    for one in (UNREAD,) if tables is UNREAD else tables:
        names.append(UNREAD if one is UNREAD or one.name in names else one.name)
    return names


def refuse_unknown(where: str, key: str, name: Any, names: Iterable[Any]) -> None:
    """NoMatch where a name is none of these; Unjudged where it may be the one that could not be read."""
    known = list(names)
    if judged(name) in known:
        return
    if UNREAD in known:
        raise Unjudged
    close = get_close_matches(name, known, n=2, cutoff=0.5)
    listed = f"add it, or use {'one of ' * (len(known) > 1)}{', '.join(known[:_ENOUGH_TO_LIST])}" if known else "add it"
    said = f"did you mean {' or '.join(close)}?" if close else listed
    raise NoMatch(f'{where}: {key} = "{name}" matches nothing; {said}', (key, name))


def note_twice(found: Gathered, where: str, tables: Any, *loc: str | int) -> bool:
    """Notes each name that an earlier table of the list has already, and returns whether there is one."""
    before = len(found.faults)
    seen: set[Any] = set()
    for number, one in enumerate(tables_in(tables)):
        with found.at(*loc, number, "name"):
            if judged(one.name) in seen:
                raise Refused(f'{where}: name = "{one.name}" is given twice; give each its own name')
        seen.add(one.name)
    return found.since(before)


def shown_name(name: Any, number: int) -> str:
    """A name as a fault shows it, or the number of the table where it has none."""
    return f"number {number + 1}" if name is UNREAD else name
