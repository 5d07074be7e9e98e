"""Our own looks: chalk on charcoal, and ink on plaster; a terminal of 16 colours keeps its own."""

from __future__ import annotations

import os
from collections.abc import Container

from textual.color import Color
from textual.theme import Theme

NIGHT = Theme(
    name="night",
    dark=True,
    background="#191714", surface="#221f1b", panel="#322d26", foreground="#f1eadd",
    primary="#8fbfe6", secondary="#d8c3a0", accent="#f2c14b", success="#a9cf6e", warning="#f0a35a", error="#ff8f73",
    variables={"block-cursor-background": "#4a4235", "block-cursor-foreground": "#fff8ea",
               "input-selection-background": "#8fbfe6 40%", "border": "#6b604f", "border-blurred": "#4a4235"},
)
"""Chalk and pencil colours on charcoal; every text colour is at least 7:1 on the background."""

DAY = Theme(
    name="day",
    dark=False,
    background="#f6f1e7", surface="#ece4d4", panel="#ddd1bb", foreground="#1f1b15",
    primary="#144d7a", secondary="#5f4a25", accent="#f2c14b", success="#2d5a12", warning="#6f3b00", error="#9c2310",
    variables={"block-cursor-background": "#cdbd9c", "block-cursor-foreground": "#14110c",
               "input-selection-background": "#144d7a 30%", "border": "#8a7a5e", "border-blurred": "#b7a98c"},
)
"""Ink on plaster."""


def tape_colours(theme: Theme) -> dict[str, str]:
    """The colours of the tape along the top, worked out for a look that does not set them."""
    ground, ink = ("ansi_yellow", "ansi_black") if theme.ansi else _ground_and_ink(theme)
    return {"tape": ground, "tape-ink": ink, "tape-now": theme.background or "black",
            "tape-now-ink": theme.foreground or "white"}


def scrollbar_colours(variables: dict[str, str]) -> dict[str, str]:
    """The variables of a look, with bars that are quiet until they are used."""
    bar, used, ground = variables["border-blurred"], variables["border"], variables["background"]
    grounds = {f"scrollbar-background{state}": ground for state in ("", "-hover", "-active")}
    return variables | grounds | {"scrollbar": bar, "scrollbar-hover": used, "scrollbar-active": used}


def _ground_and_ink(theme: Theme) -> tuple[str, str]:
    ground = theme.accent or theme.primary
    return ground, Color.parse(ground).get_contrast_text(1.0).hex


_FEW_COLOURS = ("linux", "vt100", "vt220", "ansi", "cygwin", "xterm-16color", "xterm-color", "xterm")


def first_theme(known: Container[str]) -> str:
    """The look to open with: the one asked for in SABINRY_THEME, else one this terminal can show."""
    asked = os.environ.get("SABINRY_THEME", "")
    if asked in known:
        return asked
    light = os.environ.get("COLORFGBG", "").rpartition(";")[2] in ("7", "15")
    if os.environ.get("TERM", "") in _FEW_COLOURS and not os.environ.get("COLORTERM"):
        return "ansi-light" if light else "ansi-dark"
    return "day" if light else "night"
