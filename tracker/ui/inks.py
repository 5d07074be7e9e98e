"""The roles that words and signs are drawn in, each by a variable of the theme; worked out once for each look.

Component classes would do the same, but Textual matches every one of them for every widget on every change of style.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple
from weakref import WeakKeyDictionary

from rich.style import Style
from textual.app import App
from textual.color import Color


class Ink(NamedTuple):
    """How a role is drawn: variables of the theme for the words and the ground, and attributes."""

    colour: str
    attributes: str = ""
    ground: str = ""
    part: float = 1.0
    """How much of the colour stands over the background."""


INKS = {
    "plain": Ink("foreground"), "muted": Ink("foreground", part=0.62), "strong": Ink("foreground", "bold"),
    "title": Ink("secondary", "bold"), "accent": Ink("primary", "bold"), "rule": Ink("border-blurred"),
    "note": Ink("secondary", "italic"),
    "ready": Ink("success", "bold"), "short": Ink("error", "bold"), "order": Ink("warning", "bold"),
    "waiting": Ink("foreground", part=0.62), "way": Ink("primary", "bold"), "done": Ink("secondary"),
    "installed": Ink("success"), "covered": Ink("primary"), "lack": Ink("error"),
    "track": Ink("primary"), "infill": Ink("warning"), "fabric": Ink("secondary"), "edge": Ink("foreground"),
    "aim": Ink("success"),
    "tape": Ink("tape-ink", "", "tape"), "tape-name": Ink("tape-ink", "bold", "tape"),
    "tape-now": Ink("tape-now-ink", "bold", "tape-now"),
    "cursor": Ink("foreground", "bold", "block-cursor-background"),
}
_looks: WeakKeyDictionary[App[Any], tuple[str, dict[str, Style]]] = WeakKeyDictionary()


def inks_of(app: App[Any]) -> dict[str, Style]:
    """The styles of all roles in the look the app has now."""
    kept = _looks.get(app)
    if kept is None or kept[0] != app.theme:
        kept = app.theme, styles(app.theme_variables, app.native_ansi_color)
        _looks[app] = kept
    return kept[1]


def styles(variables: Mapping[str, str], ansi: bool) -> dict[str, Style]:
    """The styles of all roles for the variables of a theme; 16 colours know no parts, so those are dimmed."""
    found = {}
    for role, ink in INKS.items():
        style = Style.parse(ink.attributes) if ink.attributes else Style()
        colour = Color.parse(variables.get(ink.colour, variables["foreground"]))
        if ansi and ink.part < 1:
            style += Style(dim=True)
        elif ink.part < 1:
            colour = Color.parse(variables["background"]).blend(colour, ink.part, 1.0)
        ground = Color.parse(variables.get(ink.ground, variables["background"])).rich_color if ink.ground else None
        found[role] = style + Style(color=colour.rich_color, bgcolor=ground)
    return found
