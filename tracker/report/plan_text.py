"""The take-off and cutting plan as text."""

from __future__ import annotations

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_area, show_length, show_quantity
from tracker.report.text import heading, stacked, table
from tracker.services.cut_answers import BoardView, NeedLine, RollView, StickView, TakeOff


def need_text(plan: TakeOff, unit: str) -> RenderableType:
    """What is needed, then what to cut from what."""
    lines = table(["item", "finished work", "need", "offcuts", "plan"],
                  [[one.item, _net(one, unit), show_quantity(one.need, one.unit, unit), one.offcuts_used or "-",
                    _proof(one, unit)] for one in plan.items], right=(1, 2, 3))
    return stacked(heading(f"{plan.site}: {plan.target}" if plan.target else plan.site), lines,
                   *(_board(board, unit) for board in plan.boards),
                   *(_stick(stick, unit) for stick in plan.sticks),
                   *(_roll(roll, unit) for roll in plan.rolls))


def _proof(line: NeedLine, unit: str) -> str:
    """Whether fewer could do, and how many fewer at the most."""
    if line.proved_least:
        return "least, proved"
    return f"any plan takes {show_quantity(line.least, line.unit, unit)} or more" if line.least > 0 else "can be cut"


def _net(line: NeedLine, unit: str) -> str:
    if line.form in ("board", "roll"):
        return show_area(line.net, unit)
    return show_length(line.net, unit) if line.form == "stick" else f"{line.net:g}"


def _size(size_m: tuple[float, float], unit: str) -> str:
    return f"{show_length(size_m[0], unit)} x {show_length(size_m[1], unit)}"


def _board(board: BoardView, unit: str) -> Text:
    cuts = "; ".join(f"{cut.piece} {_size(cut.size_m, unit)}{', turned' if cut.turned else ''}" for cut in board.cuts)
    left = ", ".join(_size(one.size_m, unit) for one in board.offcuts)
    source = "" if board.from_ == "new" else f" ({board.from_})"
    return Text(f"board {board.number}{source} of {board.item}: {cuts}" + (f"; left {left}" if left else ""))


def _stick(stick: StickView, unit: str) -> Text:
    cuts = "; ".join(f"{cut.piece} {show_length(cut.length_m, unit)} ({' / '.join(cut.ends)})" for cut in stick.cuts)
    source = "" if stick.from_ == "new" else f" ({stick.from_})"
    return Text(f"stick {stick.number}{source} of {stick.item}: {cuts}; left {show_length(stick.left_m, unit)}"
                if stick.left_m > 0 else f"stick {stick.number}{source} of {stick.item}: {cuts}")


def _roll(roll: RollView, unit: str) -> Text:
    strips = "; ".join(f"{strip.bay} {_size(strip.size_m, unit)}{', turned' if strip.turned else ''}"
                       for strip in roll.strips)
    joints = "; ".join(f"{one.bay} is wider than the cloth: {len(one.at_m)} joint{'s' if len(one.at_m) > 1 else ''} at "
                       + ", ".join(show_length(at, unit) for at in one.at_m) + " from its left" for one in roll.joints)
    return Text(f"roll of {roll.item}: {show_length(roll.length_m, unit)}: {strips}"
                + (f"; {joints}" if joints else ""))
