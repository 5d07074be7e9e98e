"""The cut list as it stands: the plan that is kept, less what is up, with all that changed since worked in.

What is cut is fixed. A piece cut wrong or a bay measured again is given a place in what the plan leaves over, on the
rack, or on new material; nothing else moves.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from tracker.domain.cutting.layout import lay_out
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.placing import place_parts, place_pieces
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardPlan,
    Need2,
    Piece,
    StickCut,
    StickPart,
    StickPiece,
    StickPlan,
)
from tracker.domain.cutting.sticks import spliced
from tracker.domain.geometry.regions import Part, less, total_m2
from tracker.domain.site import Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.cut_list import CutList, KeptPlan, Miscut, number_of, numbered, run_of, with_numbers
from tracker.domain.work.freeing import freed, freed_stick, without
from tracker.domain.work.material import Materials
from tracker.domain.work.progress import Progress
from tracker.domain.work.racks import board_stock, stick_stock

SAME_M = 0.0005
"""Runs that differ by less are the same to a tape's mark, m."""
SAME_M2 = 1e-5
"""Areas that differ by less are rounding: ten square millimetres."""


def standing_cut_list(site: Site, kept: KeptPlan, materials: Materials, progress: Progress,
                      rack: Sequence[Offcut], miscuts: Sequence[Miscut]) -> CutList:
    """The kept plan as it stands after all that is up, cut wrong or measured again; sizes m.

    The same facts give the same list. Source: definition.
    """
    names = {site.short(key): bay for key, bay in site.bays.items()}
    bays = frozenset(name for name in kept.bays if name in names)
    since = [one for one in miscuts if one.number > kept.miscuts]
    together = materials.together([names[name] for name in names if name in bays])
    needs: dict[str, list[Need2]] = defaultdict(list)
    runs: dict[str, list[StickPiece]] = defaultdict(list)
    for material in together:
        for item, need in material.infill:
            needs[item].append(need)
        for item, piece, _ in material.sticks:
            runs[item].append(piece)
    board_plans = {plan.item: plan for plan in kept.boards}
    stick_plans = {plan.item: plan for plan in kept.sticks}
    found = CutList(bays=bays, runs=frozenset(piece.name for listed in runs.values() for piece in listed))
    for item, listed in needs.items():
        plan = board_plans.get(item) or BoardPlan(item, (), (), 0.0, 0, 0, True)
        boards = _Boards(site, plan, progress, rack)
        found = boards.added_to(found, listed, [one.piece for one in since if one.item == item])
    for item, pieces in runs.items():
        plan = stick_plans.get(item) or StickPlan(item, (), 0.0, 0, 0, True)
        sticks = _sticks(site, plan, progress, rack, pieces, [one.piece for one in since if one.item == item])
        whole = {item: plan} if tuple(sticks) == plan.sticks else {}
        found = replace(found, sticks=(*found.sticks, *sticks), as_made={**found.as_made, **whole})
    return found


class _Boards:
    """The boards of one item."""

    def __init__(self, site: Site, plan: BoardPlan, progress: Progress, rack: Sequence[Offcut]) -> None:
        self._plan = plan
        self._item = site.item[plan.item]
        self._rack = {one.id: one for one in rack if one.item == plan.item}
        self._waiting = {one.piece: one for one in self._rack.values() if one.piece}
        cut = [(site.short(key), piece) for key, pieces in progress.cut.items() for piece in pieces
               if piece.step == "infill"]
        self._up = {piece.piece for _, piece in cut}
        self._last: dict[str, int] = defaultdict(int)
        for bay, name in (*((bay, piece.piece) for bay, piece in cut), *((one.bay, one.name) for one in plan.pieces)):
            self._last[bay] = max(self._last[bay], number_of(name))

    def added_to(self, found: CutList, needs: Sequence[Need2], miscuts: Sequence[str]) -> CutList:
        pieces: dict[str, Piece] = {}
        for need in needs:
            own = [one for one in self._plan.pieces if one.bay == need.bay and one.name not in self._up]
            if not covers(need, own):
                own = self._laid_anew(need)
            pieces |= {one.name: one for one in own}
        boards = self._standing(pieces)
        for name in miscuts:
            if name in pieces:
                boards = self._placed(without(boards, name), [pieces[name]])
        lost = set(pieces) - {cut.piece for board in boards for cut in board.cuts}
        boards = self._placed(boards, [piece for name, piece in pieces.items() if name in lost])
        boards = with_numbers(boards, self._plan.boards)
        whole = {self._plan.item: self._plan} if tuple(boards) == self._plan.boards else {}
        return replace(found, boards=(*found.boards, *boards), pieces={**found.pieces, **pieces},
                       as_made={**found.as_made, **whole})

    def _laid_anew(self, need: Need2) -> list[Piece]:
        return numbered(lay_out(need, board_stock(self._item)), self._last[need.bay])

    def _standing(self, pieces: Mapping[str, Piece]) -> list[BoardCut]:
        planned = {one.name: one for one in self._plan.pieces}
        boards = []
        for board in self._plan.boards:
            cuts = tuple(cut for cut in board.cuts if cut.piece in pieces
                         and pieces[cut.piece].outline_m == planned[cut.piece].outline_m)
            if self._gone(board):
                boards += [self._piece_waiting(board, name) for cut in cuts if (name := cut.piece) in self._waiting]
            elif len(cuts) == len(board.cuts):
                boards.append(board)
            elif cuts:
                boards.append(freed(board, cuts, self._item))
        return boards

    def _gone(self, board: BoardCut) -> bool:
        """Has it been taken from stock?"""
        if board.source == "new":
            return any(cut.piece in self._up for cut in board.cuts)
        one = self._rack.get(board.source)
        # A number may have been given to another offcut after the first was taken back.
        return (one is None or not _same(sorted((one.length_m, one.width_m or 0.0)), sorted(board.size_m))
                or (one.piece != "" and [cut.piece for cut in board.cuts] != [one.piece]))

    def _piece_waiting(self, board: BoardCut, name: str) -> BoardCut:
        cut = next(one for one in board.cuts if one.piece == name)
        x, y = cut.at_m
        outline = tuple((round(px - x, 7), round(py - y, 7)) for px, py in cut.outline_m)
        return BoardCut(board.item, self._waiting[name].id, cut.size_m,
                        (replace(cut, at_m=(0.0, 0.0), outline_m=outline),), (), (), board.number, board.begun)

    def _placed(self, boards: list[BoardCut], pieces: list[Piece]) -> list[BoardCut]:
        taken = {board.source for board in boards}
        free = tuple(one for one in self._rack.values() if one.id not in taken and not one.piece)
        return place_pieces(pieces, boards, board_stock(self._item, free))


def _same(lengths_m: Sequence[float], others_m: Sequence[float]) -> bool:
    return all(abs(one - other) < SAME_M for one, other in zip(lengths_m, others_m, strict=True))


def covers(need: Need2, pieces: Sequence[Piece]) -> bool:
    """Do the pieces, m, cover just what is left of the bay?"""
    left = [Part(outside, holes) for outside, holes in need.infill]
    bare_m2 = total_m2(less(left, [one.outline_m for one in pieces]))
    over_m2 = sum(area_m2(one.outline_m) for one in pieces) - (total_m2(left) - bare_m2)
    return max(bare_m2, over_m2) < SAME_M2


def _sticks(site: Site, plan: StickPlan, progress: Progress, rack: Sequence[Offcut], runs: Sequence[StickPiece],
            miscuts: Sequence[str]) -> list[StickCut]:
    """The sticks of one item."""
    item = site.item[plan.item]
    here = {one.id: one for one in rack if one.item == plan.item}
    waiting = {one.piece: one for one in here.values() if one.piece}
    planned: dict[str, list[StickPart]] = defaultdict(list)
    for stick in plan.sticks:
        for part in stick.cuts:
            planned[run_of(part.piece)].append(part)
    parts: dict[str, StickPart] = {}
    for run in runs:
        own = planned.get(run.name, [])
        if abs(sum(part.length_m for part in own) - run.length_m) > SAME_M:
            own = spliced(run, item.length_m or 0)
        parts |= {part.piece: part for part in own}
    sticks: list[StickCut] = []
    for stick in plan.sticks:
        cuts = tuple(part for part in stick.cuts if parts.get(part.piece) == part)
        if stick.source == "new":
            gone = any(run_of(part.piece) in progress.track_up for part in stick.cuts)
        else:
            one = here.get(stick.source)
            gone = (one is None or not _same((one.length_m,), (stick.length_m,))
                    or (one.piece != "" and [part.piece for part in stick.cuts] != [one.piece]))
        if gone:
            sticks += [StickCut(plan.item, waiting[part.piece].id, part.length_m, (part,), 0.0, False, stick.number,
                                stick.begun)
                       for part in cuts if part.piece in waiting]
        elif len(cuts) == len(stick.cuts):
            sticks.append(stick)
        elif cuts:
            sticks.append(freed_stick(stick, cuts, item))

    def placed(more: Iterable[StickPart]) -> list[StickCut]:
        taken = {stick.source for stick in sticks}
        free = tuple(one for one in here.values() if one.id not in taken and not one.piece)
        return place_parts(more, sticks, stick_stock(item, free))

    for name in miscuts:
        if name in parts:
            sticks = without(sticks, name)
            sticks = placed([parts[name]])
    lost = set(parts) - {part.piece for stick in sticks for part in stick.cuts}
    return with_numbers(placed([part for name, part in parts.items() if name in lost]), plan.sticks)
