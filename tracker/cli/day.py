"""Verbs of the day's work: log, clock, undo and tape."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from tracker.cli.answering import AsJson, answer, tell
from tracker.cli.choices import StepName, amounts_words, read_pair
from tracker.cli.store_choice import desk_of

Text = Annotated[str | None, typer.Option(show_default=False)]


def register(app: typer.Typer) -> None:
    for verb in (log, clock, undo, tape):
        app.command(verb.__name__)(verb)


def log(
    context: typer.Context,
    target: Annotated[str | None, typer.Argument(help="plane/bay, or a task's name.", show_default=False)] = None,
    step: Annotated[StepName | None, typer.Option(help="The step of the bay.", show_default=False)] = None,
    done: Annotated[str | None, typer.Option(help="How much of the step is done now, e.g. 60%; all of it if left "
                                             "out.", show_default=False)] = None,
    hours: Annotated[str | None, typer.Option(help="Hours spent, e.g. 1:30; `clock`: what the clock reads.",
                                                show_default=False)] = None,
    used: Annotated[list[str] | None, typer.Option(help="ITEM=QTY; worked out from the cutting plan if left out.",
                                                   show_default=False)] = None,
    spoiled: Annotated[list[str] | None, typer.Option(help="ITEM=QTY spoiled; a bare QTY is of the one "
                                                      "item the step uses.", show_default=False)] = None,
    note: Text = None,
    lesson: Text = None,
    photo: Annotated[list[str] | None, typer.Option(help="A photo's path.", show_default=False)] = None,
    date: Annotated[str | None, typer.Option(help="The day, today if left out.", show_default=False)] = None,
    correct: Annotated[int | None, typer.Option(help="Number of the entry this corrects; what is left out stays as it "
                                                "was.", show_default=False)] = None,
) -> None:
    """Write a diary entry: what was done, hours, stock used and spoiled, a note, a lesson."""
    from tracker.services.clock import log_clocked
    from tracker.services.diary import DayWords, correct_entry

    words = DayWords(
        target=target, step=None if step is None else step.value, done=done, hours=hours,
        used=None if used is None else amounts_words(used, "--used"),
        spoiled=None if spoiled is None else amounts_words(spoiled, "--spoiled"),
        note=note, lesson=lesson, photos=None if photo is None else tuple(photo), on=date)
    with desk_of(context) as desk:
        tell(log_clocked(desk, words) if correct is None else correct_entry(desk, correct, words))


class ClockVerb(StrEnum):
    start = "start"
    stop = "stop"
    reset = "reset"


def clock(
    context: typer.Context,
    verb: Annotated[ClockVerb | None, typer.Argument(help="Left out: how long it has run.", show_default=False)] = None,
    target: Annotated[str, typer.Argument(help="What it is started for; the log form then begins with that.",
                                          show_default=False)] = "",
    step: Annotated[StepName | None, typer.Option(help="The step it is started for.", show_default=False)] = None,
    json: AsJson = False,
) -> None:
    """Start, stop or set back the clock, or say how long it has run; it runs on while nothing is open."""
    from tracker.report.clock_text import clock_text
    from tracker.services import clock as service

    with desk_of(context) as desk:
        if verb is ClockVerb.start:
            tell(service.start(desk, target, "" if step is None else step.value))
        elif verb is None:
            answer(service.clock_answer(desk), clock_text, json_wanted=json)
        else:
            tell(service.stop(desk) if verb is ClockVerb.stop else service.reset(desk))


def undo(context: typer.Context) -> None:
    """Take back the last change, whatever it was."""
    from tracker.services.undo import undo_last

    with desk_of(context) as desk:
        tell(undo_last(desk))


def tape(
    context: typer.Context,
    target: Annotated[str, typer.Argument(help="plane/bay, or a plane.")],
    readings: Annotated[list[str], typer.Argument(
        help="bottom=.. top=.. left=.. right=.. diagonal=.. check=.. middle=.. centre=..")],
    fitted: Annotated[bool, typer.Option("--fitted", help="Taken inside the fixed track: infill is then cut to it.")]
    = False,
) -> None:
    """Measure a plane or a bay again."""
    from tracker.services.measuring import measure_again

    with desk_of(context) as desk:
        tell(measure_again(desk, target, dict(read_pair(one) for one in readings), fitted))
