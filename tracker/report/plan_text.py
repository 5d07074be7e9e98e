"""The take-off, cutting plan and shopping list as text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TypeVar

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_area, show_length, show_quantity
from tracker.report.text import heading, stacked, table
from tracker.services.answers import BoardView, NeedLine, RollView, Shopping, StickView, TakeOff

Cut = TypeVar("Cut", BoardView, StickView)


def need_text(plan: TakeOff, unit: str) -> RenderableType:
    """What is needed, then what to cut from what."""
    lines = table(["item", "finished work", "need", "offcuts", "plan"],
                  [[one.item, _net(one, unit), show_quantity(one.need, one.unit, unit), one.offcuts_used or "-",
                    "least, proved" if one.proved_least else "can be cut"] for one in plan.items], right=(1, 2, 3))
    return stacked(heading(f"{plan.site}: {plan.target}" if plan.target else plan.site), lines,
                   Text("Planned as one; phases cut by themselves, as stock and check count them, can need more.")
                   if plan.target is None else None,
                   *(_board(number, board, unit) for number, board in _numbered(plan.boards)),
                   *(_stick(number, stick, unit) for number, stick in _numbered(plan.sticks)),
                   *(_roll(roll, unit) for roll in plan.rolls))


def _numbered(cuts: Sequence[Cut]) -> Iterator[tuple[int, Cut]]:
    """Boards or sticks counted from 1 for each item."""
    counts: Counter[str] = Counter()
    for cut in cuts:
        counts[cut.item] += 1
        yield counts[cut.item], cut


def _net(line: NeedLine, unit: str) -> str:
    if line.form in ("board", "roll"):
        return show_area(line.net, unit)
    return show_length(line.net, unit) if line.form == "stick" else f"{line.net:g}"


def _size(size_m: tuple[float, float], unit: str) -> str:
    return f"{show_length(size_m[0], unit)} x {show_length(size_m[1], unit)}"


def _board(number: int, board: BoardView, unit: str) -> Text:
    cuts = "; ".join(f"{cut.piece} {_size(cut.size_m, unit)}{', turned' if cut.turned else ''}" for cut in board.cuts)
    left = ", ".join(_size(one.size_m, unit) for one in board.offcuts)
    source = "" if board.from_ == "new" else f" ({board.from_})"
    return Text(f"board {number}{source} of {board.item}: {cuts}" + (f"; left {left}" if left else ""))


def _stick(number: int, stick: StickView, unit: str) -> Text:
    cuts = "; ".join(f"{cut.piece} {show_length(cut.length_m, unit)} ({' / '.join(cut.ends)})" for cut in stick.cuts)
    source = "" if stick.from_ == "new" else f" ({stick.from_})"
    return Text(f"stick {number}{source} of {stick.item}: {cuts}; left {show_length(stick.left_m, unit)}"
                if stick.left_m > 0 else f"stick {number}{source} of {stick.item}: {cuts}")


def _roll(roll: RollView, unit: str) -> Text:
    strips = "; ".join(f"{strip.bay} {_size(strip.size_m, unit)}{', turned' if strip.turned else ''}"
                       for strip in roll.strips)
    return Text(f"roll of {roll.item}: {show_length(roll.length_m, unit)}: {strips}")


def shopping_text(shopping: Shopping, unit: str) -> RenderableType:
    """What to order, in packs, with cost and lead time."""
    if not shopping.items:
        return stacked(heading(shopping.site), Text("Nothing to order: what is on hand and on order is enough."))
    rows = [[one.item, show_quantity(one.need, one.unit, unit), _packs(one.packs, one.pack, one.unit),
             show_quantity(one.quantity, one.unit, unit), "-" if one.cost is None else f"{one.cost:.2f}",
             f"{one.lead_days} days", "-" if one.floor_area_packs is None else f"{one.floor_area_packs:g}"]
            for one in shopping.items]
    return stacked(
        heading(shopping.site),
        table(["item", "short", "packs", "comes to", f"cost {shopping.currency}", "lead time", "packs by area alone"],
              rows, right=(1, 2, 3, 4, 5, 6)),
        Text(f"In all {shopping.total_cost:.2f} {shopping.currency}. Wire, board and fire rules: buy what your local "
             "code accepts as one assembly."))


def _packs(packs: float, pack: float, item_unit: str) -> str:
    return "-" if item_unit == "m" else f"{packs:g} x {pack:g}"
