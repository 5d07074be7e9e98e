"""What the stock is, what moved it and what is to be bought, as services answer it. SI, units in the names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class OffcutView:
    id: str
    item: str
    length_m: float
    width_m: float | None
    """None for a stick."""
    made_by: str
    """Where it came from, e.g. `north/left, 2026-03-04`."""
    piece: str
    """The piece of the cut list it is, cut and waiting; empty for a remainder."""


@dataclass(frozen=True, slots=True)
class StockLine:
    item: str
    form: str
    unit: str
    on_hand: float
    held: float
    needed: float
    """For all that remains of the site, over and above offcuts."""
    on_order: float
    due: date | None
    short: float
    pack: float
    price: float | None
    offcuts: tuple[OffcutView, ...]
    dye_lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    site: str
    items: tuple[StockLine, ...]


@dataclass(frozen=True, slots=True)
class MovementView:
    id: int
    date: date
    item: str
    unit: str
    kind: str
    """delivery, use, spoil, count, return, order, opening."""
    quantity: float
    """Signed change of what is on hand; an order's or a count's own quantity."""
    note: str
    entry: int | None


@dataclass(frozen=True, slots=True)
class BuyLine:
    item: str
    unit: str
    need: float
    """Still short after what is on order."""
    packs: float
    """Packs to order (roll: the length)."""
    pack: float
    quantity: float
    cost: float | None
    lead_days: int
    floor_area_packs: float | None
    """What ordering by area alone would have bought, for comparison; boards only."""
    spoil_rate: float = 0.0
    """Share of pieces taken to be spoiled: the person's own, with the first assumption."""
    risk: float = 0.0
    """Chance of running short with these packs, 0 to 1."""
    order_by: date | None = None
    """The last day to order it, so that it is there when the first work short of it begins; None: no hours planned."""
    late_days: int = 0
    """Days since then, 0 where it is not past."""
    needed_for: str | None = None
    """The first work that is short of it."""
    floor_area_cost: float | None = None
    floor_area_left: float | None = None
    """What ordering by area alone would leave over of the plan, in `unit`; below nothing: what it would lack."""
    floor_area_risk: float | None = None


@dataclass(frozen=True, slots=True)
class EnoughLine:
    """An item that is enough by the plan, and may still run short where pieces are spoiled."""

    item: str
    unit: str
    risk: float
    """Chance of running short with what is on hand and on order, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Shopping:
    site: str
    target: str | None
    currency: str
    items: tuple[BuyLine, ...]
    total_cost: float
    risk: float | None = None
    """The chance of running short that was asked for; None: the plan's own need."""
    error_m: float | None = None
    """Standard deviation of a measured length; None: that of a class II tape."""
    enough: tuple[EnoughLine, ...] = ()
    plan_kept: bool = True
    """False where something is still to be cut that no kept cutting plan has."""
