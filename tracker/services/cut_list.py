"""The cut list: planned together and kept, ticked off at the saw, mended when a piece is cut wrong."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

import sqlalchemy as sa

from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.plans import BoardCut, PieceCut, StickCut
from tracker.domain.errors import Refused, Unusable
from tracker.domain.site import Bay, Task
from tracker.domain.stock.ledger import Movement, refuse_below_zero
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.allotment import Allotment, share_out
from tracker.domain.work.cut_list import KeptPlan
from tracker.domain.work.freeing import left_of
from tracker.domain.work.ranking import better
from tracker.domain.work.settling import settled, still_cut
from tracker.domain.work.targets import find_target, whole_site
from tracker.domain.work.together import Together, Told, joined, plan_together
from tracker.services.allotment import allot
from tracker.services.answers import Outcome
from tracker.services.desk import Desk, Standing
from tracker.services.plan_words import kept_words, miscut_words, new_parts
from tracker.services.stock import add_movement
from tracker.services.wording import close_name
from tracker.store.amounts import amount, amount_or_none, whole, whole_or_none
from tracker.store.book_reader import offcut_id
from tracker.store.kept_plan import put_plan
from tracker.store.store import WriteSession, version_in

SECONDS = 2.0
"""Search worth spending on a plan where the person says nothing, s."""
MOST_SECONDS = 600.0
TRIES = 3
"""Times a plan is made anew where another program changed the site meanwhile."""


NOTHING = "Nothing is left to cut."
CHANGED = "Something was changed elsewhere while it was planned; plan it again."


@dataclass(frozen=True, slots=True)
class Search:
    """How long to look for a better plan; `asked` where the person said so, so that a kept plan is looked at again."""

    seconds: float = SECONDS
    seed: int = 0
    asked: bool = False
    told: Told | None = None


def planned(desk: Desk, units: tuple[Bay | Task, ...], search: Search) -> Allotment:
    """Stock shared out with these bays on the cut list: as it is kept, or planned together now and kept from then on.

    What is cut stays as it is. Where the store can't be written the plan is shown and not kept.
    """
    return _planned(desk, units, search)[0]


def _planned(desk: Desk, units: tuple[Bay | Task, ...], search: Search) -> tuple[Allotment, str]:
    """Stock shared out so, and what is to be said: of the plan made and kept for it, or why none was; empty where the
    kept one stands."""
    if not 0 <= search.seconds <= MOST_SECONDS:
        raise Refused(f"--seconds {search.seconds:g}: give 0 to {MOST_SECONDS:g} seconds")
    sentence = ""
    for _ in range(TRIES):
        seen = desk.data_version()
        now = desk.standing()
        shared = allot(now)
        bays = tuple(unit for unit in units if isinstance(unit, Bay) and _to_cut(shared, unit))
        names = {now.site.short(bay.key) for bay in bays}
        group = next((set(group) for group in (now.kept.groups if now.kept else ()) if names <= set(group)), None)
        if not bays:
            return shared, NOTHING
        if group is not None and not search.asked:
            return shared, ""
        found = _search(now, shared, names, search)
        if group is not None and not better(found.plan, shared.cut_list, shared.materials, now.site):
            return shared, ""
        plan = joined(now.site, now.kept, shared.cut_list, found.plan)
        try:
            with desk.store.write() as session:
                # What another program logged or ticked meanwhile the plan knows nothing of.
                if version_in(session.connection()) == seen:
                    _keep(session, now, shared, plan)
                    session.sentence = sentence = kept_words(now.site, found)
                    break
        except Unusable as error:
            return share_out(now.site, now.progress, now.pool, plan, now.miscuts), f"The plan is not kept: {error}."
    return allot(desk.standing()), sentence or CHANGED


def ticked(now: Standing, shared: Allotment) -> frozenset[str]:
    """Pieces ticked off the cut list and not planned anew since."""
    return still_cut(now.kept, shared.cut_list, now.ticks)


def _keep(session: WriteSession, now: Standing, shared: Allotment, plan: KeptPlan) -> None:
    """Keeps a plan; a tick that no longer held is no tick of a piece of the same name in it."""
    _take_ticks(session, (now.ticks - ticked(now, shared)) & plan.names)
    put_plan(session, plan)


def _to_cut(shared: Allotment, bay: Bay) -> bool:
    material = shared.materials.of(bay)
    return bool(material.infill or material.sticks)


def _search(now: Standing, shared: Allotment, names: set[str], search: Search) -> Together:
    """A plan of the bays, and of those that were planned together with one of them."""
    wanted = set(names)
    for group in now.kept.groups if now.kept else ():
        if names & set(group):
            wanted |= set(group)
    bays = [bay for key, bay in now.site.bays.items() if now.site.short(key) in wanted and _to_cut(shared, bay)]
    return plan_together(now.site, bays, shared.materials, now.progress, now.pool.offcuts, shared.cut_list,
                         ticked(now, shared), seconds=search.seconds, seed=search.seed, told=search.told,
                         miscuts=_last_miscut(now))


def _last_miscut(now: Standing) -> int:
    return max((one.number for one in now.miscuts), default=0)


def plan_again(desk: Desk, target: str | None, told: Told | None = None) -> Outcome:
    """Plans the target's bays together, or all that remains, and keeps the plan where it is no worse than the old."""
    site = desk.standing().site
    found = whole_site(site) if target is None else find_target(site, target)
    shared, sentence = _planned(desk, found.units, Search(SECONDS, asked=True, told=told))
    if not sentence:
        plan = shared.share_of(found.units).plan
        sentence = f"The plan that is kept is no worse: it stands, with {new_parts(plan.boards, plan.sticks)}."
    return Outcome(sentence, frozenset({"plan"}))


def phases_to_cut(desk: Desk) -> tuple[str, ...]:
    """Phases with something left to cut, in the order of work."""
    now = desk.standing()
    shared = allot(now)
    return tuple(phase.name for phase in now.site.phases
                 if any(_to_cut(shared, bay) for bay in now.site.bays_of(phase.name)))


def tick(desk: Desk, pieces: Iterable[str], cut: bool = True) -> Outcome:
    """Ticks pieces off the cut list, or takes the ticks away; Refused where the list has no such piece."""
    from tracker.store.tables import TickRow

    names = tuple(dict.fromkeys(pieces))
    with desk.store.write() as session:
        now = desk.standing_in(session)
        shared = allot(now)
        for name in names:
            _part_with(now, shared, name)
        gone = set(names) & now.ticks
        if now.kept is not None:
            found = settled(now.kept, shared.cut_list, _last_miscut(now))
            # A piece placed anew since the plan was made is cut where it is now, and stays there.
            if cut and any(now.kept.place_of(name) != found.place_of(name) for name in names):
                gone |= (now.ticks - ticked(now, shared)) & found.names
                put_plan(session, found)
        _take_ticks(session, gone)
        session.flush()
        if cut:
            at = datetime.now(UTC).isoformat(timespec="seconds")
            session.add_all(TickRow(piece=name, at=at) for name in names)
        session.sentence = f"{', '.join(names)}: {'cut' if cut else 'not cut after all'}."
    return Outcome(session.sentence, frozenset({"plan"}))


def _take_ticks(session: WriteSession, pieces: Iterable[str]) -> None:
    from tracker.store.tables import TickRow

    for row in session.exec(sa.select(TickRow).where(TickRow.piece.in_(pieces))).scalars().all():
        session.delete(row)


def miscut(desk: Desk, piece: str, note: str = "") -> Outcome:
    """Books a piece as cut wrong; it is planned again from what is left, and nothing else moves.

    Where nothing else is cut from its board or stick, that is spoiled, and what it still leaves goes on the rack.
    Only what through cuts part from the piece is left for certain: the remainders of the board, the rest of the stick.
    """
    from tracker.store.tables import MiscutRow

    with desk.store.write() as session:
        now = desk.standing_in(session)
        shared = allot(now)
        part = _part_with(now, shared, piece)
        cut = next(cut for cut in part.cuts if cut.piece == piece)
        size = area_m2(cut.outline_m) if isinstance(cut, PieceCut) else cut.length_m
        key = next(key for key in now.site.bays if now.site.short(key) == cut.bay)
        gone = {piece}
        if now.kept is not None and piece not in now.kept.names:
            # A piece laid anew has a place only once the plan says so; written so that undo takes it back.
            plan = settled(now.kept, shared.cut_list, _last_miscut(now))
            gone |= (now.ticks - ticked(now, shared)) & plan.names
            put_plan(session, plan)
        session.add(MiscutRow(bay_id=now.numbers.bays[key], item_id=now.numbers.items[part.item], piece=piece,
                              size=size, on_date=desk.today().isoformat(), note=note))
        _take_ticks(session, gone)
        kept = _spoil(session, now, part, desk) if len(part.cuts) == 1 else None
        session.sentence = miscut_words(now.site, part, cut, kept)
    again = _part_with(desk.standing(), allot(desk.standing()), piece)
    where = again.source if again.source != "new" else f"a new {again.item}" if len(again.cuts) == 1 else (
        f"what another {now.site.item[again.item].form} leaves over")
    return Outcome(f"{session.sentence} It is cut again from {where}.", frozenset({"stock", "plan"}))


def _part_with(now: Standing, shared: Allotment, piece: str) -> BoardCut | StickCut:
    """The board or stick of the cut list that holds the piece."""
    parts = (*shared.cut_list.boards, *shared.cut_list.sticks)
    for part in parts:
        if any(cut.piece == piece for cut in part.cuts):
            return part
    if now.kept is None:
        raise Refused(f"{piece}: no cut list is kept yet; `sabinry need` makes one")
    names = [cut.piece for part in parts for cut in part.cuts]
    raise Refused(f"{piece}: not on the cut list{close_name(piece, names)}; `sabinry saw` shows it")


def _spoil(session: WriteSession, now: Standing, part: BoardCut | StickCut, desk: Desk) -> tuple[Offcut, ...]:
    """Takes a spoiled board, stick or offcut out of stock and puts what it leaves on the rack: that, as offcuts."""
    from tracker.store.tables import OffcutRow

    item = now.site.item[part.item]
    if part.source == "new":
        movement = Movement("spoil", -1.0, desk.today())
        refuse_below_zero(item.name, item.unit, [*(line.movement for line in now.book.get(item.name, ())), movement])
        add_movement(session, now, item.name, movement)
    else:
        for row in session.exec(sa.select(OffcutRow).where(OffcutRow.used_entry_id.is_(None))).scalars().all():
            if offcut_id(row.id) == part.source:
                session.delete(row)
    rows = [OffcutRow(item_id=now.numbers.items[item.name], length_um=whole(length), width_um=whole_or_none(width))
            for length, width in left_of(part)]
    session.add_all(rows)
    session.flush()
    return tuple(Offcut(offcut_id(row.id), item.name, amount(row.length_um), amount_or_none(row.width_um))
                 for row in rows)
