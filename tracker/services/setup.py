"""Makes a store from a site file: all of it or nothing."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

from tracker.domain.errors import Refused, Unusable
from tracker.domain.site import Site
from tracker.services.desk import Desk, local_today, open_desk
from tracker.services.site_file import read_site
from tracker.services.sound import room_cautions
from tracker.store import schema
from tracker.store.site_writer import write_site
from tracker.store.store import Store


def new_site(path: Path, site_file: Path, today: Callable[[], date] = local_today) -> Desk:
    """Makes the store at `path` from a site file and opens it; Refused where one is there or the file has an error."""
    if path.exists():
        raise Refused(f"{path}: there is a store already; choose another with --store, or move it away first")
    store_site(path, read_site(site_file), today())
    return open_desk(path, today)


def first_cautions(site: Site) -> tuple[str, ...]:
    """What a new site leaves unsaid that its plans and figures rest on."""
    unsaid = [f"{item.name}: no kerf given, so its cutting plan loses nothing to the saw; give the "
              "width of your blade" for item in site.items
              if item.form == "stick" and item.kerf_m == 0]
    unsaid += [f"{item.name}: no tuck given, so cloth is cut to the bay's own size" for item in site.items
               if item.form == "roll" and item.tuck_m == 0]
    return (*unsaid, *(one for room in site.rooms for one in room_cautions(site, room)))


def store_site(path: Path, site: Site, today: date) -> None:
    """Makes the store at `path` with all of the site in it, or leaves no file."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # Built beside its place and put there in one move, so that a failure leaves no file.
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".new-site-") as folder:
            draft = Path(folder) / "site.db"
            schema.create(draft)
            store = Store(draft)
            with store.fill() as session:
                write_site(session, site, today)
            store.settle()
            store.close()
            _put_in_place(draft, path)
    except OSError as error:
        raise Unusable(f"{path}: can't write there ({error.strerror}); choose another place with --store") from error


def _put_in_place(draft: Path, path: Path) -> None:
    try:
        # A link refuses to overwrite what another program made meanwhile.
        os.link(draft, path)
    except FileExistsError as error:
        raise Refused(f"{path}: another program made a store there; nothing was changed") from error
    except OSError:
        # Some file systems have no links.
        os.replace(draft, path)
