"""Says in one line what the tables of a site file refuse, and where."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tracker.measures import quoted
from tracker.services.site_file.tables import TARGET_TAGS, FileTables, keys_of

_HEADED = {("item",), ("build_up",), ("surface",), ("room",), ("room", "plane"), ("room", "plane", "bay"), ("phase",)}
_TYPES = {
    "string_type": "must be text; write it in quotes", "bool_type": "must be true or false, without quotes",
    "int_type": "must be a whole number, without quotes", "int_from_float": "must be a whole number",
    "float_type": "must be a number, without quotes", "finite_number": "must be a number; nan and inf are none",
    "date_type": "must be a day without quotes; write e.g. 2026-03-02",
    "string_too_short": "must not be empty; write a name", "string_too_long": "must be shorter",
}
_BOUNDS = {"greater_than_equal": ("ge", "{} or more"), "greater_than": ("gt", "over {}"),
           "less_than_equal": ("le", "{} or less"), "less_than": ("lt", "under {}")}
_PATTERNS = {"currency": "must be three capitals; write e.g. EUR"}
_ENTRIES = {"plane": "add a [[room.plane]]", "item": "add an [[item]]", "room": "add a [[room]]",
            "outline": "write corners as [[0, 0], [4200, 0], [4200, 2600]]", "size": "write e.g. [4200, 2600]",
            "at": "write e.g. [0, 0]"}


def first_fault(error: ValidationError, raw: Mapping[str, Any]) -> str:
    """The first fault with table, key, value and remedy, and how many more there are; unknown keys come first, since
    a misspelt key also shows as a missing one."""
    faults = sorted(error.errors(include_url=False), key=lambda one: one["type"] != "extra_forbidden")
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    line = "".join(char if char.isprintable() else " " for char in _line(faults[0], raw))
    return f"{line}{more}"


def _line(one: ErrorDetails, raw: Mapping[str, Any]) -> str:
    where, keys = _place(one["loc"], raw)
    key = ".".join(keys)
    if one["type"] == "extra_forbidden":
        name = str(one["loc"][-1])
        known = keys_of(FileTables, one["loc"][:-1])
        close = get_close_matches(name, known, n=1, cutoff=0.5)
        remedy = f"did you mean {close[0]}?" if close else f"it takes {', '.join(known)}"
        return f"{where}: unknown key {key}; {remedy}"
    if one["type"] == "missing":
        return f"{where}: {key} is missing; add it"
    return f"{where}: {key} = {_shown(one['input'])}: {_sentence(one)}" if key else f"{where}: {_sentence(one)}"


def _shown(value: Any) -> str:
    return quoted(value) if isinstance(value, str | bool | int | float) else quoted(str(value))[1:-1]


def _place(loc: tuple[str | int, ...], raw: Any) -> tuple[str, list[str]]:
    """The table at fault as the file heads it, and the keys within it, entries of a list by name or from 1 on."""
    tables: tuple[str, ...] = ()
    names: list[str] = []
    keys: list[str] = []
    here = raw
    for step in loc:
        if step in TARGET_TAGS and not (isinstance(here, dict) and step in here):
            continue
        here = _inside(here, step)
        if isinstance(step, int):
            name = here.get("name") if isinstance(here, dict) else None
            label = f'"{name}"' if isinstance(name, str) and name else f"number {step + 1}"
            if keys:
                keys[-1] += f" {label}" if label[0] == '"' else f"[{step + 1}]"
            else:
                names.append(label.strip('"'))
        elif not keys and (*tables, step) in _HEADED:
            tables = (*tables, step)
        elif not keys and not tables and step == "site":
            tables = ("site",)
        elif step != "[key]":
            keys.append(step)
    return _header(tables, names, raw), keys


def _inside(here: Any, step: str | int) -> Any:
    if isinstance(here, dict):
        return here.get(step)
    return here[step] if isinstance(here, list) and isinstance(step, int) and step < len(here) else None


def _header(tables: tuple[str, ...], names: list[str], raw: Any) -> str:
    if tables == ("site",):
        return "[site]"
    if not tables:
        return "the file"
    only_room = len(names) > 1 and len(raw["room"]) == 1
    return f'[[{".".join(tables)}]]' + (f' "{"/".join(names[only_room:])}"' if names else "")


def _sentence(one: ErrorDetails) -> str:
    kind, ctx = one["type"], one.get("ctx", {})
    if kind == "value_error":
        return str(ctx["error"])
    if kind == "literal_error":
        return "must be " + str(ctx["expected"]).replace("'", '"')
    if kind in _BOUNDS:
        name, words = _BOUNDS[kind]
        return f"must be {words.format(format(ctx[name], 'g'))}; check the figure"
    last = next((step for step in reversed(one["loc"]) if isinstance(step, str)), "")
    if kind in ("too_short", "too_long"):
        bound = f"at least {ctx['min_length']}" if kind == "too_short" else f"no more than {ctx['max_length']}"
        remedy = _ENTRIES.get(last, "write one figure for each band of 125, 250, 500, 1000, 2000 and 4000 Hz")
        return f"it has {ctx['actual_length']} entries and must have {bound}; {remedy}"
    if kind == "string_pattern_mismatch":
        return _PATTERNS.get(last, "a name here has no / and no = in it; write it without")
    if kind == "list_type":
        headed = next((table for table in _HEADED if table[-1] == last), None)
        return f"must be a list; write [[{'.'.join(headed)}]]" if headed else f"must be a list; write {last} = [ ... ]"
    if kind in ("model_type", "dict_type"):
        return f"must be a table; write {'it as [site]' if last == 'site' else '{ key = value, ... }'}"
    return _TYPES.get(kind, one["msg"])
