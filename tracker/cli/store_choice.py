"""Which store a verb works on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs
import typer

if TYPE_CHECKING:
    from tracker.services.desk import Desk



@dataclass(frozen=True, slots=True)
class StoreChoice:
    path: Path | None


def store_of(context: typer.Context) -> Path:
    """The store named by --store or SABINRY_STORE, else the one in the user data folder."""
    choice = context.find_object(StoreChoice)
    if choice is not None and choice.path is not None:
        return choice.path
    return Path(platformdirs.user_data_dir("sabinry", appauthor=False)) / "site.db"


@contextmanager
def desk_of(context: typer.Context) -> Iterator[Desk]:
    """The chosen store, open for one verb."""
    from tracker.services.desk import open_desk

    desk = open_desk(store_of(context))
    try:
        yield desk
    finally:
        desk.close()
