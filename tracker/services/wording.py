"""Notices put into the words and units of the site."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from tracker.domain.site import Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.notices import Notice
from tracker.measures import show_length
from tracker.services.answers import Warned


def warned(site: Site, notice: Notice, where: str | None = None) -> Warned:
    """A notice as a check answers it; `where` names the bay when there is more than one."""
    text = notice.words.format(*(show_length(length, site.unit) for length in notice.lengths_m))
    return Warned(notice.code, f"{where}: {text}" if where else text)


def size_words(site: Site, offcut: Offcut) -> str:
    """An offcut's size in the site's units."""
    length = show_length(offcut.length_m, site.unit)
    return length if offcut.width_m is None else f"{length} x {show_length(offcut.width_m, site.unit)}"


def close_name(name: str, known: Iterable[str]) -> str:
    """`; did you mean ...?` where a known name comes near, else nothing."""
    close = get_close_matches(name, list(known), n=3, cutoff=0.5)
    return f"; did you mean {', '.join(close)}?" if close else ""
