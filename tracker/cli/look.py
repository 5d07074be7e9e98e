"""Verbs that only read: status, check, buy, stock and diary.

Each imports its own service when it runs: a check on the ladder does not wait for the rest.
"""

from __future__ import annotations

from typing import Annotated

import typer

from tracker.cli.answering import AsJson, answer
from tracker.cli.choices import SomeTarget, StepName, read_chance, read_day
from tracker.cli.store_choice import desk_of

NO = 1
Target = Annotated[str, typer.Argument(help="plane/bay, a plane, a phase's or a room's name.")]


def register(app: typer.Typer) -> None:
    for verb in (status, check, buy, stock, diary):
        app.command(verb.__name__)(verb)


def status(context: typer.Context, json: AsJson = False) -> None:
    """Phases, their meters, what blocks each, and what is next."""
    from tracker.report.overview_text import status_text
    from tracker.services.overview import status as read_status

    with desk_of(context) as desk:
        answer(read_status(desk), status_text, json_wanted=json)


def check(
    context: typer.Context, target: Target, json: AsJson = False,
    step: Annotated[StepName | None, typer.Option(help="Only this step.", show_default=False)] = None,
) -> None:
    """Can it be started now, and if not, why not? Ends with 1 where the answer is no."""
    from tracker.report.overview_text import check_text
    from tracker.services.readiness import check_start

    with desk_of(context) as desk:
        found = check_start(desk, target, None if step is None else step.value)
        answer(found, lambda one: check_text(one, desk.standing().site.unit), json_wanted=json)
    if found.verdict not in ("ready", "under way"):
        raise typer.Exit(NO)


def buy(
    context: typer.Context, target: SomeTarget = None, json: AsJson = False,
    risk: Annotated[str | None, typer.Option(help="The least packs whose chance of running short is at most this, "
                                             "e.g. 5% or 0.05; else what the plan needs.", show_default=False)] = None,
    error: Annotated[str | None, typer.Option(help="Standard deviation of a measured length, e.g. 2 mm; else that of "
                                              "a class II tape.", show_default=False)] = None,
) -> None:
    """What to order, in packs, with cost, the chance of running short and the last day to order."""
    from tracker.report.buy_text import shopping_text
    from tracker.services.buying import shopping

    with desk_of(context) as desk:
        found = shopping(desk, target, None if risk is None else read_chance(risk), error)
        answer(found, lambda one: shopping_text(one, desk.standing().site.unit), json_wanted=json)


def stock(context: typer.Context, json: AsJson = False) -> None:
    """On hand, offcuts, held, needed, on order and short of every item."""
    from tracker.report.stock_text import stock_text
    from tracker.services.stock import stock as read_stock

    with desk_of(context) as desk:
        answer(read_stock(desk), lambda one: stock_text(one, desk.standing().site.unit), json_wanted=json)


def diary(
    context: typer.Context, json: AsJson = False,
    words: Annotated[list[str] | None, typer.Argument(help="Words to look for.", show_default=False)] = None,
    since: Annotated[str | None, typer.Option(help="Only from this day on, e.g. mon.", show_default=False)] = None,
    lessons: Annotated[bool, typer.Option("--lessons", help="Only what was learned.")] = False,
) -> None:
    """Read and search the diary."""
    from tracker.report.diary_text import diary_text
    from tracker.services.diary import read_diary

    with desk_of(context) as desk:
        first = None if since is None else read_day(since, desk.today(), past=True)
        found = read_diary(desk, " ".join(words or ()), first, lessons)
        answer(found, lambda one: diary_text(one, desk.standing().site.unit), json_wanted=json)
