"""From the text of a site file to a site; the first thing that is wrong is said in one line."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from tracker.domain.errors import Refused
from tracker.domain.site import Site
from tracker.services.site_file.building import Builder
from tracker.services.site_file.tables import FileTables, keys_of


def read_site(path: Path) -> Site:
    """The site a file describes; Refused with file, table, key and value where something is wrong."""
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise Refused(f"{path.name}: not UTF-8 text (byte {error.start}); save it as UTF-8") from error
    except OSError as error:
        raise Refused(f"{path}: can't be read ({error.strerror}); name a site file") from error
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(f"{path.name}: not TOML: {error}") from error
    try:
        tables = FileTables.model_validate(raw)
    except ValidationError as error:
        raise Refused(f"{path.name}: {_first(error, raw)}") from error
    try:
        return Builder(tables).site()
    except Refused as error:
        raise Refused(f"{path.name}: {error}") from error


def _first(error: ValidationError, raw: dict[str, Any]) -> str:
    problems = error.errors(include_url=False)
    # An unknown key explains a missing one, so it is said first.
    problems.sort(key=lambda one: one["type"] != "extra_forbidden")
    one = problems[0]
    where, key = _place(one["loc"], raw)
    more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
    if one["type"] == "extra_forbidden":
        known = keys_of(FileTables, one["loc"][:-1])
        close = get_close_matches(key, known, n=1, cutoff=0.5)
        return f"{where}: unknown key {key}; " + (f"did you mean {close[0]}?" if close else
                                                   f"it takes {', '.join(known)}") + more
    if one["type"] == "missing":
        return f"{where}: {key} is missing; add it{more}"
    value = one["input"]
    shown = f"{value!r}" if not isinstance(value, dict | list) or len(repr(value)) < 60 else "this value"
    return f"{where}: {key} = {shown}: {_plain(one['msg'])}{more}"


def _plain(message: str) -> str:
    return message[:1].lower() + message[1:].replace("Input should", "it should")


def _place(location: Iterable[Any], raw: Any) -> tuple[str, str]:
    """The table and the key of an error, tables by name where they have one."""
    header: list[str] = []
    title = ""
    key = ""
    here = raw
    for step in location:
        if isinstance(step, int):
            here = here[step] if isinstance(here, list) and step < len(here) else None
            if isinstance(here, dict):
                header.append(key)
                title = here.get("name", f"number {step + 1}")
                key = ""
        elif isinstance(here, dict):
            if key and isinstance(here, dict):
                header.append(key)
            key = step
            here = here.get(step) if isinstance(here, dict) else None
    table = ".".join(header)
    return (f'[[{table}]] "{title}"' if title else f"[{table}]" if table else "the file"), key or "it"
