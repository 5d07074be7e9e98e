"""What a person says of a day, and the diary as services answer it. SI, units in the names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tracker.domain.site import Step
from tracker.services.answers import Blocked, Verdict


@dataclass(frozen=True, slots=True)
class DayLog:
    """What a person says of one stretch of work; None leaves a figure to be worked out."""

    target: str
    step: Step | None = None
    """None for a free task."""
    done: float = 1.0
    """How much of the step is done after this entry, 0 to 1."""
    hours_h: float | None = None
    used: tuple[tuple[str, float], ...] | None = None
    """(item, quantity in its unit); None: worked out from the cutting plan."""
    spoiled: tuple[tuple[str, float], ...] = ()
    note: str = ""
    lesson: str = ""
    photos: tuple[str, ...] = ()
    on: date | None = None
    """None: today."""


@dataclass(frozen=True, slots=True)
class LogPreview:
    """What a log entry would use and make, before it is written."""

    uses: tuple[tuple[str, float, str], ...]
    """(item, quantity, unit)."""
    offcuts_used: tuple[str, ...]
    offcuts_made: tuple[str, ...]
    """As sizes in the site's units."""
    short: tuple[Blocked, ...]
    spoiled: tuple[tuple[str, float, str], ...] = ()
    """(item, quantity, unit), as the words were understood."""


@dataclass(frozen=True, slots=True)
class LogChoice:
    """One stretch of work that can be logged now, likeliest first."""

    target: str
    step: Step | None
    progress: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class EntryView:
    id: int
    date: date
    target: str
    step: Step | None
    done: float
    hours_h: float | None
    used: tuple[tuple[str, float, str], ...]
    spoiled: tuple[tuple[str, float, str], ...]
    note: str
    lesson: str
    photos: tuple[str, ...]
    corrects: int | None
    corrected_by: int | None


@dataclass(frozen=True, slots=True)
class Diary:
    site: str
    entries: tuple[EntryView, ...]
    """Newest first; corrected entries stay, with the number of the entry that corrects them."""
