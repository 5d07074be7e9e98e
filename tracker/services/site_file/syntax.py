"""What stops the reading of a file as TOML, with its place and a remedy that fits what stands there."""

from __future__ import annotations

import re

from tracker.measures.units import NUMBER
from tracker.services.site_file.sizes import in_quotes, size_pair

_COMMA = re.compile(r"(?<![\w.,\"'])(-?[0-9]+),([0-9]+)(?![0-9.])")
_THOUSANDS = re.compile(r"(?<![\w.,\"'])-?[0-9]{1,3}(?:(?:,[0-9]{3}){2,}|,[0-9]{3}\.)[0-9.]*")
_VALUE = re.compile(r"""^\s*[\w."'-]+\s*=\s*(?P<value>[^#]*?)\s*(?:#.*)?$""")
_PLACE = re.compile(r"\(at line ([0-9]+), column ([0-9]+)\)")
_TWICE = re.compile(r"Cannot declare \(('(?:\w+)'(?:, '\w+')*),?\) twice")
_LISTS = ("item", "build_up", "surface", "room", "room.plane", "room.plane.bay", "phase")


def said_of(error: Exception, text: str) -> str:
    """What the parser says, with its line and column, and what to write instead."""
    return f"not TOML: {error}; {_remedy(str(error), text)}"


def _remedy(said: str, text: str) -> str:
    twice = _TWICE.match(said)
    table = ".".join(re.findall(r"\w+", twice[1])) if twice else ""
    if table in _LISTS:
        return f"write [[{table}]] with two brackets for each"
    place = _PLACE.search(said)
    if place is None:
        return "mend that line" if "line" in said else "close what is open at the end: a quote or a bracket"
    # TOML counts no other line endings.
    line = text.replace("\r\n", "\n").split("\n")[int(place[1]) - 1]
    return _comma(line.split("#", 1)[0], int(place[2]) - 1) or _of_value(line) or "mend that line"


def _comma(code: str, column: int) -> str | None:
    """What to write for a figure with a comma in it that the parser stopped at."""
    for thousands in _THOUSANDS.finditer(code):
        if thousands.start() <= column <= thousands.end():
            return f"leave the commas out, {thousands[0].replace(',', '')}"
    for comma in _COMMA.finditer(code):
        # An inline table goes on behind a comma, so that the parser stops only where it finds no key there.
        if comma.start() <= column <= comma.end() + 2:
            either = f", or leave the comma out, {comma[1]}{comma[2]}" if len(comma[2]) == 3 else ""
            return f"write a point, {comma[1]}.{comma[2]}{either}"
    return None


def _of_value(line: str) -> str | None:
    """What to write for a value that is no TOML as it stands."""
    found = _VALUE.match(line)
    if found is None or not found["value"]:
        return None
    value = found["value"]
    if (size := size_pair(value.strip("[] "))) is not None:
        return f"write {size}"
    if re.fullmatch(rf"{NUMBER}(?:,\s+{NUMBER})+", value):
        return f"write [{value}]"
    if re.fullmatch(r"\.[0-9]+|[0-9]+\.|0[0-9]+", value):
        return f"write 0{value}" if value[0] == "." else f"write {value.rstrip('.').lstrip('0') or '0'}"
    if re.fullmatch(r"[0-9]{1,2}[./-][0-9]{1,2}[./-][0-9]{4}|[0-9]{4}[-./][0-9]{1,2}[-./][0-9]{1,2}", value):
        return "write a day as e.g. 2026-03-02"
    if re.fullmatch(r"true|false|yes|no|on|off", value, re.I):
        return "write true or false, in small letters"
    if re.fullmatch(rf"{NUMBER}\s*(?:[a-z]\w*|['\"].*)", value, re.I):
        return f"write a figure with its unit in quotes, {in_quotes(value)}"
    if value[0] in "“”„‘’«":
        return 'write text in straight quotes, "'
    return f"write text in quotes, {in_quotes(value)}" if value[0].isalpha() else None
