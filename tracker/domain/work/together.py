"""Bays planned together for as long as the person grants: the plan that is then kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.domain.cutting.boards import bound_by_area
from tracker.domain.cutting.in_order import weigh_boards, weigh_sticks
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardPlan,
    BoardStock,
    Need2,
    Piece,
    PieceCut,
    StickCut,
    StickPart,
    StickPiece,
    StickPlan,
)
from tracker.domain.geometry.regions import Part, less, total_m2
from tracker.domain.site import Bay, Item, Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.cut_list import CutList, KeptPlan, number_of, numbered, run_of, with_numbers
from tracker.domain.work.freeing import freed, freed_stick
from tracker.domain.work.material import Materials
from tracker.domain.work.progress import Progress
from tracker.domain.work.racks import board_stock, stick_stock
from tracker.domain.work.saving import Saving, by_phase, saving_of
from tracker.domain.work.settling import settled

Told = Callable[[float, int], bool | None]
"""Called with the share of the search done and the new boards of the best plan so far; True stops it."""


@dataclass(frozen=True, slots=True)
class Together:
    """A plan of bays together, and of each item of which that saves something, how much and at whose cost."""

    plan: KeptPlan
    savings: tuple[Saving, ...] = ()


def plan_together(site: Site, bays: Sequence[Bay], materials: Materials, progress: Progress, rack: Sequence[Offcut],
                  standing: CutList, cut: Collection[str], *, seconds: float, seed: int, told: Told | None = None,
                  miscuts: int = 0) -> Together:
    """A plan of the bays together, boards and sticks; what is cut of the standing list stays as it is.

    `cut` names pieces that are cut and not yet up; boards and sticks with one of them or one cut wrong, and pieces
    waiting on the rack, keep their place. `seconds` is the search worth spending over all items. The same input and
    seed give the same plan. An earlier phase waits for more than it would alone only where that saves new material.
    Source: definition (offcuts first, then the fewest new boards and sticks).
    """
    names = {site.short(bay.key) for bay in bays}
    order = {phase.name: number for number, phase in enumerate(site.phases)}
    bays = sorted(bays, key=lambda bay: order[bay.phase])
    phases = {site.short(bay.key): bay.phase for bay in bays}
    needs: dict[str, list[Need2]] = defaultdict(list)
    runs: dict[str, list[StickPiece]] = defaultdict(list)
    for material in materials.together(bays):
        for item, need in material.infill:
            needs[item].append(need)
        for item, run, _ in material.sticks:
            runs[item].append(run)
    asked = {run.name for listed in runs.values() for run in listed}
    fixed = _Fixed(standing, names, asked, frozenset(cut), {one.id for one in rack if one.piece})
    free = tuple(one for one in rack if not one.piece and one.id not in fixed.sources)
    areas = {item: sum(total_m2([Part(*part) for part in need.infill]) for need in listed)
             for item, listed in needs.items()}
    whole = sum(areas.values()) or 1.0
    boards, sticks, savings, before = [], [], [], 0.0
    for item, listed in needs.items():
        share = areas[item] / whole
        stock = board_stock(site.item[item], (one for one in free if one.item == item))
        plan, saving = _boards(site, listed, stock, fixed, progress, seconds * share, seed, _part(told, before, share),
                               phases)
        boards.append(plan)
        savings.append(saving)
        before += share
    for item, listed in runs.items():
        rack_of = [one for one in free if one.item == item]
        stick_plan, saving = _sticks(site, item, listed, rack_of, fixed, phases)
        sticks.append(stick_plan)
        savings.append(saving)
    plan = KeptPlan(tuple(boards), tuple(sticks), (tuple(sorted(names)),), seconds, seed, miscuts)
    return Together(plan, tuple(one for one in savings if one is not None))


def joined(site: Site, old: KeptPlan | None, standing: CutList, new: KeptPlan) -> KeptPlan:
    """The new plan with what is kept of bays that are not part of it, every board and stick with a number.

    Of those bays, what was placed anew since the old plan was made stays where the standing list has it. Sizes m.
    Plans made apart are not proved to be the least together. Source: definition.
    """
    found = new if old is None else _beside(site, settled(old, standing, new.miscuts), new)
    return replace(found, boards=tuple(replace(plan, boards=tuple(with_numbers(plan.boards))) for plan in found.boards),
                   sticks=tuple(replace(plan, sticks=tuple(with_numbers(plan.sticks))) for plan in found.sticks))


def _beside(site: Site, old: KeptPlan, new: KeptPlan) -> KeptPlan:
    others = tuple(group for group in old.groups if not set(group) & new.bays)
    bays = {bay for group in others for bay in group}
    if not bays:
        return new
    boards = {plan.item: plan for plan in new.boards}
    for plan in old.boards:
        ours = boards.get(plan.item) or BoardPlan(plan.item, (), (), 0.0, 0, 0, True)
        there = {cut.piece for board in ours.boards for cut in board.cuts}
        kept = tuple(_only(board, cuts, site.item[plan.item]) for board in plan.boards
                     if (cuts := tuple(cut for cut in board.cuts if cut.bay in bays and cut.piece not in there)))
        pieces = tuple(piece for piece in plan.pieces if piece.bay in bays and piece.name not in there)
        if kept:
            need = ours.need + sum(board.source == "new" for board in kept)
            boards[plan.item] = replace(
                ours, boards=(*kept, *ours.boards), pieces=(*pieces, *ours.pieces), need=need,
                net_m2=ours.net_m2 + sum(area_m2(piece.outline_m) for piece in pieces), proved_least=False)
    sticks = {plan.item: plan for plan in new.sticks}
    runs = {run_of(part.piece) for plan in new.sticks for stick in plan.sticks for part in stick.cuts}
    for plan in old.sticks:
        kept_sticks = tuple(_only_parts(stick, parts, site.item[plan.item]) for stick in plan.sticks
                            if (parts := tuple(part for part in stick.cuts
                                               if part.bay in bays and run_of(part.piece) not in runs)))
        if kept_sticks:
            own = sticks.get(plan.item) or StickPlan(plan.item, (), 0.0, 0, 0, True)
            sticks[plan.item] = replace(
                own, sticks=(*kept_sticks, *own.sticks), proved_least=False,
                need=own.need + sum(stick.source == "new" for stick in kept_sticks),
                net_m=own.net_m + sum(part.length_m for stick in kept_sticks for part in stick.cuts))
    return KeptPlan(tuple(boards.values()), tuple(sticks.values()), (*others, *new.groups), new.seconds, new.seed,
                    new.miscuts)


def _only(board: BoardCut, cuts: tuple[PieceCut, ...], item: Item) -> BoardCut:
    return board if len(cuts) == len(board.cuts) else freed(board, cuts, item)


def _only_parts(stick: StickCut, parts: tuple[StickPart, ...], item: Item) -> StickCut:
    return stick if len(parts) == len(stick.cuts) else freed_stick(stick, parts, item)


class _Fixed:
    """Boards and sticks of the list that keep their place: one of their pieces is cut already."""

    def __init__(self, standing: CutList, bays: set[str], runs: set[str], cut: frozenset[str],
                 waiting: set[str]) -> None:
        def stays(part: BoardCut | StickCut) -> bool:
            return part.begun or part.source in waiting or any(one.piece in cut for one in part.cuts)

        self.boards = tuple(board for board in standing.boards
                            if stays(board) and any(one.bay in bays for one in board.cuts))
        self.sticks = _whole_runs([stick for stick in standing.sticks
                                   if any(run_of(one.piece) in runs for one in stick.cuts)], stays)
        self.pieces = tuple(standing.pieces[one.piece] for board in self.boards for one in board.cuts)
        self.sources = {one.source for one in (*self.boards, *self.sticks)}
        # Offcuts that bays planned apart are cut from are theirs.
        self.sources |= {board.source for board in standing.boards if any(one.bay not in bays for one in board.cuts)}
        self.sources |= {stick.source for stick in standing.sticks
                         if any(run_of(one.piece) not in runs for one in stick.cuts)}

    def boards_of(self, item: str) -> tuple[BoardCut, ...]:
        return tuple(board for board in self.boards if board.item == item)

    def sticks_of(self, item: str) -> tuple[StickCut, ...]:
        return tuple(stick for stick in self.sticks if stick.item == item)

    def without(self, need: Need2) -> Need2 | None:
        """What is left of a bay beside its pieces that are cut; None where they cover it."""
        outlines = [piece.outline_m for piece in self.pieces if piece.bay == need.bay]
        if not outlines:
            return need
        left = less([Part(*part) for part in need.infill], outlines)
        return replace(need, infill=tuple((part.exterior, part.holes) for part in left)) if left else None


def _whole_runs(sticks: Sequence[StickCut], stays: Callable[[StickCut], bool]) -> tuple[StickCut, ...]:
    """Sticks that stay, and those that hold the other parts of the runs cut from them."""
    kept = {number for number, stick in enumerate(sticks) if stays(stick)}
    while True:
        runs = {run_of(part.piece) for number in kept for part in sticks[number].cuts}
        more = {number for number, stick in enumerate(sticks) if any(run_of(part.piece) in runs for part in stick.cuts)}
        if more == kept:
            return tuple(stick for number, stick in enumerate(sticks) if number in kept)
        kept = more


def _part(told: Told | None, before: float, share: float) -> Told | None:
    if told is None:
        return None
    return lambda done, boards: told(before + share * done, boards)


def _boards(site: Site, needs: Iterable[Need2], stock: BoardStock, fixed: _Fixed, progress: Progress,
            seconds: float, seed: int, told: Told | None, phases: Mapping[str, str]) -> tuple[BoardPlan, Saving | None]:
    item = stock.item
    boards = fixed.boards_of(item)
    begun = {site.short(key) for key, pieces in progress.cut.items() if any(one.step == "infill" for one in pieces)}
    begun |= {piece.bay for piece in fixed.pieces}
    # Rows of a bay that is begun keep counting from its corner; those of the others are moved about in the search.
    left = [found if need.bay in begun else replace(found, anchor_m=None) for need in needs
            if (found := fixed.without(need)) is not None]
    saving = None
    if not left:
        plan = BoardPlan(item, (), (), 0.0, 0, 0, True)
    else:
        lots = by_phase(left, phases)
        found = weigh_boards(tuple(lots.values()), stock, seconds=seconds, seed=seed, progress=told)
        plan = _renumbered(found.plan, _last_numbers(site, progress, fixed.pieces))
        saving = saving_of(item, tuple(lots), found)
    if not boards:
        return plan, saving
    names = {cut.piece for board in boards for cut in board.cuts}
    pieces = tuple(piece for piece in fixed.pieces if piece.name in names)
    new = sum(board.source == "new" for board in boards)
    net = sum(area_m2(piece.outline_m) for piece in pieces) + plan.net_m2
    plan = replace(plan, boards=(*boards, *plan.boards), pieces=(*pieces, *plan.pieces), net_m2=net,
                   need=plan.need + new, lower_bound=plan.lower_bound + new, area_bound=bound_by_area(net, stock))
    return plan, saving


def _last_numbers(site: Site, progress: Progress, fixed: Iterable[Piece]) -> dict[str, int]:
    """Bay to the highest number that a piece of it carries that is cut."""
    last: dict[str, int] = defaultdict(int)
    for key, pieces in progress.cut.items():
        for piece in pieces:
            if piece.step == "infill":
                last[site.short(key)] = max(last[site.short(key)], number_of(piece.piece))
    for piece in fixed:
        last[piece.bay] = max(last[piece.bay], number_of(piece.name))
    return last


def _renumbered(plan: BoardPlan, last: dict[str, int]) -> BoardPlan:
    """The plan with piece numbers that no cut piece of the bay carries."""
    if not any(last.values()):
        return plan
    pieces = tuple(numbered([piece], last.get(piece.bay, 0))[0] for piece in plan.pieces)
    names = {old.name: new.name for old, new in zip(plan.pieces, pieces, strict=True)}
    boards = tuple(replace(board, cuts=tuple(replace(cut, piece=names[cut.piece]) for cut in board.cuts))
                   for board in plan.boards)
    return replace(plan, pieces=pieces, boards=boards)


def _sticks(site: Site, item: str, runs: Iterable[StickPiece], rack: Sequence[Offcut], fixed: _Fixed,
            phases: Mapping[str, str]) -> tuple[StickPlan, Saving | None]:
    sticks = fixed.sticks_of(item)
    there = {run_of(part.piece) for stick in sticks for part in stick.cuts}
    split = {name for name in there if not _all_there(name, sticks, runs)}
    sticks = tuple(stick for stick in sticks if not split & {run_of(part.piece) for part in stick.cuts})
    there = {run_of(part.piece) for stick in sticks for part in stick.cuts}
    lots = by_phase([run for run in runs if run.name not in there], phases)
    found = weigh_sticks(tuple(lots.values()), stick_stock(site.item[item], rack))
    plan, saving = found.plan, saving_of(item, tuple(lots), found)
    if not sticks:
        return plan, saving
    new = sum(stick.source == "new" for stick in sticks)
    plan = replace(plan, sticks=(*sticks, *plan.sticks), need=plan.need + new, lower_bound=plan.lower_bound + new,
                   net_m=plan.net_m + sum(part.length_m for stick in sticks for part in stick.cuts))
    return plan, saving


def _all_there(run: str, sticks: Sequence[StickCut], runs: Iterable[StickPiece]) -> bool:
    """Are all parts of the run cut from these sticks?"""
    length = sum(part.length_m for stick in sticks for part in stick.cuts if run_of(part.piece) == run)
    return any(one.name == run and abs(one.length_m - length) < 1e-3 for one in runs)
