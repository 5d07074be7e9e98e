"""Which of two cutting plans of the same bays is the better one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tracker.domain.cutting.in_order import first_needed
from tracker.domain.cutting.plans import BoardCut, StickCut
from tracker.domain.site import Site
from tracker.domain.work.cut_list import CutList, KeptPlan, run_of
from tracker.domain.work.material import Materials

Rank = tuple[int, int, tuple[int, ...], tuple[int, ...], int]
"""New boards, new sticks, the same by the phase that is the first to need them, and pieces of board: less is better."""


def better(plan: KeptPlan, standing: CutList, materials: Materials, site: Site) -> bool:
    """Is a plan better than what the standing list says of the same bays?

    Fewer new boards, then fewer new sticks, then fewer of them for the earlier phases, then fewer pieces.
    Source: definition.
    """
    phases = {phase.name: number for number, phase in enumerate(site.phases)}
    lot_of: dict[str, int] = {}
    for bay in site.bays.values():
        name = site.short(bay.key)
        if name in plan.bays:
            for mark in (name, *materials.runs(bay)):
                lot_of[mark] = min(lot_of.get(mark, phases[bay.phase]), phases[bay.phase])
    marked = [standing.marked[mark] for mark in standing.marks(plan.bays, lot_of)]
    now = _rank([one for one in marked if isinstance(one, BoardCut)],
                [one for one in marked if isinstance(one, StickCut)], lot_of, len(phases))
    return _rank([one for made in plan.boards for one in made.boards],
                 [one for made in plan.sticks for one in made.sticks], lot_of, len(phases)) < now


def _rank(boards: Sequence[BoardCut], sticks: Sequence[StickCut], lot_of: Mapping[str, int], phases: int) -> Rank:
    def by_phase(parts: Iterable[BoardCut | StickCut]) -> tuple[int, ...]:
        parts = list(parts)
        # What bays planned apart share is theirs whenever they come; it counts for the last here.
        own = {cut.piece: lot_of.get(cut.bay if isinstance(part, BoardCut) else run_of(cut.piece), phases)
               for part in parts for cut in part.cuts}
        return first_needed(parts, own, phases + 1)

    of_boards, of_sticks = by_phase(boards), by_phase(sticks)
    return (sum(of_boards), sum(of_sticks), of_boards, of_sticks, sum(len(one.cuts) for one in boards))
