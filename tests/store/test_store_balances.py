"""What the book says of an item without reading all of it is what playing every movement gives."""

from __future__ import annotations

from datetime import date

import sqlalchemy as sa
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy.pool import StaticPool
from sqlmodel import Session

from tracker.domain.stock.ledger import Movement, balance
from tracker.store.amounts import amount
from tracker.store.balances import read_balances
from tracker.store.tables import MovementRow

ITEMS = {1: "board", 2: "cloth", 3: "screw"}
LESS = ("use", "spoil", "return")

moves = st.lists(st.tuples(
    st.sampled_from((1, 1, 2, 3)), st.sampled_from(("opening", "delivery", "use", "spoil", "count", "return", "order")),
    st.integers(0, 40_000_000), st.sampled_from((None, "2026-03-01", "2026-05-09")), st.booleans(),
    st.integers(0, 4), st.sampled_from((0, 0, 0, 1))), max_size=40)


@settings(max_examples=80, deadline=None)
@given(moves)
def test_the_short_way_and_the_long_way_give_one_balance(found):
    rows = [{"id": number, "item_id": item, "kind": kind, "quantity_u": -size if kind in LESS else size,
             "on_date": "2026-02-03", "due": due if kind == "order" else None,
             "lot": f"A{size % 3}" if lot and item == 2 and kind in ("opening", "delivery") else None, "note": "",
             "entry_id": None, "position": max(1, number - back), "superseded": superseded}
            for number, (item, kind, size, due, lot, back, superseded) in enumerate(found, start=1)]
    engine = sa.create_engine("sqlite://", poolclass=StaticPool)
    MovementRow.__table__.create(engine)
    with Session(engine) as session:
        if rows:
            session.execute(sa.insert(MovementRow.__table__), rows)
        read = read_balances(session, ITEMS)
        some = read_balances(session, {2: "cloth"})
    counting = sorted((row for row in rows if not row["superseded"]), key=lambda row: (row["position"], row["id"]))
    for number, name in ITEMS.items():
        played = [Movement(row["kind"], amount(row["quantity_u"]), date.fromisoformat(row["on_date"]),
                           None if row["due"] is None else date.fromisoformat(row["due"]), row["lot"])
                  for row in counting if row["item_id"] == number]
        assert read.get(name, balance(())) == balance(played)
    assert some.get("cloth") == read.get("cloth")
