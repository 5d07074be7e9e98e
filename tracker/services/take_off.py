"""The take-off with its cut list: what remains of the work, board by board and stick by stick, as it is cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from tracker.domain.cutting.plans import BoardCut, PieceCut, SawCut, StickCut
from tracker.domain.site import STEPS, Bay
from tracker.domain.work.cut_list import CutList, standing_cut_list
from tracker.domain.work.material import Materials, Shapes
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress, absent_steps
from tracker.domain.work.targets import Target, find_target, whole_site
from tracker.domain.work.together import joined, plan_together
from tracker.measures import show_length
from tracker.services.allotment import allot
from tracker.services.answers import (
    BoardView,
    CutView,
    JointView,
    LeftView,
    NeedLine,
    PieceView,
    RollView,
    SawView,
    StickCutView,
    StickView,
    StripView,
    TakeOff,
)
from tracker.services.cut_list import Search, planned
from tracker.services.desk import Desk, Standing

SAME_M = 1e-6


def take_off(desk: Desk, target: str | None = None, everything: bool = False,
             search: Search | None = None) -> TakeOff:
    """What remains of the target, or all of it as if nothing were done.

    With a `search` the bays are planned together and the plan is kept; without, what is kept is shown, and for bays
    that have no plan yet one made at once.
    """
    now = desk.standing()
    found = whole_site(now.site) if target is None else find_target(now.site, target)
    if everything:
        return _answer(now, found, target, _from_nothing(now, found, search), kept=False)
    shared = allot(now) if search is None else planned(desk, found.units, search)
    now = desk.standing()
    plan = shared.share_of(found.units, proof=True).plan
    names = {now.site.short(unit.key) for unit in found.units if isinstance(unit, Bay)}
    listed = {cut.bay for plans in plan.boards for board in plans.boards for cut in board.cuts} & names
    return _answer(now, found, target, plan, kept=now.kept is not None and listed <= shared.cut_list.bays)


def _from_nothing(now: Standing, target: Target, search: Search | None) -> WorkPlan:
    """The whole of the target as if nothing were done and no offcut lay on the rack; never kept."""
    progress = Progress(absent=absent_steps(now.site))
    materials = Materials(now.site, Shapes(now.site), progress)
    cut_list = CutList()
    bays = target.bays
    if search is not None and bays:
        kept = plan_together(now.site, bays, materials, progress, (), cut_list, (), seconds=search.seconds,
                             seed=search.seed, told=search.told)
        cut_list = standing_cut_list(now.site, joined(None, kept), materials, progress, (), ())
    return plan_work(now.site, materials.together(target.units, STEPS), (), cut_list, proof=True)


def _answer(now: Standing, found: Target, target: str | None, plan: WorkPlan, kept: bool) -> TakeOff:
    return TakeOff(
        site=now.site.name, target=None if target is None else found.name, items=_lines(now, plan),
        boards=tuple(_board(now, number, board) for boards in plan.boards
                     for number, board in _numbered(boards.boards)),
        pieces=tuple(PieceView(piece.name, piece.bay, piece.outline_m) for boards in plan.boards
                     for piece in boards.pieces),
        sticks=tuple(_stick(now, number, stick) for sticks in plan.sticks
                     for number, stick in _numbered(sticks.sticks)),
        rolls=tuple(RollView(roll.item, roll.width_m, roll.length_m,
                             tuple(StripView(strip.bay, strip.source, strip.at_m, strip.size_m, strip.turned)
                                   for strip in roll.strips),
                             tuple(JointView(bay, places) for bay, places in roll.joints)) for roll in plan.rolls),
        kept=kept)


def _lines(now: Standing, plan: WorkPlan) -> tuple[NeedLine, ...]:
    return tuple(NeedLine(item=one.item, form=now.site.item[one.item].form, unit=now.site.item[one.item].unit,
                          net=round(one.net, 6), need=one.need, offcuts_used=len(one.offcuts),
                          proved_least=one.proved_least, least=one.need if one.least is None else one.least)
                 for one in plan.items.values())


def _numbered(parts: Iterable[BoardCut | StickCut]) -> Iterator[tuple[int, BoardCut | StickCut]]:
    """Boards or sticks by their number on the list; those on none are counted from 1 for each item."""
    counts: Counter[str] = Counter()
    for part in parts:
        counts[part.item] += 1
        yield part.number or counts[part.item], part


def _board(now: Standing, number: int, board: BoardCut) -> BoardView:
    return BoardView(
        item=board.item, from_=board.source, size_m=board.size_m,
        cuts=tuple(CutView(cut.piece, cut.bay, cut.at_m, cut.size_m, cut.turned, cut.outline_m) for cut in board.cuts),
        offcuts=tuple(LeftView(one.at_m, one.size_m) for one in board.offcuts), number=number,
        saw=tuple(saw_steps(board, now.site.unit)),
        cut=tuple(cut.piece for cut in board.cuts if cut.piece in now.ticks))


def _stick(now: Standing, number: int, stick: StickCut) -> StickView:
    return StickView(
        item=stick.item, from_=stick.source, length_m=stick.length_m,
        cuts=tuple(StickCutView(cut.piece, cut.bay, cut.length_m, cut.ends) for cut in stick.cuts),
        left_m=stick.left_m, number=number,
        cut=tuple(cut.piece for cut in stick.cuts if cut.piece in now.ticks))


def saw_steps(board: BoardCut, unit: str) -> Iterator[SawView]:
    """The cuts of a board in order, each with the pieces that are done once it is made."""
    last: dict[str, int] = {}
    for cut in board.cuts:
        for number, saw in enumerate(board.saw):
            if _bounds(saw, cut):
                last[cut.piece] = number
    for number, saw in enumerate(board.saw):
        frees = tuple(piece for piece, when in last.items() if when == number)
        yield SawView(saw.kind, saw.at_m, saw.keep, saw.start_m, saw.end_m, _saw_words(saw, unit), frees)


def _bounds(saw: SawCut, cut: PieceCut) -> bool:
    """Is the cut one of those that free the piece: made in a panel that begins where the piece's own does?"""
    (x, y), (width, height) = saw.panel_at_m, saw.panel_size_m
    left, low = cut.at_m
    inside = x - SAME_M <= left <= x + width + SAME_M and y - SAME_M <= low <= y + height + SAME_M
    if saw.kind == "rip":
        return inside and low < saw.start_m[1]
    if saw.kind == "cross":
        return inside and left < saw.start_m[0]
    return inside


def _saw_words(saw: SawCut, unit: str) -> str:
    if saw.kind == "line":
        ends = (" / ".join(show_length(value, unit) for value in point) for point in (saw.start_m, saw.end_m))
        return f"cut from {' to '.join(ends)}, keep the piece"
    return f"{saw.kind} at {show_length(saw.at_m, unit)}, keep {saw.keep}"
