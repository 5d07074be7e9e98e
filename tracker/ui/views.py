"""The views in the order of their keys; their modules load on the first visit."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tracker.ui.view import View


class ViewName(NamedTuple):
    id: str
    title: str
    what: str


VIEWS = (
    ViewName("today", "Today", "what can start, what waits, where it stopped, the phase meters"),
    ViewName("room", "Room", "each plane drawn to scale, with what is on it"),
    ViewName("stock", "Stock", "what is here, held, needed, on order and short"),
    ViewName("phases", "Phases", "the steps of every bay, and why each waits"),
    ViewName("sound", "Sound", "absorption area and decay time: bare, now, planned"),
    ViewName("diary", "Diary", "what was done, with hours, notes and lessons"),
    ViewName("saw", "Saw", "the cut list, board by board, ticked off as it is cut"),
)


def view_class(name: str) -> type[View]:
    """The screen of a view, loaded now."""
    found: type[View] = import_module(f"tracker.ui.screens.{name}").SCREEN
    return found
