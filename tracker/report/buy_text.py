"""The shopping list as text: a line an item, when to order, and how ordering by area alone compares."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_length, show_money, show_quantity
from tracker.report.text import heading, stacked, table
from tracker.services.stock_answers import BuyLine, Shopping

TOLD_RISK = 0.05
"""Items that are enough by the plan are named where their chance of running short is above this."""


def shopping_text(shopping: Shopping, unit: str) -> RenderableType:
    """What to order, in packs, with cost, chance of running short and the last day to order."""
    parts: list[RenderableType] = [heading(shopping.site)]
    if shopping.items:
        parts += [
            table(["item", "short", "packs", "comes to", f"cost {shopping.currency}", "runs short", "order by"],
                  [_row(one, unit) for one in shopping.items], right=(1, 2, 3, 4, 5, 6)),
            Text(f"In all {show_money(shopping.total_cost, shopping.currency)}. Wire, board and fire rules: buy what "
                 "your local code accepts as one assembly."),
            *(Text(line) for line in _notes(shopping, unit))]
    else:
        parts.append(Text("Nothing to order: what is on hand and on order is enough."))
    likely = [f"{one.item} ({chance(one.risk)})" for one in shopping.enough if one.risk > TOLD_RISK]
    if not shopping.plan_kept:
        parts.append(Text("No cutting plan is kept for all of it: `need` plans the cuts together and keeps the plan, "
                          "and may need less."))
    if likely and shopping.risk is None:
        parts.append(Text(f"Enough by the plan, but with a chance of running short: {', '.join(likely)}. "
                          f"`buy --risk {TOLD_RISK:g}` says what more to order."))
    return stacked(*parts)


def chance(risk: float) -> str:
    """A chance as a person reads it: whole per cent, and never none, or certain where it is not."""
    per_cent = 100 * risk
    if per_cent < 1:
        return "under 1 %"
    return "over 99 %" if 99 < per_cent < 100 else f"{per_cent:.0f} %"


def _row(line: BuyLine, unit: str) -> list[str]:
    return [line.item, show_quantity(line.need, line.unit, unit) if line.need else "-",
            "-" if line.unit == "m" else f"{line.packs:g} x {line.pack:g}",
            show_quantity(line.quantity, line.unit, unit), "-" if line.cost is None else f"{line.cost:.2f}",
            chance(line.risk), line.order_by.isoformat() if line.order_by else f"{_days(line.lead_days)} ahead"]


def _notes(shopping: Shopping, unit: str) -> Iterator[str]:
    for line in shopping.items:
        if line.late_days and line.need > 0:
            yield f"{line.item}: order today: late by {_days(line.late_days)} for {line.needed_for}."
        elif line.late_days:
            yield (f"{line.item}: the plan has enough; this is in reserve for pieces spoiled, and ordered today it "
                   f"comes {_days(line.late_days)} after {line.needed_for} is begun.")
    for line in shopping.items:
        if line.floor_area_packs is not None:
            yield _by_area(line, shopping.currency, unit)
    by_rate: dict[str, list[str]] = {}
    for line in shopping.items:
        by_rate.setdefault(f"{100 * line.spoil_rate:.1f} %", []).append(line.item)
    rates = (f"{next(iter(by_rate))} of pieces" if len(by_rate) == 1 else
             "; ".join(f"{rate} of {', '.join(items)}" for rate, items in by_rate.items()))
    error = ("a class II tape's" if shopping.error_m is None else
             f"{show_length(shopping.error_m, unit)} (one standard deviation)" if shopping.error_m else "none")
    yield f"Runs short: the work played through with {rates} spoiled; error of a measured length: {error}."


def _by_area(line: BuyLine, currency: str, unit: str) -> str:
    left = line.floor_area_left or 0.0
    packs = f"{line.floor_area_packs:g} x {line.pack:g}" if line.floor_area_packs else "no pack"
    said = f"{line.item}: ordering by area alone would buy {packs}"
    if line.cost is not None and line.floor_area_cost is not None:
        more = round(line.floor_area_cost - line.cost, 2)
        said += f", {show_money(abs(more), currency)} {'more' if more > 0 else 'less'}" if more else ", same cost"
    told = show_quantity(abs(left), line.unit, unit)
    said += (f"; {told} short of the plan" if left < 0 else f"; {told} over the plan" if left else
             "; just what the plan takes")
    return f"{said}; runs short {chance(line.floor_area_risk or 0.0)}."


def _days(count: int) -> str:
    return f"{count} day" if count == 1 else f"{count} days"
