"""Verbs that make a store: demo and new."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.store_choice import store_of

if TYPE_CHECKING:
    from tracker.services.desk import Desk


def register(app: typer.Typer) -> None:
    app.command("demo")(demo)
    app.command("new")(new)


def open_screens(path: Path) -> int:
    """Opens the screens on a store and returns the exit status."""
    # The one way from the command line to the screens, taken late: a verb never pays for Textual.
    from tracker.ui.app import run

    return run(lambda: _opened(path))


def _opened(path: Path) -> Desk:
    # On the screens' own thread, so that the first picture does not wait for the database library.
    from tracker.services.desk import open_desk

    return open_desk(path)


def demo(
    keep: Annotated[Path | None, typer.Option(help="Keep the demo's store at this path.", show_default=False)] = None,
    print_: Annotated[bool, typer.Option("--print", help="Show its status instead, and end.")] = False,
) -> None:
    """Build the demo site and open it."""
    from tracker.report.overview_text import status_text
    from tracker.report.text import show
    from tracker.services.demo import build_demo
    from tracker.services.overview import status

    with tempfile.TemporaryDirectory(prefix="sabinry-demo-") as folder:
        path = keep if keep is not None else Path(folder) / "demo.db"
        desk = build_demo(path)
        try:
            if print_:
                show(status_text(status(desk)))
                return
        finally:
            desk.close()
        raise typer.Exit(open_screens(path))


def new(context: typer.Context, file: Annotated[Path, typer.Argument(help="The site file (TOML).")]) -> None:
    """Make the store from a site file; an existing store is never overwritten."""
    from tracker.services.setup import first_cautions, new_site

    path = store_of(context)
    desk = new_site(path, file)
    try:
        site = desk.standing().site
        counted = ((len(site.rooms), "room"), (len(site.planes), "plane"), (len(site.bays), "bay"),
                   (len(site.items), "item"), (len(site.phases), "phase"))
        typer.echo(f"{site.name}: {', '.join(f'{n} {word}' + 's' * (n != 1) for n, word in counted)}; stored in {path}")
        for caution in first_cautions(site):
            typer.echo(f"Caution: {caution}")
    finally:
        desk.close()
