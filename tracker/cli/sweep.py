"""Verbs of the sweep: write the signal, read a recording of it, list what is kept, compare before and after."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.answering import AsJson, answer
from tracker.cli.store_choice import desk_of, store_of

if TYPE_CHECKING:
    from tracker.services.desk import Desk

ABOUT = """Measure the room with a sweep: write it, play and record it, read the recording; before and after a phase."""

Text = Annotated[str, typer.Option(show_default=False)]


def register(app: typer.Typer) -> None:
    """Adds the verb `sweep` with its own verbs."""
    sweep = typer.Typer(help=ABOUT, no_args_is_help=False, rich_markup_mode=None)
    sweep.callback(invoke_without_command=True)(about)
    for verb in (write, read, compare):
        sweep.command(verb.__name__)(verb)
    sweep.command("list")(list_)
    app.add_typer(sweep, name="sweep")


def about(context: typer.Context) -> None:
    """Measure the room with a sweep: write it, play and record it, read the recording; before and after a phase."""
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(0)


@contextmanager
def _desk_or_none(context: typer.Context) -> Iterator[Desk | None]:
    """The chosen store where there is one: signal and recordings are of use without."""
    if store_of(context).is_file():
        with desk_of(context) as desk:
            yield desk
    else:
        yield None


def write(
    context: typer.Context,
    file: Annotated[str, typer.Argument(help="The file to write, ending in .wav.")],
    seconds: Annotated[float, typer.Option(help="Length of the sweep; twice as long is 3 dB more over the noise.")]
    = 10.0,
    rate: Annotated[int, typer.Option(help="Samples a second, as the player likes them.")] = 48000,
    level: Annotated[float, typer.Option(help="Its peak, dB under full scale.")] = -12.0,
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
) -> None:
    """Write the measurement signal: a chirp, the sweep, silence for the tail, the chirp again."""
    from tracker.services.sweeping import write_sweep

    with _desk_or_none(context) as desk:
        found = write_sweep(desk, file, seconds, rate, level, force)
    for line in (found.sentence, *found.lines):
        typer.echo(line)


def read(
    context: typer.Context,
    recording: Annotated[str, typer.Argument(help="WAV, FLAC or AIFF of the sweep as the microphone heard it.")],
    as_: Annotated[str, typer.Option("--as", help="Keep it as this measurement; positions of one name are averaged.",
                                     show_default=False)] = "",
    room: Annotated[str, typer.Option(help="The room, where there are several.", show_default=False)] = "",
    phase: Annotated[str, typer.Option(help="All phases up to this one were up; `bare`: nothing was. Left out: what "
                                       "the diary says of that day.", show_default=False)] = "",
    position: Annotated[str, typer.Option(help="Number of the place in the room; the next free one if left out.",
                                          show_default=False)] = "",
    channel: Annotated[str, typer.Option(help="Which channel, from 1, where they differ.", show_default=False)] = "",
    signal: Annotated[str, typer.Option(help="The file that `sweep write` wrote; else the sweeps noted in the store "
                                        "are tried, the newest first.", show_default=False)] = "",
    temperature: Annotated[str, typer.Option(help="degC in the room; narrows what is uncertain.", show_default=False)]
    = "",
    humidity: Annotated[str, typer.Option(help="Relative humidity, %.", show_default=False)] = "",
    date: Annotated[str, typer.Option(help="The day it was recorded, today if left out.", show_default=False)] = "",
    note: Text = "",
    again: Annotated[bool, typer.Option("--again", help="Put it in the place of the recording of that position.")]
    = False,
    json: AsJson = False,
) -> None:
    """Read a recording of the sweep: decay, response, modes, and what is wrong with it; keep it with --as NAME."""
    from tracker.report.sweep_text import reading_text
    from tracker.services.sweeping import SweepWords, read_file

    words = SweepWords(recording, as_, room, phase, position, channel, signal, temperature, humidity, date, note, again)
    answer(read_file(store_of(context), words), reading_text, json_wanted=json)


def list_(context: typer.Context, json: AsJson = False) -> None:
    """The sweeps that were written, and the measurements read from recordings."""
    from tracker.report.sweep_text import list_text
    from tracker.services.sweep_comparing import sweep_list

    with desk_of(context) as desk:
        answer(sweep_list(desk), list_text, json_wanted=json)


def compare(
    context: typer.Context,
    before: Annotated[str, typer.Argument(help="Name of the measurement before.")],
    after: Annotated[str, typer.Argument(help="Name of the one after.")],
    room: Annotated[str, typer.Option(help="The room, where a name is used in several.", show_default=False)] = "",
    json: AsJson = False,
) -> None:
    """The gain measured band by band with its uncertainty, beside the one predicted."""
    from tracker.report.sweep_text import comparison_text
    from tracker.services.sweep_comparing import compare_sweeps

    with desk_of(context) as desk:
        answer(compare_sweeps(desk, before, after, room), lambda one: comparison_text(one, desk.standing().site.unit),
               json_wanted=json)
