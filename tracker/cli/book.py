"""Verbs that move stock: order, receive, count, spoil and return."""

from __future__ import annotations

from typing import Annotated

import typer

from tracker.cli.answering import tell
from tracker.cli.choices import read_day
from tracker.cli.store_choice import desk_of

ItemName = Annotated[str, typer.Argument(help="The item's name.")]
Quantity = Annotated[str, typer.Argument(help="How much: `2 packs`, `7`, `14.5 m`.")]
Note = Annotated[str, typer.Option(help="A note for the book.", show_default=False)]


def register(app: typer.Typer) -> None:
    app.command("order")(order)
    app.command("receive")(receive)
    app.command("count")(count)
    app.command("spoil")(spoil)
    app.command("return")(send_back)


def order(
    context: typer.Context, item: ItemName, qty: Quantity, note: Note = "",
    due: Annotated[str | None, typer.Option(help="The day it is due, e.g. fri, 4 dec or in 3 days; else the "
                                                 "item's lead time.", show_default=False)] = None,
) -> None:
    """Write down what was ordered, and when it is due."""
    from tracker.services.stock import place_order

    with desk_of(context) as desk:
        tell(place_order(desk, item, qty, None if due is None else read_day(due, desk.today()), note))


def receive(
    context: typer.Context, item: ItemName, qty: Quantity, note: Note = "",
    lot: Annotated[str | None, typer.Option(help="Dye lot of a roll.", show_default=False)] = None,
) -> None:
    """Take a delivery into stock; it fills the open order that is due first."""
    from tracker.services.stock import take_delivery

    with desk_of(context) as desk:
        tell(take_delivery(desk, item, qty, lot, note))


def count(context: typer.Context, item: ItemName, qty: Quantity, note: Note = "") -> None:
    """Set the book right with what is really there, offcuts apart."""
    from tracker.services.stock import count_stock

    with desk_of(context) as desk:
        tell(count_stock(desk, item, qty, note))


def spoil(context: typer.Context, item: ItemName, qty: Quantity, note: Note = "") -> None:
    """Write off stock that was spoiled outside a day's work."""
    from tracker.services.stock import spoil_stock

    with desk_of(context) as desk:
        tell(spoil_stock(desk, item, qty, note))


def send_back(context: typer.Context, item: ItemName, qty: Quantity, note: Note = "") -> None:
    """Send stock back to where it was bought."""
    from tracker.services.stock import return_stock

    with desk_of(context) as desk:
        tell(return_stock(desk, item, qty, note))
