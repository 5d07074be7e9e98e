"""From the text of a site file to a site, or to all that is wrong with it."""

from __future__ import annotations

import tomllib
from pathlib import Path

from tracker.domain.errors import Refused
from tracker.domain.site import Site
from tracker.services.site_file.building import Builder
from tracker.services.site_file.faults import FileFaults, Gathered, in_file_order
from tracker.services.site_file.reading_tables import read_tables
from tracker.services.site_file.syntax import said_of


def read_site(path: Path) -> Site:
    """The site a file describes; Refused where it is no TOML, FileFaults with table, key and value of all that is
    wrong in it otherwise."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise Refused(f"{path.name}: not UTF-8 text (byte {error.start}); save it as UTF-8") from error
    except FileNotFoundError as error:
        raise Refused(f"{path}: there is no such file; check its name") from error
    except OSError as error:
        raise Refused(f"{path}: can't be read ({error.strerror}); name a site file") from error
    try:
        raw = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # as TOML, or as a number of thousands of digits
        raise Refused(f"{path.name}: {said_of(error, text)}") from error
    tables, faults = read_tables(raw)
    found = Gathered(faults)
    site = Builder(tables, found).site()
    if site is None:
        raise FileFaults(path.name, in_file_order(found.faults, raw, text))
    return site
