"""Items and build-ups of a site file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from tracker.domain.errors import Refused
from tracker.domain.site import BuildUp, Fixing, Item
from tracker.domain.sound.build_up import build_up_alpha
from tracker.services.site_file.faults import Fault, Gathered, judged
from tracker.services.site_file.lengths import Lengths
from tracker.services.site_file.names import names_in, refuse_unknown, shown_name, tables_in
from tracker.services.site_file.sizes import in_quotes
from tracker.services.site_file.tables import UNREAD, BuildUpTable, ItemTable

_SIZES = {"board": ("size",), "stick": ("length",), "roll": ("width",), "each": (), "bulk": ()}
_UNITS = {"board": "board", "stick": "stick", "roll": "m", "each": "piece"}
_ALLOWANCES = ("face", "kerf", "tuck", "waste_below")
_LAYERS = {"infill": ("board",), "fabric": ("roll",), "edge": ("stick",), "joint": ("stick",)}
_FIXINGS = ("each", "bulk")


class ItemReader:
    """Reads the items, then the build-ups made of them."""

    def __init__(self, tables: Any, lengths: Lengths, found: Gathered) -> None:
        self._lengths = lengths
        self._found = found
        self._names = names_in(tables)
        self._tables: dict[Any, tuple[int, ItemTable]] = {}
        self.items: dict[Any, Item | None] = {}
        """Items by name; None for one that can't be read."""
        for number, one in enumerate(tables_in(tables)):
            self._tables.setdefault(one.name, (number, one))
            self.items.setdefault(one.name, self._item(number, one))

    def counted(self, where: str, key: str, name: Any) -> dict[str, Any]:
        """How the item of a name is counted: form, unit and pack; Unjudged where those can't be read."""
        refuse_unknown(where, key, name, self._names)
        one = self._tables[name][1]
        return {"form": judged(one.form), "unit": judged(_unit(one)), "pack": judged(one.pack)}

    def _item(self, number: int, one: ItemTable) -> Item | None:
        where, loc = f'[[item]] "{shown_name(one.name, number)}"', ("item", number)
        before = len(self._found.faults)
        if one.form is not UNREAD:
            self._found.faults += [Fault((*loc, key), f"{where}: {said}") for key, said in _misfits(one)]
        length, width = (one.length, one.width) if one.size is None else (
            (UNREAD, UNREAD) if one.size is UNREAD else one.size)
        figures = {key: self._lengths.noted(value, where, name, (*loc, name), position=key in _ALLOWANCES)
                   for key, name, value in (
                       ("length", "length" if one.size is None else "size", length),
                       ("width", "width" if one.size is None else "size", width), ("depth", "depth", one.depth),
                       *((key, key, getattr(one, key)) for key in _ALLOWANCES))}
        laid = {key: self._lengths.noted(getattr(one, key), where, key, (*loc, key), position=True)
                for key in ("sliver", "hairline")}
        shorter = min(size for size in (figures["length"], figures["width"], math.inf) if size is not None)
        for key, size in laid.items():
            with self._found.at(*loc, key):
                if one.form == "board" and size is not None and size > shorter / 2:
                    raise Refused(f"{where}: {key} is over half the board's shorter side; no layout could keep to it")
        on_hand = None
        with self._found.at(*loc, "on_hand"):
            on_hand = self._lengths.quantity(one.on_hand, where, "on_hand", form=judged(one.form),
                                             unit=judged(_unit(one)), pack=judged(one.pack), allow_zero=True)
        if self._found.since(before) or on_hand is None or UNREAD in vars(one).values():
            return None
        return Item(
            name=one.name, form=one.form, length_m=figures["length"], width_m=figures["width"],
            depth_m=figures["depth"], density_kg_m3=one.density, flow_resistivity_pa_s_m2=one.flow_resistivity,
            face_m=figures["face"], kerf_m=figures["kerf"], tuck_m=figures["tuck"],
            waste_below_m=figures["waste_below"], pack=one.pack, price=one.price, lead_days=one.lead_days,
            on_hand=on_hand, turnable=one.turnable, dye_lot=one.dye_lot, unit=_unit(one),
            flow_resistance_pa_s_m=one.flow_resistance, weight_kg=one.weight, sliver_m=laid["sliver"],
            hairline_m=laid["hairline"], face_down=one.face_down is not False)

    def build_up(self, number: int, one: BuildUpTable) -> BuildUp | None:
        """A build-up with its layers; None where something in it can't be read."""
        where, loc = f'[[build_up]] "{shown_name(one.name, number)}"', ("build_up", number)
        before = len(self._found.faults)
        for key, forms in _LAYERS.items():
            with self._found.at(*loc, key):
                if getattr(one, key) is not None:
                    self._refuse_other_form(where, key, getattr(one, key), forms)
        gap_m = self._lengths.noted(one.gap, where, "gap", (*loc, "gap"), position=True)
        fixings = []
        for name, value in () if one.each is UNREAD else one.each.items():
            with self._found.at(*loc, "each", name):
                self._refuse_other_form(where, "each", name, _FIXINGS)
            spacing = self._lengths.noted(value, where, f"each {name}", (*loc, "each", name))
            fixings.append(Fixing(name, spacing or 0.0))
        self._note_unfit_infill(where, loc, one, gap_m)
        if self._found.since(before) or gap_m is None or UNREAD in vars(one).values():
            return None
        return BuildUp(name=one.name, infill=one.infill, gap_m=gap_m, fabric=one.fabric, edge=one.edge,
                       joint=one.joint, each=tuple(fixings), alpha=None if one.alpha is None else tuple(one.alpha))

    def _refuse_other_form(self, where: str, key: str, name: Any, forms: tuple[str, ...]) -> None:
        refuse_unknown(where, key, name, self._names)
        form = judged(self._tables[name][1].form)
        if form not in forms:
            raise Refused(f'{where}: {key} = "{name}" is a {form}; it takes a {" or ".join(forms)}')

    def _note_unfit_infill(self, where: str, loc: tuple[str | int, ...], one: BuildUpTable,
                           gap_m: float | None) -> None:
        number, table = self._tables.get(one.infill, (0, None))
        if one.infill is UNREAD or table is None or table.form != "board":
            return
        if table.depth is None:
            with self._found.at("item", number, "depth"):
                raise Refused(f'[[item]] "{one.infill}": depth is missing; a board used as infill needs its thickness')
        board = self.items[one.infill]
        if one.alpha is None and board is not None and board.depth_m is not None and gap_m is not None:
            with self._found.at(*loc, "infill"):
                _refuse_no_coefficient(where, board, gap_m)


def _refuse_no_coefficient(where: str, board: Item, gap_m: float) -> None:
    """Refused here, since every figure of the room would be refused later."""
    try:
        build_up_alpha(board.depth_m or 0.0, board.density_kg_m3, board.flow_resistivity_pa_s_m2, gap_m)
    except Refused as error:
        raise Refused(f'{where}: infill = "{board.name}": {error}') from error


def _unit(one: ItemTable) -> Any:
    return one.unit or "unit" if one.form == "bulk" else _UNITS.get(one.form, UNREAD)


def _misfits(one: ItemTable) -> Iterator[tuple[str, str]]:
    """The keys that do not go with the item's form, and what to do about each."""
    if one.form == "board" and one.size is None and one.length is not None and one.width is not None:
        yield "length", "a board takes one size, not length and width; write " + (
            "size = [length, width]" if UNREAD in (one.length, one.width) else
            f"size = [{_written(one.length)}, {_written(one.width)}]")
    else:
        for key in ("size", "length", "width"):
            given, wanted = getattr(one, key) is not None, key in _SIZES[one.form]
            if given != wanted:
                yield key, f"{key} {'does not belong to' if given else 'is missing: it belongs to'} a {one.form}"
    if one.unit not in (None, UNREAD) and one.form != "bulk":
        yield "unit", f'unit = "{one.unit}": only bulk has a unit of its own; leave it out'
    if one.flow_resistance is not None and one.form != "roll":
        yield "flow_resistance", ("flow_resistance is a cloth's, in Pa s/m; a board has flow_resistivity, "
                                  "in Pa s/m2")
    if one.weight is not None and one.form not in ("roll", "stick"):
        yield "weight", "weight is a cloth's (kg/m2) or a track's (kg/m); a board has density, in kg/m3"
    for key in ("sliver", "hairline", "face_down"):
        if getattr(one, key) is not None and one.form != "board":
            yield key, f"{key} is about how boards are laid; leave it out of a {one.form}"
    if one.pack is not UNREAD and one.form == "roll" and one.pack != 1:
        yield "pack", f"pack = {one.pack:g}: a roll is sold by length; leave it out"
    elif one.pack is not UNREAD and one.form != "bulk" and one.pack != int(one.pack):
        yield "pack", f"pack = {one.pack:g}: must be a whole number"


def _written(value: str | int | float) -> str:
    return in_quotes(value) if isinstance(value, str) else str(value)
