"""Verbs of the cut list: need, saw, tick and miscut."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Annotated

import typer

from tracker.cli.answering import AsJson, answer, tell
from tracker.cli.choices import SomeTarget
from tracker.cli.store_choice import desk_of

Pieces = Annotated[list[str], typer.Argument(help="Pieces as the cut list names them, e.g. \"north/left 3\".")]


def register(app: typer.Typer) -> None:
    for verb in (need, saw, tick, miscut):
        app.command(verb.__name__)(verb)


def need(
    context: typer.Context, target: SomeTarget = None, json: AsJson = False,
    everything: Annotated[bool, typer.Option("--all", help="The whole of it, as if nothing were done.")] = False,
    seconds: Annotated[float | None, typer.Option(
        help="Search worth spending on the plan, in seconds; 2 if left out. Given, a kept plan is looked at again.",
        show_default=False)] = None,
    seed: Annotated[int | None, typer.Option(help="Another seed may find another plan.", show_default=False)] = None,
) -> None:
    """Take-off and cutting plan of what remains to be done; the plan is kept, and log takes what it says."""
    from tracker.report.plan_text import need_text
    from tracker.services.cut_list import SECONDS, Search
    from tracker.services.take_off import take_off

    with desk_of(context) as desk:
        with searching() as told:
            search = Search(SECONDS if seconds is None else seconds, seed or 0,
                            seconds is not None or seed is not None, told)
            found = take_off(desk, target, everything, search)
        answer(found, lambda one: need_text(one, desk.standing().site.unit), json_wanted=json)


def saw(context: typer.Context, target: SomeTarget = None, json: AsJson = False) -> None:
    """The cut list for the saw: board by board and stick by stick, each cut in order."""
    from tracker.report.saw_text import saw_text
    from tracker.services.cut_list import Search
    from tracker.services.take_off import take_off

    with desk_of(context) as desk:
        with searching() as told:
            found = take_off(desk, target, search=Search(told=told))
        answer(found, lambda one: saw_text(one, desk.standing().site.unit), json_wanted=json)


def tick(
    context: typer.Context, pieces: Pieces,
    off: Annotated[bool, typer.Option("--off", help="Take the ticks away again.")] = False,
) -> None:
    """Tick pieces off the cut list once they are cut: a new plan leaves them as they are."""
    from tracker.services.cut_list import tick as tick_pieces

    with desk_of(context) as desk:
        tell(tick_pieces(desk, pieces, not off))


def miscut(
    context: typer.Context,
    piece: Annotated[str, typer.Argument(help="The piece as the cut list names it, e.g. \"north/left 3\".")],
    note: Annotated[str, typer.Option(show_default=False)] = "",
) -> None:
    """A piece was cut wrong: it is planned again from what is left."""
    from tracker.services.cut_list import miscut as cut_wrong

    with desk_of(context) as desk:
        tell(cut_wrong(desk, piece, note))


@contextmanager
def searching() -> Iterator[Callable[[float, int], bool | None]]:
    """Shows how far the search is on a terminal; Ctrl-C ends it with the best plan so far."""
    stopped = False

    def stop(_number: int, _frame: FrameType | None) -> None:
        nonlocal stopped
        stopped = True

    shown = sys.stderr.isatty()

    def told(done: float, boards: int) -> bool:
        if shown:
            sys.stderr.write(f"\rplanning the cuts: {done:4.0%}, {boards} boards; Ctrl-C keeps the best so far \r")
            sys.stderr.flush()
        return stopped

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield told
    finally:
        signal.signal(signal.SIGINT, before)
        if shown:
            sys.stderr.write("\r" + " " * 70 + "\r")
            sys.stderr.flush()
