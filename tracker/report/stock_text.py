"""Stock as text."""

from __future__ import annotations

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_length, show_quantity
from tracker.report.text import bare_quantity, heading, stacked, table
from tracker.services.stock_answers import OffcutView, Stock


def stock_text(stock: Stock, unit: str) -> RenderableType:
    """Every item's figures, then the offcuts by item."""
    lines = table(
        ["item", "on hand", "held", "needed", "on order", "due", "short"],
        [[one.item, show_quantity(one.on_hand, one.unit, unit),
          *(bare_quantity(amount, one.unit, unit) for amount in (one.held, one.needed, one.on_order)),
          "-" if one.due is None else one.due.isoformat(),
          Text(show_quantity(one.short, one.unit, unit), style="bold red" if one.short else "dim")]
         for one in stock.items], right=(1, 2, 3, 4, 6))
    offcuts = [[cut.id, cut.item, offcut_size(cut, unit), _origin(cut)] for one in stock.items for cut in one.offcuts]
    rack = table(["offcut", "of", "size", "from"], offcuts) if offcuts else None
    return stacked(heading(stock.site), lines, Text("") if rack else None, rack)


def _origin(offcut: OffcutView) -> str:
    return f"is {offcut.piece}, cut and waiting" if offcut.piece else offcut.made_by


def offcut_size(offcut: OffcutView, unit: str) -> str:
    """An offcut's size in the site's units."""
    length = show_length(offcut.length_m, unit)
    return length if offcut.width_m is None else f"{length} x {show_length(offcut.width_m, unit)}"
