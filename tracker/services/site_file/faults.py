"""The faults of a site file: gathered while the rest is judged, told one line each in the file's order."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any

from tracker.domain.errors import Refused
from tracker.services.site_file.tables import UNREAD

Loc = tuple[str | int, ...]
"""Where in the file: keys, and the numbers of entries from 0 on."""
MOST_LINES = 20


@dataclass(frozen=True, slots=True)
class Fault:
    loc: Loc
    text: str
    same: tuple[str, str] | None = None
    """Of a name that matches nothing: its key and the name, alike wherever it stands."""


class NoMatch(Refused):
    """A name that matches nothing, and what makes it the same wherever it stands."""

    def __init__(self, text: str, same: tuple[str, str]) -> None:
        super().__init__(text)
        self.same = same


class FileFaults(Refused):
    """All that is wrong with a site file; as one sentence, the first and how many more."""

    def __init__(self, file: str, faults: Iterable[Fault]) -> None:
        said = dict.fromkeys("".join(char if char.isprintable() else " " for char in one.text) for one in faults)
        self._file = file
        self.faults = tuple(said)
        more = f" (and {len(said) - 1} more)" if len(said) > 1 else ""
        super().__init__(f"{file}: {self.faults[0]}{more}")

    @property
    def lines(self) -> tuple[str, ...]:
        """A line for each fault; of very many, the first and how many more."""
        lines = [f"{self._file}: {one}" for one in self.faults[:MOST_LINES]]
        left = len(self.faults) - MOST_LINES
        return (*lines, f"{self._file}: and {left} more") if left > 0 else tuple(lines)


class Unjudged(Exception):
    """Something rests on what could not be read; that is told already."""


def judged(value: Any) -> Any:
    """The value as read; Unjudged where it could not be."""
    if value is UNREAD:
        raise Unjudged
    return value


class Gathered:
    """The faults found so far, each with its place in the file."""

    def __init__(self, faults: Iterable[Fault] = ()) -> None:
        self.faults = list(faults)

    @contextmanager
    def at(self, *loc: str | int) -> Iterator[None]:
        """Notes what is refused within as a fault at this place, and goes on behind it."""
        try:
            yield
        except NoMatch as error:
            self.faults.append(Fault(loc, str(error), error.same))
        except Refused as error:
            self.faults.append(Fault(loc, str(error)))
        except Unjudged:
            pass

    def since(self, count: int) -> bool:
        """Whether any came since there were so many."""
        return len(self.faults) > count


def in_file_order(faults: Iterable[Fault], raw: Mapping[str, Any], text: str) -> list[Fault]:
    """The faults as the file's lines go, one name that matches nothing once; what is missing stands where its table
    begins."""
    headers = _headers(raw, text)
    ordered = sorted(faults, key=lambda fault: _order(fault.loc, raw, headers))
    times = Counter(fault.same for fault in ordered)
    first: dict[object, Fault] = {}
    for fault in ordered:
        first.setdefault(fault.same or id(fault), fault)
    return [replace(fault, text=f"{fault.text} (and at {times[fault.same] - 1} more place"
                                f"{'s' * (times[fault.same] > 2)})")
            if fault.same and times[fault.same] > 1 else fault for fault in first.values()]


def _headers(raw: Mapping[str, Any], text: str) -> dict[str, list[int]]:
    """Where the tables of each list begin; none for a list whose headers can't be told from other text."""
    found: dict[str, list[int]] = {}
    for match in re.finditer(r"^[ \t]*\[\[?[ \t]*(\w+)[ \t]*\]", text, re.M):
        found.setdefault(match[1], []).append(match.start())
    return {key: places for key, places in found.items()
            if len(places) == (len(raw[key]) if isinstance(raw.get(key), list) else 1)}


def _order(loc: Loc, raw: Any, headers: Mapping[str, list[int]]) -> list[int]:
    order: list[int] = []
    here = raw
    for depth, step in enumerate(loc):
        if isinstance(here, dict):
            order.append(list(here).index(step) if step in here else -1)
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            order.append(step)
            here = here[step]
        if depth == 0:
            order = _first(loc, raw, headers) if order[0] >= 0 else order
    return order


def _first(loc: Loc, raw: Mapping[str, Any], headers: Mapping[str, list[int]]) -> list[int]:
    """Where the table of the first step begins in the text, or that of the nearest key before it that is known."""
    places = headers.get(str(loc[0]))
    if places is not None:
        number = loc[1] if len(loc) > 1 and isinstance(loc[1], int) else 0
        return [places[number] if number < len(places) else places[0]]
    keys = list(raw)[:list(raw).index(loc[0])]
    return [max((headers[key][0] for key in keys if key in headers), default=0)]
