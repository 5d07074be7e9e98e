"""From the text of a site file to a site; the first thing that is wrong is said in one line."""

from __future__ import annotations

import tomllib
from pathlib import Path

from pydantic import ValidationError

from tracker.domain.errors import Refused
from tracker.domain.site import Site
from tracker.services.site_file.building import Builder
from tracker.services.site_file.invalid import first_fault
from tracker.services.site_file.tables import FileTables


def read_site(path: Path) -> Site:
    """The site a file describes; Refused with file, table, key and value where something is wrong."""
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
        raise Refused(f"{path.name}: not TOML: {error}; mend that line") from error
    try:
        tables = FileTables.model_validate(raw)
    except ValidationError as error:
        raise Refused(f"{path.name}: {first_fault(error, raw)}") from error
    try:
        return Builder(tables).site()
    except Refused as error:
        raise Refused(f"{path.name}: {error}") from error
