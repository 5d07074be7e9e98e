"""The command `sabinry`: finds the store, runs one verb, and turns refusals into one line and an exit status."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated

import typer
from typer.exceptions import Abort, Exit, TyperException

from tracker import __version__
from tracker.cli import acoustics, book, cutting, day, look, start, sweep
from tracker.cli.store_choice import StoreChoice, store_of
from tracker.cli.wording import in_our_words, write_plainly
from tracker.domain.errors import Refused, Unusable

DONE, BAD_INPUT, STORE_UNUSABLE = 0, 2, 3

app = typer.Typer(name="sabinry", add_completion=False, rich_markup_mode=None, no_args_is_help=False,
                  pretty_exceptions_enable=False, context_settings={"help_option_names": ["-h", "--help"]},
                  help="Fit sound absorption to a small room in phases. Alone, it opens the screens.")
for part in (start, look, acoustics, cutting, book, day, sweep):
    part.register(app)


@app.callback(invoke_without_command=True)
def choose_store(
    context: typer.Context,
    store: Annotated[Path | None, typer.Option(help="The store file.", envvar="SABINRY_STORE", show_default=False)]
    = None,
    version: Annotated[bool, typer.Option("--version", help="Show the version and end.")] = False,
) -> None:
    """Keeps the chosen store for the verb; without a verb, opens the screens on it."""
    context.obj = StoreChoice(store)
    if version:
        typer.echo(f"sabinry {__version__}")
        raise typer.Exit(DONE)
    if context.invoked_subcommand is None:
        raise typer.Exit(start.open_screens(store_of(context)))


def main(arguments: list[str] | None = None) -> int:
    """Runs the command and returns its exit status: 0 done or yes, 1 no, 2 bad input, 3 the store can't be used."""
    # The matrices here are small: on a busy machine more threads only wait for one another, a hundred times as long.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Typer's arguments go through pydantic, which would look through every installed package for plugins first.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    write_plainly()
    try:
        return int(app(args=arguments, prog_name="sabinry", standalone_mode=False) or DONE)
    except Exit as end:
        return end.exit_code
    except Abort:
        return _say("stopped", BAD_INPUT)
    except TyperException as error:
        context = getattr(error, "ctx", None)
        verb = context.command_path if context else "sabinry"
        return _say(f"{in_our_words(error.format_message().rstrip('.'))}; see `{verb} --help`", BAD_INPUT)
    except Refused as error:
        return _say(str(error), BAD_INPUT)
    except Unusable as error:
        return _say(str(error), STORE_UNUSABLE)
    except BrokenPipeError:
        # The reader of a pipe went away: not an error of ours, but Python would complain again on exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE


def _say(text: str, status: int) -> int:
    print(f"sabinry: {' '.join(text.split())}", file=sys.stderr)
    return status
