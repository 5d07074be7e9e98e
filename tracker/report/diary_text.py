"""The diary as text."""

from __future__ import annotations

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_hours, show_quantity
from tracker.report.text import heading, stacked
from tracker.services.diary_answers import Diary, EntryView


def diary_text(diary: Diary, unit: str) -> RenderableType:
    """Entries newest first, each with what it used, its note and its lesson."""
    if not diary.entries:
        return stacked(heading(diary.site), Text("No entries."))
    return stacked(heading(diary.site), *(_entry(entry, unit) for entry in diary.entries))


def _entry(entry: EntryView, unit: str) -> RenderableType:
    struck = entry.corrected_by is not None
    step = f", {entry.step} {entry.done:.0%}" if entry.step else f", {entry.done:.0%}"
    hours = "" if entry.hours_h is None else f", {show_hours(entry.hours_h)} h"
    head = f"{entry.date.isoformat()}  #{entry.id}  {entry.target}{step}{hours}"
    if struck:
        head += f"  (corrected by #{entry.corrected_by})"
    if entry.corrects:
        head += f"  (corrects #{entry.corrects})"
    lines = [f"  used {_amounts(entry.used, unit)}" if entry.used else "",
             f"  spoiled {_amounts(entry.spoiled, unit)}" if entry.spoiled else "",
             f"  {entry.note}" if entry.note else "", f"  Lesson: {entry.lesson}" if entry.lesson else "",
             f"  photos: {', '.join(entry.photos)}" if entry.photos else ""]
    style = "dim strike" if struck else ""
    return stacked(Text(head, style=style or "bold"), *(Text(line, style=style) for line in lines if line))


def _amounts(amounts: tuple[tuple[str, float, str], ...], unit: str) -> str:
    return ", ".join(f"{show_quantity(quantity, item_unit, unit)} of {item}" for item, quantity, item_unit in amounts)
