"""Says in one line each what the tables of a site file refuse, and where."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic_core import ErrorDetails

from tracker.measures import quoted
from tracker.services.site_file.sizes import size_pair
from tracker.services.site_file.tables import TARGET_TAGS
from tracker.services.site_file.unknown_keys import remedy_for

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
_ENTRIES = {"plane": "add a [[room.plane]]", "item": "add an [[item]]", "room": "add a [[room]]"}
_FIGURES = {
    "mm": {"outline": "write corners as [[0, 0], [4200, 0], [4200, 2600]]", "size": "write e.g. [4200, 2600]",
           "at": "write e.g. [1500, 900]"},
    "in": {"outline": "write corners as [[0, 0], [165, 0], [165, 102]]", "size": "write e.g. [165, 102]",
           "at": "write e.g. [60, 36]"},
}
_SIZES = ("size", "at")


def fault_line(one: ErrorDetails, raw: Mapping[str, Any]) -> str:
    """A fault with table, key, value and remedy."""
    where, keys = _place(one["loc"], raw)
    key = ".".join(keys)
    if one["type"] == "extra_forbidden":
        return f"{where}: unknown key {key}; {remedy_for(one['loc'], _unit(raw))}"
    if one["type"] == "missing":
        return f"{where}: {key} is missing; add it" if key else f"{where} is missing; add it"
    sentence = _sentence(one, _unit(raw))
    return f"{where}: {key} = {_shown(one['input'])}: {sentence}" if key else f"{where}: {sentence}"


def example_of(key: str, unit: str) -> str:
    """What to write for a key that takes lengths, in the site's unit."""
    return _FIGURES[unit][key]


def _unit(raw: Mapping[str, Any]) -> str:
    site = raw.get("site")
    unit = site.get("unit") if isinstance(site, dict) else None
    return unit if isinstance(unit, str) and unit in _FIGURES else "mm"


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


def _sentence(one: ErrorDetails, unit: str) -> str:
    kind, ctx = one["type"], one.get("ctx", {})
    last = next((step for step in reversed(one["loc"]) if isinstance(step, str)), "")
    if last in _SIZES and (pair := _crossed(one["input"])) is not None:
        return f"must be a list; write {pair}"
    if kind == "value_error":
        return str(ctx["error"])
    if kind == "literal_error":
        return "must be " + str(ctx["expected"]).replace("'", '"')
    if kind in _BOUNDS:
        name, words = _BOUNDS[kind]
        return f"must be {words.format(format(ctx[name], 'g'))}; check the figure"
    if kind in ("too_short", "too_long"):
        bound = f"at least {ctx['min_length']}" if kind == "too_short" else f"no more than {ctx['max_length']}"
        remedy = _ENTRIES.get(last) or _FIGURES[unit].get(
            last, "write one figure for each band of 125, 250, 500, 1000, 2000 and 4000 Hz")
        return f"it has {ctx['actual_length']} entries and must have {bound}; {remedy}"
    if kind == "string_pattern_mismatch":
        return _PATTERNS.get(last, "a name here has no /, no = and no ; in it; write it without")
    if kind == "list_type":
        headed = next((table for table in _HEADED if table[-1] == last), None)
        write = f"write [[{'.'.join(headed)}]]" if headed else _FIGURES[unit].get(last, f"write {last} = [ ... ]")
        return f"must be a list; {write}"
    if kind in ("model_type", "dict_type"):
        return f"must be a table; write {'it as [site]' if last == 'site' else '{ key = value, ... }'}"
    return _TYPES.get(kind, one["msg"])


def _crossed(given: Any) -> str | None:
    """The list that a size written with a cross stands for."""
    text = given[0] if isinstance(given, list) and len(given) == 1 else given
    return size_pair(text) if isinstance(text, str) else None
