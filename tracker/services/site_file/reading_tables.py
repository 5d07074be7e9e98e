"""The tables of a site file, all of its unreadable places told and left open, so that the rest can be judged."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tracker.services.site_file.faults import Fault, Loc
from tracker.services.site_file.invalid import fault_line
from tracker.services.site_file.tables import TARGET_TAGS, UNREAD, FileTables, table_at
from tracker.services.site_file.unknown_keys import instead, meant


def read_tables(raw: Mapping[str, Any]) -> tuple[FileTables, list[Fault]]:
    """The tables, UNREAD where they can't be read, and what is wrong there."""
    draft = deepcopy(dict(raw))
    told: list[Fault] = []
    renamed: set[Loc] = set()
    while True:
        try:
            return FileTables.model_validate(draft), told
        except ValidationError as error:
            found = error.errors(include_url=False)
        told += _told(found, draft, renamed)
        # What was unknown goes first: it may be what is missing.
        for one in sorted(found, key=lambda each: each["type"] != "extra_forbidden"):
            if one["type"] == "extra_forbidden":
                renamed.add(_rename(draft, one["loc"]))
            else:
                _leave_open(draft, one)


def _told(found: list[ErrorDetails], draft: Mapping[str, Any], renamed: set[Loc]) -> list[Fault]:
    """A fault for each, but for what only follows from a key that is misspelt or stands elsewhere."""
    unknown = [one["loc"] for one in found if one["type"] == "extra_forbidden"]
    misspelt = {(*loc[:-1], name) for loc in unknown if (name := meant(loc) or instead(loc)) is not None}
    return [Fault(one["loc"], fault_line(one, draft)) for one in found if one["type"] == "extra_forbidden"
            or not (one["loc"] in misspelt if one["type"] == "missing" else _owner(draft, one["loc"]) in renamed)
            and not (one["type"] == "missing" and _elsewhere(one["loc"], unknown))]


def _elsewhere(missing: Loc, unknown: list[Loc]) -> bool:
    """Whether what a table misses stands at the top of the file."""
    return (missing[-1],) in unknown


def _rename(draft: dict[str, Any], loc: Loc) -> Loc:
    """Takes an unknown key out of the draft, or keeps its value under the key that it likely stands for."""
    table = _within(draft, loc[:-1])
    value = table.pop(loc[-1])
    name, other = meant(loc), instead(loc)
    if name is None:
        if other is not None:
            table.setdefault(other, UNREAD)
        return loc
    if isinstance(value, list) and isinstance(table.get(name), list) and table_at((*loc[:-1], name)) is not None:
        table[name] = [*table[name], *value]
    else:
        table.setdefault(name, value)
    return (*loc[:-1], name)


def _leave_open(draft: dict[str, Any], one: ErrorDetails) -> None:
    owner = _owner(draft, one["loc"])
    table, key = _within(draft, owner[:-1]), owner[-1]
    value = table.get(key)
    if one["type"] == "list_type" and isinstance(value, dict) and table_at(owner) is not None:
        table[key] = [value]
    elif one["type"] != "missing" or key not in table:
        table[key] = UNREAD


def _owner(draft: Mapping[str, Any], loc: Loc) -> Loc:
    """The innermost key of a table on the way to a place."""
    return loc[:1 + max(n for n in range(len(loc)) if _is_key(draft, loc, n))]


def _is_key(draft: Any, loc: Loc, n: int) -> bool:
    """Whether step `n` of a place is a key that the table there takes."""
    table = table_at(loc[:n])
    return isinstance(loc[n], str) and table is not None and loc[n] in table.model_fields and isinstance(
        _within(draft, loc[:n]), dict)


def _within(draft: Any, loc: Loc) -> Any:
    here = draft
    for step in loc:
        if step in TARGET_TAGS and not (isinstance(here, dict) and step in here):
            continue
        if isinstance(here, dict):
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            return None
    return here
