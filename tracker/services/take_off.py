"""The take-off with its cut list: what remains of the work, board by board and stick by stick, as it is cut."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import TypeVar

from tracker.domain.cutting.plans import BoardCut, StickCut
from tracker.domain.site import STEPS, Bay, Site
from tracker.domain.stock.pool import Pool
from tracker.domain.work.cut_list import CutList
from tracker.domain.work.material import Materials, Shapes
from tracker.domain.work.notices import bay_notices
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress, absent_steps
from tracker.domain.work.standing import standing_cut_list
from tracker.domain.work.targets import Target, find_target, whole_site
from tracker.domain.work.together import joined, plan_together
from tracker.services.allotment import allot
from tracker.services.cut_answers import (
    BayWarned,
    BoardView,
    CutView,
    JointView,
    LeftView,
    NeedLine,
    PieceView,
    RollView,
    StickCutView,
    StickView,
    StripView,
    TakeOff,
)
from tracker.services.cut_list import Search, planned, ticked
from tracker.services.desk import Desk, Standing
from tracker.services.saw_steps import saw_steps
from tracker.services.wording import warned

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
        return _answer(now, found, target, _from_nothing(now, found, search), now.pool, kept=False)
    shared = allot(now) if search is None else planned(desk, found.units, search)
    now = desk.standing()
    share = shared.share_of(found.units, proof=True)
    plan = share.plan
    names = {now.site.short(unit.key) for unit in found.units if isinstance(unit, Bay)}
    listed = {cut.bay for plans in plan.boards for board in plans.boards for cut in board.cuts} & names
    return _answer(now, found, target, plan, share.pool, now.kept is not None and listed <= now.kept.bays,
                   ticked(now, shared))


def _from_nothing(now: Standing, target: Target, search: Search | None) -> WorkPlan:
    """The whole of the target as if nothing were done and no offcut lay on the rack; never kept."""
    progress = Progress(absent=absent_steps(now.site))
    materials = Materials(now.site, Shapes(now.site), progress)
    cut_list = CutList()
    bays = target.bays
    if search is not None and bays:
        found = plan_together(now.site, bays, materials, progress, (), cut_list, (), seconds=search.seconds,
                              seed=search.seed, told=search.told)
        kept = joined(now.site, None, cut_list, found.plan)
        cut_list = standing_cut_list(now.site, kept, materials, progress, (), ())
    return plan_work(now.site, materials.together(target.units, STEPS), (), cut_list, proof=True)


def _answer(now: Standing, found: Target, target: str | None, plan: WorkPlan, pool: Pool, kept: bool,
            cut: frozenset[str] = frozenset()) -> TakeOff:
    boards = [board for made in plan.boards for board in made.boards]
    sticks = [stick for made in plan.sticks for stick in made.sticks]
    bays = [bay for bay in now.site.bays.values()
            if now.site.short(bay.key) in {one.bay for part in (*boards, *sticks) for one in part.cuts}]
    here = _here(now.site, (*boards, *sticks), pool, cut)
    return TakeOff(
        site=now.site.name, target=None if target is None else found.name, items=_lines(now, plan),
        boards=tuple(_board(now, number, board, id(board) in here, cut) for number, board in _numbered(boards)),
        pieces=tuple(PieceView(piece.name, piece.bay, piece.outline_m) for boards in plan.boards
                     for piece in boards.pieces),
        sticks=tuple(_stick(number, stick, id(stick) in here, cut) for number, stick in _numbered(sticks)),
        rolls=tuple(RollView(roll.item, roll.width_m, roll.length_m,
                             tuple(StripView(strip.bay, strip.source, strip.at_m, strip.size_m, strip.turned)
                                   for strip in roll.strips),
                             tuple(JointView(bay, places) for bay, places in roll.joints)) for roll in plan.rolls),
        kept=kept, warnings=_warnings(now, bays))


def _here(site: Site, parts: Iterable[BoardCut | StickCut], pool: Pool, cut: frozenset[str]) -> set[int]:
    """Which boards and sticks, by `id`, are here: every offcut, and of the new ones as many as earlier work leaves.

    One that is being cut is, and the others in the order of cutting, what an earlier phase needs first.
    """
    phases = {phase.name: number for number, phase in enumerate(site.phases)}
    phase_of = {site.short(key): phases[bay.phase] for key, bay in site.bays.items()}

    def turn(part: BoardCut | StickCut) -> tuple[bool, int]:
        begun = part.begun or any(one.piece in cut for one in part.cuts)
        return not begun, min(phase_of[one.bay] for one in part.cuts)

    here = set()
    left: dict[str, float] = {}
    for part in sorted(parts, key=turn):
        if part.source == "new":
            free = left.setdefault(part.item, pool.balance(part.item).on_hand - pool.held_of(part.item))
            left[part.item] = free - 1
            if free < 1:
                continue
        here.add(id(part))
    return here


def _warnings(now: Standing, bays: Iterable[Bay]) -> tuple[BayWarned, ...]:
    """What to notice about the bays before they are cut, as `check` says it of each."""
    shapes = allot(now).shapes
    found = (BayWarned(now.site.short(bay.key), said.code, said.text) for bay in bays
             for one in bay_notices(now.site, shapes, bay, now.progress, now.pool)
             for said in (warned(now.site, one),))
    return tuple(dict.fromkeys(found))


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


def _board(now: Standing, number: int, board: BoardCut, here: bool, ticks: frozenset[str]) -> BoardView:
    return BoardView(
        item=board.item, from_=board.source, size_m=board.size_m,
        cuts=tuple(CutView(cut.piece, cut.bay, cut.at_m, cut.size_m, cut.turned, cut.outline_m, cut.flipped)
                   for cut in board.cuts),
        offcuts=tuple(LeftView(one.at_m, one.size_m) for one in board.offcuts), number=number,
        saw=tuple(saw_steps(board, now.site.unit)),
        cut=tuple(cut.piece for cut in board.cuts if cut.piece in ticks), here=here)


def _stick(number: int, stick: StickCut, here: bool, ticks: frozenset[str]) -> StickView:
    return StickView(
        item=stick.item, from_=stick.source, length_m=stick.length_m,
        cuts=tuple(StickCutView(cut.piece, cut.bay, cut.length_m, cut.ends) for cut in stick.cuts),
        left_m=stick.left_m, number=number,
        cut=tuple(cut.piece for cut in stick.cuts if cut.piece in ticks), here=here)
