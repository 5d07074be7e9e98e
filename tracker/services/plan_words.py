"""What happened to the cut list, in one sentence: a plan that was kept, a piece that was cut wrong."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from tracker.domain.cutting.plans import BoardCut, BoardPlan, PieceCut, StickCut, StickPart, StickPlan
from tracker.domain.site import Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.saving import Saving
from tracker.domain.work.together import Together
from tracker.services.wording import size_words


def kept_words(site: Site, found: Together) -> str:
    """What undo shows of a plan that was kept."""
    said = f"Kept a cutting plan: {new_parts(found.plan.boards, found.plan.sticks)}."
    return f"{said} {_saved(site, found.savings)}" if found.savings else said


def new_parts(boards: Iterable[BoardPlan], sticks: Iterable[StickPlan]) -> str:
    """New boards and sticks of plans, counted over all items."""
    return ", ".join((_count(sum(one.need for one in boards), "new board"),
                      _count(sum(one.need for one in sticks), "new stick")))


def _saved(site: Site, savings: Iterable[Saving]) -> str:
    saved: dict[str, int] = defaultdict(int)
    more: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one in savings:
        unit = site.item[one.item].unit
        saved[unit] += one.saved
        for phase, by in one.more:
            more[phase][unit] += by
    waits = [f"{phase.name} now needs {_counts(more[phase.name])} more than alone" for phase in site.phases
             if phase.name in more]
    return "; ".join((f"Saves {_counts(saved)} in all", *waits)) + "."


def _counts(amounts: dict[str, int]) -> str:
    return " and ".join(_count(number, unit) for unit, number in amounts.items())


def _count(number: int, unit: str) -> str:
    return f"{number} {unit}" + ("" if number == 1 else "s")


def miscut_words(site: Site, part: BoardCut | StickCut, cut: PieceCut | StickPart,
                 kept: Sequence[Offcut] | None) -> str:
    """What a piece cut wrong costs; `kept` is what its board or stick leaves, None where that stands."""
    size = (Offcut("", part.item, cut.length_m) if isinstance(cut, StickPart) else Offcut("", part.item, *cut.size_m))
    form = site.item[part.item].form
    if kept is None:
        rest = f"the rest of its {form} stands"
    elif kept:
        rest = ", ".join(f"{size_words(site, one)} kept as {one.id}" for one in kept)
    else:
        rest = f"what is left of its {form} is waste"
    return f"{cut.piece} cut wrong: {size_words(site, size)} of {part.item} lost; {rest}."
