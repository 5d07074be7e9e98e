"""Verbs that make a store or open the screens on it: demo, new and serve."""

from __future__ import annotations

import tempfile
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.store_choice import desk_of, store_of

if TYPE_CHECKING:
    from tracker.services.desk import Desk


def register(app: typer.Typer) -> None:
    app.command("demo")(demo)
    app.command("new")(new)
    app.command("serve")(serve)


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
    recordings: Annotated[Path | None, typer.Option(
        help="Instead simulate recordings of a sweep in the demo's room into this folder, bare and after its first "
        "phase, to try `sweep read` on; and end.", show_default=False)] = None,
) -> None:
    """Build the demo site and open it."""
    if recordings is not None:
        return _simulate(recordings)
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
        ended = open_screens(path)
        if keep is None:
            typer.echo("That demo is gone with all that was done in it; `demo --keep FILE` keeps one.", err=True)
        raise typer.Exit(ended)


def _simulate(into: Path) -> None:
    from tracker.services.demo import make_recordings

    for one in make_recordings(into):
        typer.echo(str(one))
    typer.echo(f"Read one with `sabinry sweep read FILE --signal {into / 'sweep.wav'}`; --as NAME keeps it.")


def new(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="The site file (TOML).")],
    check: Annotated[bool, typer.Option("--check", help="Only read the file and say what is in it; store nothing.")]
    = False,
) -> None:
    """Make the store from a site file; an existing store is never overwritten."""
    from tracker.services.setup import first_cautions, new_site
    from tracker.services.site_file import FileFaults, read_site

    path = store_of(context)
    try:
        if check:
            site = read_site(file)
        else:
            with closing(new_site(path, file)) as desk:
                site = desk.standing().site
    except FileFaults as faults:
        for line in faults.lines:
            typer.echo(f"sabinry: {line}", err=True)
        raise typer.Exit(2) from faults
    counted = ((len(site.rooms), "room"), (len(site.planes), "plane"), (len(site.bays), "bay"),
               (len(site.items), "item"), (len(site.phases), "phase"))
    typer.echo(f"{site.name}: {', '.join(f'{n} {word}' + 's' * (n != 1) for n, word in counted)}; "
               f"{'nothing is stored' if check else f'stored in {path}'}")
    for caution in first_cautions(site):
        typer.echo(f"Caution: {caution}")


def serve(
    context: typer.Context,
    host: Annotated[str, typer.Option(help="The address to listen on; this machine only if left out.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="The port to listen on.", min=1, max=65535)] = 8000,
) -> None:
    """Show the same screens in a browser, on this machine unless told otherwise."""
    # A store that can't be used is said here, not in every visitor's browser.
    with desk_of(context):
        pass
    from tracker.ui.browser import serve as serve_screens

    raise typer.Exit(serve_screens(store_of(context), host, port, typer.echo))
