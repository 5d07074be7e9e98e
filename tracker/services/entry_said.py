"""What is said back of a diary entry: the sentence, and what to be careful of."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tracker.domain.site import STEPS, Bay, Task
from tracker.domain.work.taking import Taking
from tracker.measures import show_day, show_hours
from tracker.services.amounts import Amounts
from tracker.services.desk import Standing
from tracker.services.diary_answers import DayLog
from tracker.services.quantities import shown
from tracker.services.reasons import target_name

LONG_H = 12.0
"""An entry of more hours is stored with a caution. Common practice, no source."""


def work_words(now: Standing, unit: Bay | Task, day: DayLog) -> str:
    """The bay and its step, or the task."""
    return f"{target_name(now.site, unit.key)}{', ' + day.step if day.step else ''}"


def entry_sentence(now: Standing, unit: Bay | Task, day: DayLog, taking: Taking, today: date) -> str:
    """What was stored of a stretch of work, with hours and day where they were said."""
    hours = "" if day.hours_h is None else f", {show_hours(day.hours_h)} h"
    when = f", on {show_day(day.on, today)}" if day.on not in (None, today) else ""
    used = _listed(now, taking.uses)
    spoiled = _listed(now, tuple((item, quantity) for item, quantity in day.spoiled if quantity))
    kept = len(taking.offcuts_made)
    parts = [f"Logged {work_words(now, unit, day)} {day.done:.0%}{hours}{when}", f"used {used}" if used else "",
             f"took {', '.join(taking.offcuts_used)} from the rack" if taking.offcuts_used else "",
             f"kept {kept} offcut{'s' if kept > 1 else ''}" if kept else "",
             f"spoiled {spoiled}" if spoiled else ""]
    return "; ".join(part for part in parts if part) + "."


def _listed(now: Standing, amounts: Amounts) -> str:
    return ", ".join(f"{shown(now.site, now.site.item[item], quantity)} of {item}" for item, quantity in amounts)


def work_cautions(now: Standing, unit: Bay | Task, day: DayLog) -> tuple[str, ...]:
    """What the work leaves open: steps before it that are not logged, and open fibre."""
    if isinstance(unit, Task) or day.step is None:
        return ()
    found = [f"{now.site.short(unit.key)}: its {step} is not logged as done; log it, so that stock stays right."
             for step in STEPS[1:STEPS.index(day.step)] if now.progress.of(unit, step) < 1]
    if day.step == "infill" and now.site.build_up[unit.build_up].fabric and now.progress.of(unit, "fabric") < 1:
        found.append("Open fibre: cover it or close the fabric before the room goes back into use.")
    return tuple(found)


def words_cautions(said: DayLog, number: int) -> tuple[str, ...]:
    """What may be a slip in the words of entry `number`: very long hours, a photo that is not there."""
    hours_h = said.hours_h or 0.0
    found = [f"{show_hours(hours_h)} h in one entry: if minutes were meant, correct #{number} with "
             f"{show_hours(hours_h / 60)}."] if hours_h > LONG_H else []
    found += [f"{path}: no such photo here; the entry keeps its name. `sabinry log --correct {number} --photo PATH` "
              "mends it." for path in said.photos if not Path(path).exists()]
    return tuple(found)
