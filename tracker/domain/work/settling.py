"""A kept plan with what changed since put in: pieces placed anew stay where they are from then on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import TypeVar

from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.plans import BoardCut, BoardPlan, StickCut, StickPlan
from tracker.domain.work.cut_list import CutList, KeptPlan, run_of

Cut = TypeVar("Cut", BoardCut, StickCut)


def settled(kept: KeptPlan, listed: CutList, miscuts: int) -> KeptPlan:
    """The kept plan with the pieces of the standing list that it has elsewhere, or not at all, put in where they stand.

    What stands as it was planned is left as it was, whether it is up or not; `miscuts` is the number of the last one
    worked into the list. Source: definition.
    """
    boards = _by_item(listed.boards)
    sticks = _by_item(listed.sticks)
    board_plans = {plan.item: plan for plan in kept.boards}
    stick_plans = {plan.item: plan for plan in kept.sticks}
    return replace(
        kept, miscuts=miscuts,
        boards=tuple(_boards(board_plans.get(item) or BoardPlan(item, (), (), 0.0, 0, 0, True), boards[item], listed)
                     for item in dict.fromkeys((*board_plans, *boards))),
        sticks=tuple(_sticks(stick_plans.get(item) or StickPlan(item, (), 0.0, 0, 0, True), sticks[item])
                     for item in dict.fromkeys((*stick_plans, *sticks))))


def still_cut(kept: KeptPlan | None, listed: CutList, ticks: Collection[str]) -> frozenset[str]:
    """Pieces ticked off that the list still has as they were when they were ticked: planned anew, they are not cut.

    Source: definition (a ticked piece is settled in the kept plan).
    """
    if kept is None or not ticks:
        return frozenset()
    pieces = {piece.name: piece.outline_m for plan in kept.boards for piece in plan.pieces}
    parts = {part.piece: part for plan in kept.sticks for stick in plan.sticks for part in stick.cuts}
    found = {name for name, piece in listed.pieces.items() if name in ticks and pieces.get(name) == piece.outline_m}
    found |= {part.piece for stick in listed.sticks for part in stick.cuts
              if part.piece in ticks and parts.get(part.piece) == part}
    return frozenset(found)


def _by_item(parts: Iterable[Cut]) -> dict[str, list[Cut]]:
    found: dict[str, list[Cut]] = defaultdict(list)
    for part in parts:
        found[part.item].append(part)
    return found


def _boards(plan: BoardPlan, standing: list[BoardCut], listed: CutList) -> BoardPlan:
    boards = _mended(plan.boards, standing)
    if boards == plan.boards:
        return plan
    now = {cut.piece: listed.pieces[cut.piece] for board in standing for cut in board.cuts}
    anew = {piece.bay for piece in now.values()} - {piece.bay for piece in plan.pieces if piece.name in now}
    pieces = {piece.name: piece for piece in plan.pieces if piece.bay not in anew} | now
    # Pieces of a bay that is laid anew are gone from the list, and their places are what it already counts as left.
    boards = tuple(board for board in boards if any(cut.piece in pieces for cut in board.cuts))
    return BoardPlan(plan.item, boards, tuple(pieces.values()), sum(area_m2(one.outline_m) for one in pieces.values()),
                     sum(board.source == "new" for board in boards), 0, False)


def _sticks(plan: StickPlan, standing: list[StickCut]) -> StickPlan:
    sticks = _mended(plan.sticks, standing)
    if sticks == plan.sticks:
        return plan
    parts = [part for stick in sticks for part in stick.cuts]
    return StickPlan(plan.item, sticks, sum(part.length_m for part in parts),
                     sum(stick.source == "new" for stick in sticks), 0, False,
                     len(parts) - len({run_of(part.piece) for part in parts}))


def _mended(made: tuple[Cut, ...], standing: list[Cut]) -> tuple[Cut, ...]:
    """The boards or sticks as made, those that stand otherwise in their place, and those that came since."""
    changed = [part for part in standing if not any(_stands(one, part) for one in made)]
    if not changed:
        return made
    elsewhere = {cut.piece for part in changed for cut in part.cuts}
    found = list(changed)
    for part in made:
        cuts = tuple(cut for cut in part.cuts if cut.piece not in elsewhere)
        if len(cuts) == len(part.cuts):
            found.append(part)
        elif cuts:
            found.append(next((one for one in standing if one.number == part.number and one.cuts == cuts),
                              replace(part, cuts=cuts)))
    return tuple(sorted(found, key=lambda part: part.number))


def _stands(made: Cut, part: Cut) -> bool:
    """Does a board or stick of the list hold only what it was planned to, no place of a piece being lost since?"""
    return (made.number, made.begun) == (part.number, part.begun) and _marks(part) <= _marks(made)


def _marks(part: BoardCut | StickCut) -> set[tuple[object, ...]]:
    if isinstance(part, StickCut):
        return {(one.piece, round(one.length_m, 6)) for one in part.cuts}
    return {(one.piece,) for one in part.cuts}
