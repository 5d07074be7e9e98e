"""Quantities as people write them, for the items of one site."""

from __future__ import annotations

from difflib import get_close_matches

from tracker.domain.errors import Refused
from tracker.domain.site import Item, Site
from tracker.measures import MeasureError, read_quantity, show_quantity


def find_item(site: Site, name: str) -> Item:
    """The item of that name, or the only one with those words in its name; else Refused with the nearest names."""
    found = items_like(site, name)
    if len(found) == 1:
        return found[0]
    close = [item.name for item in found[:4]] or get_close_matches(name, site.item, n=3, cutoff=0.4)
    raise Refused(f"{name}: no item of that name; did you mean {', '.join(close or list(site.item)[:4])}?")


def items_like(site: Site, name: str) -> tuple[Item, ...]:
    """The item of that name, else those whose names have its words in that order, whatever stands between."""
    if name.strip() in site.item:
        return (site.item[name.strip()],)
    words = name.casefold().split()
    same = tuple(item for item in site.items if item.name.casefold().split() == words)
    return same or tuple(item for item in site.items if words and _in_order(words, item.name))


def _in_order(words: list[str], name: str) -> bool:
    left = iter(_stem(word) for word in name.casefold().split())
    return all(_stem(word) in left for word in words)


def _stem(word: str) -> str:
    """A word without the mark of the plural."""
    return word.removesuffix("s") if len(word) > 3 else word


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
