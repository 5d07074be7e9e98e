"""Paths of photos as typed: completed from the folder, checked, and stored in full."""

from __future__ import annotations

import asyncio
import os
from pathlib import Path

from textual.suggester import Suggester

from tracker.ui.ink import Line, fit, spans

PICTURES = (".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp", ".tif", ".tiff", ".dng")


def photo_paths(text: str) -> tuple[str, ...]:
    """The paths parted by semicolons, each in full, so that they hold from any folder."""
    return tuple(str(_full(part)) for part in _parts(text))


def found_line(text: str) -> Line:
    """Whether each photo is where it is said to be; one that is not is kept by its name."""
    parts = _parts(text)
    missing = [part for part in parts if not _full(part).is_file()]
    if not parts:
        return ()
    if not missing:
        return spans((f" + {'found' if len(parts) == 1 else f'all {len(parts)} found'}", "ready"))
    return spans((f" ! not there: {fit(Path(missing[0]).name, min(16, len(Path(missing[0]).name)))}", "order"))


def completed(text: str) -> str | None:
    """The text with its last path completed to the one folder or picture that begins so, or to the first of several."""
    start, mark, last = text.rpartition(";")
    lead = last[:len(last) - len(last.lstrip())]
    typed = last.strip()
    if not typed:
        return None
    head, name = os.path.split(typed)
    try:
        found = sorted(entry.name + ("/" if entry.is_dir() else "") for entry in os.scandir(_full(head or "."))
                       if entry.name.startswith(name) and (name or not entry.name.startswith("."))
                       and (entry.is_dir() or entry.name.lower().endswith(PICTURES)))
    except OSError:
        return None
    if not found:
        return None
    return f"{start}{mark}{lead}{os.path.join(head, found[0])}"


class PhotoPaths(Suggester):
    """Completes the last path of a field."""

    def __init__(self) -> None:
        super().__init__(use_cache=False, case_sensitive=True)

    async def get_suggestion(self, value: str) -> str | None:
        return await asyncio.to_thread(completed, value)


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def _full(part: str) -> Path:
    return Path(part).expanduser().absolute()
