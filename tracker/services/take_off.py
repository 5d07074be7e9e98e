"""The take-off with its cut list: what remains of the work, board by board and stick by stick, as it is cut."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import TypeVar

from tracker.domain.cutting.plans import BoardCut, SawCut, StickCut
from tracker.domain.site import STEPS, Bay
from tracker.domain.work.cut_list import CutList
from tracker.domain.work.material import Materials, Shapes
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress, absent_steps
from tracker.domain.work.standing import standing_cut_list
from tracker.domain.work.targets import Target, find_target, whole_site
from tracker.domain.work.together import joined, plan_together
from tracker.measures import show_length
from tracker.services.allotment import allot
from tracker.services.cut_answers import (
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
from tracker.services.cut_list import Search, planned, ticked
from tracker.services.desk import Desk, Standing

SAME_M = 1e-6
TAPE_M = 0.0005
"""Half of the mark that a tape is read to, m."""
Cut = TypeVar("Cut", BoardCut, StickCut)


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
    return _answer(now, found, target, plan, now.kept is not None and listed <= now.kept.bays, ticked(now, shared))


def _from_nothing(now: Standing, target: Target, search: Search | None) -> WorkPlan:
    """The whole of the target as if nothing were done and no offcut lay on the rack; never kept."""
    progress = Progress(absent=absent_steps(now.site))
    materials = Materials(now.site, Shapes(now.site), progress)
    cut_list = CutList()
    bays = target.bays
    if search is not None and bays:
        kept = plan_together(now.site, bays, materials, progress, (), cut_list, (), seconds=search.seconds,
                             seed=search.seed, told=search.told)
        cut_list = standing_cut_list(now.site, joined(now.site, None, cut_list, kept), materials, progress, (), ())
    return plan_work(now.site, materials.together(target.units, STEPS), (), cut_list, proof=True)


def _answer(now: Standing, found: Target, target: str | None, plan: WorkPlan, kept: bool,
            cut: frozenset[str] = frozenset()) -> TakeOff:
    return TakeOff(
        site=now.site.name, target=None if target is None else found.name, items=_lines(now, plan),
        boards=tuple(_board(now, number, board, cut)
                     for number, board in _numbered(board for boards in plan.boards for board in boards.boards)),
        pieces=tuple(PieceView(piece.name, piece.bay, piece.outline_m) for boards in plan.boards
                     for piece in boards.pieces),
        sticks=tuple(_stick(number, stick, cut)
                     for number, stick in _numbered(stick for sticks in plan.sticks for stick in sticks.sticks)),
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


def _numbered(parts: Iterable[Cut]) -> Iterator[tuple[int, Cut]]:
    """Boards or sticks by their number on the list; those on none are counted on from there for each item."""
    parts = tuple(parts)
    last: dict[str, int] = defaultdict(int)
    for part in parts:
        last[part.item] = max(last[part.item], part.number)
    for part in parts:
        if not part.number:
            last[part.item] += 1
        yield part.number or last[part.item], part


def _board(now: Standing, number: int, board: BoardCut, ticks: frozenset[str]) -> BoardView:
    return BoardView(
        item=board.item, from_=board.source, size_m=board.size_m,
        cuts=tuple(CutView(cut.piece, cut.bay, cut.at_m, cut.size_m, cut.turned, cut.outline_m, cut.flipped)
                   for cut in board.cuts),
        offcuts=tuple(LeftView(one.at_m, one.size_m) for one in board.offcuts), number=number,
        saw=tuple(saw_steps(board, now.site.unit)),
        cut=tuple(cut.piece for cut in board.cuts if cut.piece in ticks))


def _stick(number: int, stick: StickCut, ticks: frozenset[str]) -> StickView:
    return StickView(
        item=stick.item, from_=stick.source, length_m=stick.length_m,
        cuts=tuple(StickCutView(cut.piece, cut.bay, cut.length_m, cut.ends) for cut in stick.cuts),
        left_m=stick.left_m, number=number,
        cut=tuple(cut.piece for cut in stick.cuts if cut.piece in ticks))


def saw_steps(board: BoardCut, unit: str) -> Iterator[SawView]:
    """The cuts of a board in order, each with the pieces that are done once it is made."""
    steps = [saw for saw in board.saw if not _too_fine(saw)]
    last = {cut.piece: number for number, saw in enumerate(steps) for cut in board.cuts
            if _holds((saw.panel_at_m, saw.panel_size_m), (cut.at_m, cut.size_m))}
    in_hand: Panel = ((0.0, 0.0), board.size_m)
    for number, saw in enumerate(steps):
        panel = saw.panel_at_m, saw.panel_size_m
        rest = "" if _holds(panel, in_hand) and _holds(in_hand, panel) else f"rest {_size(saw.panel_size_m, unit)}: "
        frees = tuple(piece for piece, when in last.items() if when == number)
        yield SawView(saw.kind, saw.at_m, saw.keep, saw.start_m, saw.end_m, rest + _saw_words(saw, unit), frees)
        in_hand = _kept_of(saw)


Panel = tuple[tuple[float, float], tuple[float, float]]
"""Where a panel lies on its board and its size, m."""


def _holds(panel: Panel, other: Panel) -> bool:
    return all(panel[0][axis] - SAME_M <= other[0][axis] and
               other[0][axis] + other[1][axis] <= panel[0][axis] + panel[1][axis] + SAME_M for axis in (0, 1))


def _too_fine(saw: SawCut) -> bool:
    """Does a slanted cut take less off the piece's rectangle than a tape shows?"""
    return saw.kind == "line" and any(
        all(abs(point[axis] - saw.panel_at_m[axis] - side) < TAPE_M for point in (saw.start_m, saw.end_m))
        for axis in (0, 1) for side in (0.0, saw.panel_size_m[axis]))


def _kept_of(saw: SawCut) -> Panel:
    """The part of its panel that a cut keeps in hand; a slanted one is made in the piece's own rectangle."""
    width, height = saw.panel_size_m
    return saw.panel_at_m, {"rip": (width, saw.at_m), "cross": (saw.at_m, height)}.get(saw.kind, (width, height))


def _saw_words(saw: SawCut, unit: str) -> str:
    if saw.kind == "line":
        # Measured from the corner of what is in hand: by then the board is in parts.
        ends = (tuple(value - by for value, by in zip(point, saw.panel_at_m, strict=True))
                for point in (saw.start_m, saw.end_m))
        return f"cut from {' to '.join(' / '.join(show_length(value, unit) for value in end) for end in ends)}, keep " \
               "the piece"
    return f"{saw.kind} at {show_length(saw.at_m, unit)}, keep {saw.keep}"


def _size(size_m: tuple[float, float], unit: str) -> str:
    return f"{show_length(size_m[0], unit)} x {show_length(size_m[1], unit)}"
