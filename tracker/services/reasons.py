"""The one sentence behind a verdict: what is missing, why, and what to do about it."""

from __future__ import annotations

from tracker.domain.site import Site
from tracker.domain.work.readiness import ItemState, Readiness, Verdict
from tracker.measures import show_day, show_quantity


def reason(site: Site, found: Readiness) -> str:
    """A reason a person can act on, in the site's units."""
    if found.verdict == "done":
        return "Done."
    if found.verdict == "waiting":
        return f"Waits on {', '.join(target_name(site, key) for key in found.waits_on)}."
    if found.missing:
        more = ", ".join(one.item for one in found.missing[2:])
        return " ".join(_missing(site, one) for one in found.missing[:2]) + (f" Also short: {more}." if more else "")
    if found.verdict == "under way":
        return "Go on: everything left to do is on hand."
    return "Everything is on hand."


def target_name(site: Site, key: str) -> str:
    """The name a person uses for a bay, a task, or a step of a bay."""
    bay, comma, step = key.partition(", ")
    if bay in site.bays:
        return f"{site.short(bay)}{comma}{step}"
    return key


def _missing(site: Site, one: ItemState) -> str:
    short = show_quantity(one.short, one.unit, site.unit)
    held = f" ({show_quantity(one.held, one.unit, site.unit)} held for earlier work)" if one.held > 0 else ""
    if one.on_order >= one.short:
        when = f", due {show_day(one.due)}" if one.due else ""
        return f"Short of {short} of {one.item}{held}; on order{when}."
    coming = ""
    if one.on_order > 0:
        coming = f", {show_quantity(one.on_order, one.unit, site.unit)} of it on order"
    return f"Short of {short} of {one.item}{held}{coming}; order it."


def of_step(found: Readiness, so_far: float) -> Verdict:
    """The verdict of the next step itself: a bay that is under way may have a step that is not begun."""
    return "ready" if found.verdict == "under way" and so_far <= 0 else found.verdict
