"""What a stretch of work takes from stock and leaves behind, by its cut list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from tracker.domain.cutting.plans import BoardCut, BoardPlan, RollPlan, StickCut, StickPlan
from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Bay, Step, Task
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.allotment import Allotment
from tracker.domain.work.cut_list import run_of
from tracker.domain.work.material import bay_material
from tracker.domain.work.planning import WorkPlan
from tracker.domain.work.progress import CutPiece

_SLACK = 1e-9
Cut = TypeVar("Cut", BoardCut, StickCut)


@dataclass(frozen=True)
class Taking:
    """What one stretch of work takes: quantities in each item's unit, offcuts by id, and the pieces it puts up."""

    uses: tuple[tuple[str, float], ...] = ()
    offcuts_used: tuple[str, ...] = ()
    offcuts_made: tuple[Offcut, ...] = ()
    """Not in stock yet: without an id."""
    pieces: tuple[CutPiece, ...] = ()


def take(allotment: Allotment, unit: Bay | Task, step: Step | None, done: float) -> Taking:
    """What bringing a step from where it is to `done` (0 to 1) takes, in the order of the cut list.

    Whole boards and sticks are taken until their pieces make up the share of the work. Source: definition.
    """
    if isinstance(unit, Task):
        before = allotment.progress.tasks.get(unit.key, 0.0)
        return Taking(unit.needs) if before < 1 <= done else Taking()
    assert step is not None
    before = allotment.progress.of(unit, step)
    if done <= before:
        return Taking()
    share = 1.0 if done >= 1 else (done - before) / (1 - before)
    own = frozenset((allotment.site.short(unit.key), *allotment.materials.runs(unit)))
    taking = _from_plan(allotment.share_of((unit,), (step,)).plan, step, share, own)
    fixings = _fixings(allotment, unit, step, {piece.piece for piece in taking.pieces})
    return replace(taking, uses=(*taking.uses, *fixings))


def _fixings(allotment: Allotment, bay: Bay, step: Step, up: set[str]) -> Iterator[tuple[str, float]]:
    """Fixings of the runs that go up: those for all that was left, less those for what still is."""
    material = bay_material(allotment.site, allotment.shapes, bay, allotment.progress, (step,))
    after = dict(replace(material, sticks=tuple(one for one in material.sticks if one[1].name not in up)).counts)
    for item, count in material.counts:
        if count > after.get(item, 0.0):
            yield item, count - after.get(item, 0.0)


def _from_plan(plan: WorkPlan, step: Step, share: float, own: frozenset[str]) -> Taking:
    """What a share of the plan takes; `own` names the bay and its runs.

    Pieces of other bays that the same board or stick holds are cut too: they wait on the rack under their names.
    """
    uses: dict[str, float] = defaultdict(float)
    used: list[str] = []
    made: list[Offcut] = []
    pieces: list[CutPiece] = []
    for boards in plan.boards:
        taken = tuple(_taken(boards.boards, share, lambda board: sum(area_m2(cut.outline_m) for cut in board.cuts
                                                                     if cut.bay in own)))
        uses[boards.item] += sum(board.source == "new" for board in taken)
        used += [board.source for board in taken if board.source != "new"]
        made += [Offcut("", boards.item, *sorted(one.size_m, reverse=True)) for board in taken for one in board.offcuts]
        made += [Offcut("", boards.item, *cut.size_m, piece=cut.piece) for board in taken
                 for cut in board.cuts if cut.bay not in own]
        pieces += _infill_pieces(boards, taken, step, own)
    for sticks in plan.sticks:
        taken_sticks = _whole_runs(sticks, tuple(_taken(sticks.sticks, share, lambda stick: sum(
            cut.length_m for cut in stick.cuts if run_of(cut.piece) in own))), own)
        uses[sticks.item] += sum(stick.source == "new" for stick in taken_sticks)
        used += [stick.source for stick in taken_sticks if stick.source != "new"]
        made += [Offcut("", sticks.item, stick.left_m) for stick in taken_sticks if stick.keeps]
        made += [Offcut("", sticks.item, cut.length_m, piece=cut.piece) for stick in taken_sticks
                 for cut in stick.cuts if run_of(cut.piece) not in own]
        pieces += _track_pieces(taken_sticks, step, own)
    for roll in plan.rolls:
        uses[roll.item] += roll.length_m
        used += [strip.source for strip in roll.strips if strip.source != "new"]
        made += [Offcut("", roll.item, *one.size_m) for one in roll.offcuts]
        pieces += _cloth_pieces(roll, step)
    return Taking(tuple((item, round(amount, 6)) for item, amount in uses.items() if amount > 0),
                  tuple(dict.fromkeys(used)), tuple(made), tuple(pieces))


def _taken(cuts: tuple[Cut, ...], share: float, measure: Callable[[Cut], float]) -> Iterator[Cut]:
    """The first boards or sticks whose pieces make up the share of the whole."""
    sizes = [measure(cut) for cut in cuts]
    wanted = share * sum(sizes)
    for cut, size in zip(cuts, sizes, strict=True):
        if wanted <= _SLACK:
            return
        yield cut
        wanted -= size


def _whole_runs(plan: StickPlan, taken: tuple[StickCut, ...], own: frozenset[str]) -> tuple[StickCut, ...]:
    """The sticks taken, and those that hold the other part of a run begun: a run is not left half up."""
    while True:
        begun = {run_of(cut.piece) for stick in taken for cut in stick.cuts} & own
        more = tuple(stick for stick in plan.sticks if any(run_of(cut.piece) in begun for cut in stick.cuts))
        if len(more) == len(taken):
            return taken
        taken = more


def _infill_pieces(plan: BoardPlan, boards: Iterable[BoardCut], step: Step, own: frozenset[str]) -> Iterator[CutPiece]:
    outlines = {piece.name: piece.outline_m for piece in plan.pieces}
    for board in boards:
        for cut in board.cuts:
            if cut.bay in own:
                yield CutPiece(cut.piece, step, outlines[cut.piece])


def _track_pieces(sticks: tuple[StickCut, ...], step: Step, own: frozenset[str]) -> Iterator[CutPiece]:
    lengths: dict[str, float] = defaultdict(float)
    for stick in sticks:
        for cut in stick.cuts:
            if run_of(cut.piece) in own:
                lengths[run_of(cut.piece)] += cut.length_m
    for name, length_m in lengths.items():
        yield CutPiece(name, step, length_m=length_m)


def _cloth_pieces(plan: RollPlan, step: Step) -> Iterator[CutPiece]:
    for strip in plan.strips:
        yield CutPiece(strip.bay, step, length_m=strip.size_m[0])
