"""Stock: a ledger of movements, and offcuts as pieces of known size."""

from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, key, link, one_of, text, whole


class MovementRow(SQLModel, table=True):
    """One movement. Signed in the item's unit; a count holds what was counted, an order what was ordered.

    `position` is its place in the book: a corrected entry's movements take the place of those they replace.
    """

    __tablename__ = "movement"
    __table_args__ = (
        one_of("kind", "opening", "delivery", "use", "spoil", "count", "return", "order"),
        check("sign", "CASE kind WHEN 'use' THEN quantity_u <= 0 WHEN 'spoil' THEN quantity_u <= 0 "
                      "WHEN 'return' THEN quantity_u <= 0 ELSE quantity_u >= 0 END"),
        check("superseded_flag", "superseded IN (0, 1)"),
        STRICT,
    )
    id: int | None = key()
    item_id: int = link("item", index=True)
    kind: str = text()
    quantity_u: int = whole()
    on_date: str = text()
    due: str | None = text(None)
    lot: str | None = text(None)
    note: str = text("")
    entry_id: int | None = link("entry", None, index=True)
    position: int = whole()
    superseded: int = whole(0)


class OffcutRow(SQLModel, table=True):
    """A usable remainder; a stick's has no width. It leaves stock when an entry uses it.

    One that is a piece of the kept plan, cut with others from the same board or stick, carries that piece's name.
    """

    __tablename__ = "offcut"
    __table_args__ = (check("size", "length_um > 0 AND coalesce(width_um, 1) > 0"), STRICT)
    id: int | None = key()
    item_id: int = link("item", index=True)
    length_um: int = whole()
    width_um: int | None = whole(None)
    made_entry_id: int | None = link("entry", None)
    used_entry_id: int | None = link("entry", None)
    piece: str | None = text(None)
