"""Quantities as people write them, for the items of one site."""

from __future__ import annotations

from difflib import get_close_matches

from tracker.domain.errors import Refused
from tracker.domain.site import Item, Site
from tracker.measures import MeasureError, read_quantity, show_quantity


def find_item(site: Site, name: str) -> Item:
    """The item of that name; Refused with the nearest names where there is none."""
    item = site.item.get(name.strip())
    if item is None:
        close = get_close_matches(name, site.item, n=3, cutoff=0.4) or list(site.item)[:4]
        raise Refused(f"{name}: no item of that name; did you mean {', '.join(close)}?")
    return item


def quantity_of(site: Site, item: Item, text: str, *, allow_zero: bool = False) -> float:
    """The quantity written, in the item's unit."""
    try:
        return read_quantity(text, form=item.form, unit=site.unit, pack=item.pack, item_unit=item.unit,
                             what=item.name, allow_zero=allow_zero)
    except MeasureError as error:
        raise Refused(str(error)) from error


def shown(site: Site, item: Item, quantity: float) -> str:
    """A quantity of the item as the site's person reads it."""
    return show_quantity(quantity, item.unit, site.unit)
