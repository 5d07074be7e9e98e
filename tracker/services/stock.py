"""Stock: what is there, and the movements a person makes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from tracker.domain.errors import Refused
from tracker.domain.site import Item
from tracker.domain.stock.ledger import Kind, Movement, Order, refuse_below_zero
from tracker.measures import show_day
from tracker.services.allotment import allot
from tracker.services.answers import Outcome
from tracker.services.desk import Desk, Standing
from tracker.services.quantities import find_item, quantity_of, shown
from tracker.services.stock_answers import MovementView, OffcutView, Stock, StockLine
from tracker.store.amounts import whole
from tracker.store.store import WriteSession
from tracker.store.tables import MovementRow

BOOK_CHANGED = frozenset({"stock", "plan"})
FAR_OFF = timedelta(days=183)
"""An order that is due later is stored with a caution: a date without a year may be meant otherwise. Common practice,
no source."""


def stock(desk: Desk) -> Stock:
    """Every item: on hand, held, needed, on order and short, with its offcuts."""
    now = desk.standing()
    held = allot(now)
    lines = []
    for item in now.site.items:
        balance = now.pool.balance(item.name)
        needed = held.needed.get(item.name, 0.0)
        short = max(0.0, round(needed - balance.on_hand, 6))
        lines.append(StockLine(
            item=item.name, form=item.form, unit=item.unit, on_hand=balance.on_hand,
            held=min(needed, balance.on_hand), needed=needed, on_order=balance.on_order,
            due=balance.due_for(short or balance.on_order), short=short, pack=item.pack, price=item.price,
            offcuts=tuple(OffcutView(one.id, one.item, one.length_m, one.width_m, one.made_by, one.piece)
                          for one in now.pool.offcuts if one.item == item.name),
            dye_lots=balance.lots))
    return Stock(now.site.name, tuple(lines))


def movements(desk: Desk, item: str) -> tuple[MovementView, ...]:
    """The movements behind an item's figures, newest first."""
    now = desk.standing()
    found = find_item(now.site, item)
    return tuple(MovementView(id=line.id, date=line.movement.on, item=found.name, unit=found.unit,
                              kind=line.movement.kind, quantity=line.movement.quantity, note=line.note,
                              entry=line.entry)
                 for line in reversed(now.book.get(found.name, ())))


def place_order(desk: Desk, item: str, qty: str, due: date | None = None, note: str = "") -> Outcome:
    """Writes down an order; without a date it is due after the item's lead time."""
    now = desk.standing()
    found = find_item(now.site, item)
    quantity = quantity_of(now.site, found, qty)
    when = due or desk.today() + timedelta(days=found.lead_days)
    if when < desk.today():
        raise Refused(f"{found.name}: due {show_day(when, desk.today())} is past; give the day it should come, or "
                      "receive it")
    outcome = _move(desk, found, "order", quantity, f"Ordered {shown(now.site, found, quantity)} of {found.name}, "
                                                    f"due {show_day(when, desk.today())}.", due=when, note=note)
    if when - desk.today() <= FAR_OFF:
        return outcome
    return replace(outcome, cautions=(f"{show_day(when, desk.today())} is {(when - desk.today()).days} days ahead; if "
                                      "an earlier day was meant, take it back and order again.",))


def take_delivery(desk: Desk, item: str, qty: str, lot: str | None = None, note: str = "") -> Outcome:
    """Takes a delivery into stock; it fills the open order that is due first, and what is then still due is said."""
    now = desk.standing()
    found = find_item(now.site, item)
    quantity = quantity_of(now.site, found, qty)
    outcome = _move(desk, found, "delivery", quantity, f"Received {shown(now.site, found, quantity)} of {found.name}.",
                    lot=lot or (found.dye_lot if found.form == "roll" else None), note=note)
    # Not part of what undo says: taken back, it would no longer be so.
    still = _still_due(desk, found)
    return replace(outcome, sentence=f"{outcome.sentence[:-1]}; {still}.") if still else outcome


def _still_due(desk: Desk, item: Item) -> str:
    """What is still to come of an item, the earliest first; empty where nothing is."""
    now, today = desk.standing(), desk.today()

    def amount(quantity: float) -> str:
        return shown(now.site, item, quantity) if item.unit == "m" else f"{quantity:g}"

    first, *others = now.pool.balance(item.name).orders or (None,)
    if first is None:
        return ""
    said = [f"{amount(first.quantity)} more {_due_words(first, today)}"]
    said += [f"{amount(one.quantity)} {_due_words(one, today)}" for one in others[:1]]
    later = round(sum(one.quantity for one in others[1:]), 6)
    return " and ".join(said) + (f", and {amount(later)} later" if later else "")


def _due_words(order: Order, today: date) -> str:
    one, late = order.quantity == 1, order.due is not None and order.due < today
    verb = ("was" if one else "were") if late else "is" if one else "are"
    return f"{verb} due {show_day(order.due, today)}" if order.due is not None else f"{verb} on order"


def count_stock(desk: Desk, item: str, qty: str, note: str = "") -> Outcome:
    """Sets the book right with what was counted."""
    now = desk.standing()
    found = find_item(now.site, item)
    quantity = quantity_of(now.site, found, qty, allow_zero=True)
    book = now.pool.balance(found.name).on_hand
    said = "as the book had it" if book == quantity else f"the book had {shown(now.site, found, book)}"
    return _move(desk, found, "count", quantity, f"Counted {shown(now.site, found, quantity)} of {found.name}: {said}.",
                 note=note)


def spoil_stock(desk: Desk, item: str, qty: str, note: str = "") -> Outcome:
    """Writes off stock that was spoiled."""
    now = desk.standing()
    found = find_item(now.site, item)
    quantity = quantity_of(now.site, found, qty)
    return _move(desk, found, "spoil", -quantity, f"Wrote off {shown(now.site, found, quantity)} of {found.name}.",
                 note=note)


def return_stock(desk: Desk, item: str, qty: str, note: str = "") -> Outcome:
    """Sends stock back to where it was bought."""
    now = desk.standing()
    found = find_item(now.site, item)
    quantity = quantity_of(now.site, found, qty)
    return _move(desk, found, "return", -quantity, f"Sent back {shown(now.site, found, quantity)} of {found.name}.",
                 note=note)


def _move(desk: Desk, item: Item, kind: Kind, quantity: float, sentence: str, *, due: date | None = None,
          lot: str | None = None, note: str = "") -> Outcome:
    movement = Movement(kind, quantity, desk.today(), due, lot)
    with desk.store.write() as session:
        now = desk.standing_in(session)
        refuse_below_zero(item.name, item.unit, [*(line.movement for line in now.book.get(item.name, ())), movement])
        add_movement(session, now, item.name, movement, note=note)
        session.sentence = sentence
    return Outcome(sentence, BOOK_CHANGED)


def add_movement(session: WriteSession, now: Standing, item: str, movement: Movement, *, note: str = "",
                 entry: int | None = None, position: int | None = None) -> None:
    """Adds a movement at the end of the book, or in the place of one it replaces."""
    end = 1 + now.book.last_position
    session.add(MovementRow(
        item_id=now.numbers.items[item], kind=movement.kind, quantity_u=whole(movement.quantity),
        on_date=movement.on.isoformat(), due=None if movement.due is None else movement.due.isoformat(),
        lot=movement.lot, note=note, entry_id=entry, position=position or end))
