"""Items with amounts as they are typed of a stretch of work: `wool board 50 = 1`, `1 wool 50`, or a bare `1`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Item, Site, Step, Task
from tracker.domain.work.material import Shapes, track_item
from tracker.measures import quoted
from tracker.measures.units import NUMBER
from tracker.services.quantities import find_item, items_like, quantity_of

Pairs = tuple[tuple[str, str], ...]
Amounts = tuple[tuple[str, float], ...]
"""(item, quantity in its unit)."""


def items_of_step(site: Site, unit: Bay | Task, step: Step | None) -> tuple[str, ...]:
    """The items that a step of a bay, or a task, is made of."""
    if isinstance(unit, Task):
        return tuple(item for item, _ in unit.needs)
    build_up = site.build_up[unit.build_up]
    if step == "track":
        sticks = (track_item(site, unit, run) for run in Shapes(site).runs(unit))
        return tuple(item for item in dict.fromkeys((*sticks, *(one.item for one in build_up.each))) if item)
    item = {"infill": build_up.infill, "fabric": build_up.fabric}.get(step or "")
    return (item,) if item else ()


_SEVERAL = re.compile(r",\s|\band\b")
"""What parts two items in a sentence, and is not read here."""


@dataclass(frozen=True)
class AmountReader:
    """Reads the amounts of one field; a bare figure is of the one item that the step uses."""

    site: Site
    field: str
    """What the amounts are of: `used` or `spoiled`."""
    likely: tuple[str, ...]
    """The items that the step uses."""

    def read(self, said: str | Pairs) -> Amounts:
        """Items with quantities, from words with `;` between two, or from pairs; Refused names what can't be read.

        An item that is said twice counts for both.
        """
        found: dict[str, float] = {}
        for item, quantity in self._each(said):
            found[item] = found.get(item, 0.0) + quantity
        return tuple(found.items())

    def _each(self, said: str | Pairs) -> Iterator[tuple[str, float]]:
        if isinstance(said, str):
            yield from (self._one(part.strip()) for part in said.split(";") if part.strip())
        else:
            yield from (self._paired(name, quantity) for name, quantity in said)

    def _one(self, text: str) -> tuple[str, float]:
        name, mark, quantity = text.rpartition("=")
        if mark:
            if not name.strip() or not quantity.strip():
                raise self._refused(text, f"write {self._example}")
            return self._paired(name.strip(), quantity.strip())
        whole = items_like(self.site, text)
        if whole and not self._is_bare(text):
            raise self._refused(text, f"say how much of it; write e.g. {whole[0].name} = 1")
        found = self._beside_a_whole_name(text) or self._bare(text) or self._before_a_part_of_a_name(text)
        if found is None:
            raise self._unread(text)
        return found

    def _is_bare(self, text: str) -> bool:
        """A figure alone, or with the unit of something that the step uses, though an item's name have it too."""
        units = {self.site.item[name].unit for name in self.likely}
        return bool(self.likely) and (re.fullmatch(NUMBER, text) is not None or _unit_of(text) in units)

    def _unread(self, text: str) -> Refused:
        could = self._could_be(text)
        if len(could) > 1:
            return self._of_several(text, could)
        between = ", with ; between two items" if _SEVERAL.search(text) else ""
        return self._refused(text, f"cannot read that as an item and how much of it; write {self._example}{between}")

    def _of_several(self, text: str, could: list[str]) -> Refused:
        return self._refused(text, f"that could be of {', '.join(could[:-1])} or {could[-1]}; "
                                   f"write e.g. {could[0]} = 1")

    def _could_be(self, text: str) -> list[str]:
        """Items that an amount with a part of a name, or with a unit that the step's items do not have, may be of."""
        named = next((found for amount, name in _parted(text) if _begins_with_a_figure(amount)
                      if (found := items_like(self.site, name))), ())
        return [item.name for item in named or self.site.items if named or item.unit == _unit_of(text)]

    def _paired(self, name: str, quantity: str) -> tuple[str, float]:
        item = self._likeliest(name) or find_item(self.site, name)
        return item.name, self._quantity(item, quantity)

    def _likeliest(self, name: str) -> Item | None:
        """The one item that a name, or a part of one, can mean: where several can, the one that the step uses."""
        found = items_like(self.site, name)
        here = [item for item in found if item.name in self.likely]
        return found[0] if len(found) == 1 else here[0] if len(here) == 1 else None

    def _beside_a_whole_name(self, text: str) -> tuple[str, float] | None:
        """`1 wool board 50` and `wool board 50 1`: an amount before or after an item's whole name."""
        refusal: Refused | None = None
        for amount, name in (*_parted(text), *((end, begin) for begin, end in _parted(text))):
            item = next((one for one in self.site.items if one.name.casefold() == name.casefold()), None)
            if item is None or not _begins_with_a_figure(amount):
                continue
            try:
                return item.name, self._quantity(item, amount)
            except Refused as error:
                refusal = refusal or error
        if refusal is not None:
            raise refusal
        return None

    def _before_a_part_of_a_name(self, text: str) -> tuple[str, float] | None:
        """`1 wool 50`; a part of a name before an amount would let `wool 100` be a hundred of another board."""
        for amount, name in () if _SEVERAL.search(text) else _parted(text):
            item = self._likeliest(name)
            if item is not None and _begins_with_a_figure(amount):
                with suppress(Refused):
                    return item.name, self._quantity(item, amount)
        return None

    def _bare(self, text: str) -> tuple[str, float] | None:
        """`1` and `1 board`: of the one item of that unit that the step uses; None where the text is no amount."""
        fits: list[tuple[str, float]] = []
        refusals: list[Refused] = []
        for name in self.likely:
            try:
                fits.append((name, self._quantity(self.site.item[name], text)))
            except Refused as error:
                refusals.append(error)
        counted_so = [one for one in fits if self.site.item[one[0]].unit == _unit_of(text)]
        if len(fits) == 1 or len(counted_so) == 1:
            return (counted_so or fits)[0]
        if fits:
            raise self._of_several(text, [name for name, _ in fits])
        if not re.fullmatch(rf"[-\u2212]?{NUMBER}\s*\w?\w?", text):
            return None
        if len(refusals) == 1:
            raise refusals[0]
        among = f"this step uses {', '.join(self.likely)}" if self.likely else "this step uses nothing from stock"
        raise self._refused(text, f"{among}; say of which item, e.g. {self._example}")

    def _quantity(self, item: Item, text: str) -> float:
        return quantity_of(self.site, item, text, allow_zero=True)

    @property
    def _example(self) -> str:
        return f"{(*self.likely, *self.site.item, 'item')[0]} = 1"

    def _refused(self, text: str, reason: str) -> Refused:
        return Refused(f"{self.field} {quoted(text)}: {reason}")


def _parted(text: str) -> Iterator[tuple[str, str]]:
    """The text in two, at each space; an `of` between the two is left out."""
    for space in re.finditer(r"\s+(?:of\s+)?", text):
        yield text[:space.start()], text[space.end():]


def _unit_of(text: str) -> str:
    """The unit of an amount, as items have it: `stick` of `2 sticks`; empty where it has none."""
    counted = re.fullmatch(rf"{NUMBER}\s*([a-z]+)", text, re.I)
    return counted[1].casefold().removesuffix("s") if counted else ""


def _begins_with_a_figure(text: str) -> bool:
    return re.match(NUMBER, text) is not None
