"""From what is still needed to a plan that can be cut: boards, sticks and rolls, item by item."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TypeVar

from tracker.domain.cutting.boards import bound_by_area, plan_boards, saw_of
from tracker.domain.cutting.bounds import least_boards
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.pairs import shape_of
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardPlan,
    Cloth,
    Need2,
    Piece,
    RollPlan,
    StickCut,
    StickPiece,
    StickPlan,
)
from tracker.domain.cutting.rolls import plan_rolls
from tracker.domain.cutting.sticks import bound_by_length, plan_sticks
from tracker.domain.site import Item, Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.cut_list import CutList, run_of
from tracker.domain.work.material import Material
from tracker.domain.work.racks import board_stock, roll_stock, stick_stock

Cut = TypeVar("Cut", BoardCut, StickCut)


@dataclass(frozen=True, slots=True)
class ItemPlan:
    """What one item must supply: `net` of finished work (m2, m or pieces), `need` over and above offcuts used."""

    item: str
    net: float
    need: float
    offcuts: tuple[str, ...] = ()
    proved_least: bool = True
    least: float | None = None
    """What no plan can do with less of; None: `need`."""


@dataclass(frozen=True)
class WorkPlan:
    """Where everything is cut from."""

    items: Mapping[str, ItemPlan]
    boards: tuple[BoardPlan, ...] = ()
    sticks: tuple[StickPlan, ...] = ()
    rolls: tuple[RollPlan, ...] = ()

    @property
    def needs(self) -> dict[str, float]:
        """Item to what must come from stock, in its unit."""
        return {item: plan.need for item, plan in self.items.items()}

    @property
    def offcuts(self) -> frozenset[str]:
        return frozenset(offcut for plan in self.items.values() for offcut in plan.offcuts)


def plan_work(site: Site, materials: Iterable[Material], offcuts: tuple[Offcut, ...],
              cut_list: CutList | None = None, but_not: Collection[str] = (), proof: bool = False) -> WorkPlan:
    """A plan for all the material together: what the cut list says of it, and for the rest offcuts first, then new.

    Boards and sticks of the list marked `but_not` are left out. With `proof` it is worked out whether fewer could do
    for a part of the list. Quantities in each item's unit.
    Source: definition (each piece from one board, stick or roll; the parts of `cutting` say how).
    """
    listed = _Listed(site, cut_list or CutList(), but_not, proof)
    infill, sticks, cloths = defaultdict(list), defaultdict(list), defaultdict(list)
    nets: dict[str, float] = defaultdict(float)
    counts: dict[str, float] = defaultdict(float)
    for material in materials:
        for item, need in material.infill:
            if not listed.takes_bay(item, need):
                infill[item].append(need)
        for item, piece, net_m in material.sticks:
            if not listed.takes_run(item, piece.name):
                sticks[item].append(piece)
            nets[item] += net_m
        for item, cloth, net_m2 in material.cloths:
            cloths[item].append(cloth)
            nets[item] += net_m2
        for item, count in material.counts:
            counts[item] += count
    rack = defaultdict(list)
    for offcut in offcuts:
        rack[offcut.item].append(offcut)
    board_plans = listed.boards() + [
        _boards(site.item[item], tuple(needs), tuple(rack[item])) for item, needs in infill.items()]
    stick_plans = listed.sticks() + [
        _sticks(site.item[item], tuple(pieces), tuple(rack[item])) for item, pieces in sticks.items()]
    roll_plans = [_rolls(site.item[item], tuple(found), tuple(rack[item])) for item, found in cloths.items()]
    items: dict[str, ItemPlan] = {}
    for board in board_plans:
        _add(items, ItemPlan(board.item, board.net_m2, board.need, _used(one.source for one in board.boards),
                             board.proved_least, board.lower_bound))
    for stick in stick_plans:
        _add(items, ItemPlan(stick.item, 0.0, stick.need, _used(one.source for one in stick.sticks),
                             stick.proved_least, stick.lower_bound))
    for roll in roll_plans:
        _add(items, ItemPlan(roll.item, 0.0, roll.length_m, _used(one.source for one in roll.strips),
                             roll.proved_least, roll.lower_bound_m))
    for item, net in nets.items():
        if item in items:
            items[item] = replace(items[item], net=items[item].net + net)
    for item, count in counts.items():
        before = items.get(item)
        items[item] = (ItemPlan(item, count, count) if before is None
                       else replace(before, net=before.net + count, need=before.need + count))
    ordered = {item.name: items[item.name] for item in site.items if item.name in items}
    return WorkPlan(ordered, tuple(board_plans), tuple(stick_plans), tuple(roll_plans))


def _add(items: dict[str, ItemPlan], plan: ItemPlan) -> None:
    """Adds an item's plan to what is planned of it already; two plans made apart are not proved to be the least."""
    before = items.get(plan.item)
    items[plan.item] = plan if before is None else ItemPlan(
        plan.item, before.net + plan.net, before.need + plan.need, (*before.offcuts, *plan.offcuts), False, 0.0)


class _Listed:
    """What the cut list says of the bays and runs asked for, item by item."""

    def __init__(self, site: Site, cut_list: CutList, but_not: Collection[str], proof: bool) -> None:
        self._site, self._list, self._proof = site, cut_list, proof
        self._but_not = frozenset(but_not)
        self._bays: dict[str, set[str]] = defaultdict(set)
        self._runs: dict[str, set[str]] = defaultdict(set)

    def takes_bay(self, item: str, need: Need2) -> bool:
        """Is the bay's infill on the list? It is asked for then."""
        if need.bay not in self._list.bays:
            return False
        self._bays[item].add(need.bay)
        return True

    def takes_run(self, item: str, run: str) -> bool:
        """Is the run on the list? It is asked for then."""
        if run not in self._list.runs:
            return False
        self._runs[item].add(run)
        return True

    def boards(self) -> list[BoardPlan]:
        found = []
        for item, bays in self._bays.items():
            boards = self._taken(item, BoardCut, bays, ())
            made = self._list.as_made.get(item)
            if isinstance(made, BoardPlan) and made.boards == boards:
                found.append(made)
                continue
            pieces = tuple(self._list.pieces[cut.piece] for board in boards for cut in board.cuts)
            net = sum(area_m2(piece.outline_m) for piece in pieces if piece.bay in bays)
            need = sum(board.source == "new" for board in boards)
            bound = self._least_boards(item, boards, [one for one in pieces if one.bay in bays]) if self._proof else 0
            found.append(BoardPlan(item, boards, pieces, net, need, min(bound, need), need <= bound))
        return found

    def sticks(self) -> list[StickPlan]:
        found = []
        for item, runs in self._runs.items():
            sticks = self._taken(item, StickCut, (), runs)
            made = self._list.as_made.get(item)
            if isinstance(made, StickPlan) and made.sticks == sticks:
                found.append(made)
                continue
            own = [part for stick in sticks for part in stick.cuts if run_of(part.piece) in runs]
            need = sum(stick.source == "new" for stick in sticks)
            stock = stick_stock(self._site.item[item], self._rack(sticks))
            bound = bound_by_length(own, stock) if self._proof else 0
            names = {run_of(part.piece) for part in own}
            found.append(StickPlan(item, sticks, sum(part.length_m for part in own), need, min(bound, need),
                                   need <= bound, len(own) - len(names)))
        return found

    def _least_boards(self, item: str, boards: tuple[BoardCut, ...], pieces: list[Piece]) -> int:
        """What these pieces need at the least; remainders of boards cut for others too are not counted on."""
        stock = board_stock(self._site.item[item], self._rack(boards))
        return max(bound_by_area(sum(area_m2(piece.outline_m) for piece in pieces), stock),
                   least_boards([shape_of(piece.outline_m) for piece in pieces], saw_of(stock)))

    def _taken(self, item: str, kind: type[Cut], bays: Iterable[str], runs: Iterable[str]) -> tuple[Cut, ...]:
        """Boards or sticks of the item that hold a piece of the bays or runs, in the order of cutting."""
        marks = self._list.marks(bays, runs) - self._but_not
        found = ((mark, self._list.marked[mark]) for mark in marks)
        ordered = sorted(((int(mark.split()[1]), one) for mark, one in found
                          if isinstance(one, kind) and one.item == item), key=lambda pair: pair[0])
        return tuple(one for _, one in ordered)

    @staticmethod
    def _rack(parts: Iterable[BoardCut | StickCut]) -> tuple[Offcut, ...]:
        """The offcuts the parts come from."""
        return tuple(Offcut(one.source, one.item, one.length_m) if isinstance(one, StickCut)
                     else Offcut(one.source, one.item, *one.size_m) for one in parts if one.source != "new")


def _used(sources: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source for source in sources if source != "new"))


@lru_cache(maxsize=4096)
def _boards(item: Item, needs: tuple[Need2, ...], rack: tuple[Offcut, ...]) -> BoardPlan:
    return plan_boards(needs, board_stock(item, rack))


@lru_cache(maxsize=4096)
def _sticks(item: Item, pieces: tuple[StickPiece, ...], rack: tuple[Offcut, ...]) -> StickPlan:
    return plan_sticks(pieces, stick_stock(item, rack))


@lru_cache(maxsize=4096)
def _rolls(item: Item, cloths: tuple[Cloth, ...], rack: tuple[Offcut, ...]) -> RollPlan:
    return plan_rolls(cloths, roll_stock(item, rack))
