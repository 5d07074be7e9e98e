"""Lengths and quantities of a site file, read in the site's unit."""

from __future__ import annotations

from typing import Any

from tracker.domain.errors import Refused
from tracker.measures import MeasureError, SiteUnit, read_length, read_quantity, show_length
from tracker.services.site_file.faults import Gathered, Loc, Unjudged, judged
from tracker.services.site_file.tables import UNREAD


class Lengths:
    """Reads in the unit of `[site]`; nothing can be read where that can't."""

    def __init__(self, unit: Any, found: Gathered) -> None:
        self._unit = unit
        self._found = found

    @property
    def unit(self) -> SiteUnit:
        """The site's unit, or mm for an example where it could not be read."""
        return "mm" if self._unit is UNREAD else self._unit

    def length(self, value: Any, where: str, key: str, *, position: bool = False) -> float:
        """A length, m; a position may be 0."""
        try:
            return read_length(judged(value), judged(self._unit), what=key, position=position)
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error

    def noted(self, value: Any, where: str, key: str, loc: Loc, *, position: bool = False) -> float | None:
        """The same, or None where there is none or what is there can't be read, which is noted."""
        if value is None:
            return None
        with self._found.at(*loc):
            return self.length(value, where, key, position=position)
        return None

    def pair(self, values: Any, where: str, key: str, loc: Loc, *, position: bool = False) -> tuple[float, ...]:
        """Lengths beside one another, m, each noted where it can't be read; Unjudged then."""
        read = [self.noted(value, where, key, loc, position=position) for value in judged(values)]
        if None in read:
            raise Unjudged
        return tuple(value for value in read if value is not None)

    def quantity(self, value: Any, where: str, key: str, *, form: str, unit: str, pack: float,
                 allow_zero: bool = False) -> float:
        """A quantity of an item, in the item's unit."""
        try:
            return read_quantity(judged(value), form=form, unit=judged(self._unit), pack=pack, item_unit=unit, what=key,
                                 allow_zero=allow_zero)
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error

    def show(self, length_m: float) -> str:
        return show_length(length_m, self.unit)
