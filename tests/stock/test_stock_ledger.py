"""The stock book: figures follow from movements."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.domain.stock.ledger import Balance, Movement, balance, refuse_below_zero
from tracker.domain.stock.pool import Pool

DAY = date(2026, 3, 2)


def moves(*pairs: tuple[str, float]) -> list[Movement]:
    return [Movement(kind, quantity, DAY) for kind, quantity in pairs]


def test_running_balance_of_a_textbook_stock_card() -> None:
    # The stock card of introductory bookkeeping: opening 10, received 24, issued 15, issued 12. Balance 7.
    # From memory, common practice, no source; the sum is arithmetic.
    assert balance(moves(("opening", 10), ("delivery", 24), ("use", -15), ("use", -12))).on_hand == 7


def test_a_count_sets_the_book_right_whatever_came_before() -> None:
    assert balance(moves(("opening", 10), ("use", -3), ("count", 6), ("use", -1))).on_hand == 5


def test_a_delivery_fills_the_order_that_is_due_first() -> None:
    late = Movement("order", 6, DAY, due=date(2026, 4, 1))
    soon = Movement("order", 6, DAY, due=date(2026, 3, 10))
    found = balance([late, soon, Movement("delivery", 8, DAY)])
    assert found.on_hand == 8
    assert [(order.quantity, order.due) for order in found.orders] == [(4, date(2026, 4, 1))]


def test_due_is_the_day_the_orders_cover_what_is_short() -> None:
    found = balance([Movement("order", 2, DAY, due=date(2026, 3, 10)),
                     Movement("order", 5, DAY, due=date(2026, 3, 20))])
    assert found.due_for(1) == date(2026, 3, 10)
    assert found.due_for(3) == date(2026, 3, 20)
    assert found.due_for(100) == date(2026, 3, 20)


def test_lots_are_those_still_in_stock() -> None:
    first = [Movement("delivery", 5, DAY, lot="A"), Movement("use", -5, DAY)]
    assert balance([*first, Movement("delivery", 5, DAY, lot="B")]).lots == ("B",)
    assert balance([first[0], Movement("delivery", 5, DAY, lot="B")]).lots == ("A", "B")


def test_the_book_never_goes_below_zero() -> None:
    with pytest.raises(Refused, match=r"wool: the book has 2 boards, not the 3 this takes; count the wool first"):
        refuse_below_zero("wool", "board", moves(("opening", 2), ("use", -3), ("delivery", 6)))
    refuse_below_zero("wool", "board", moves(("opening", 2), ("count", 3), ("use", -3)))


def test_held_never_exceeds_what_is_there_and_short_follows() -> None:
    pool = Pool({"wool": Balance(on_hand=9)}).holding({"wool": 5}, [])
    assert pool.held_of("wool") == 5
    assert pool.short_of("wool", 5) == 1
    assert pool.holding({"wool": 20}, []).held_of("wool") == 9


def test_what_is_on_order_goes_to_the_earlier_shortage_first() -> None:
    waiting = balance([Movement("opening", 2, DAY), Movement("order", 6, DAY, due=DAY)])
    pool = Pool({"wool": waiting}).holding({"wool": 5}, [])
    assert pool.coming("wool") == 3


@given(st.lists(st.tuples(st.sampled_from(["delivery", "use", "spoil", "count", "return"]),
                          st.integers(0, 50)), max_size=30))
def test_balance_is_what_was_counted_last_plus_what_moved_since(pairs: list[tuple[str, int]]) -> None:
    signed = [(kind, -n if kind in ("use", "spoil", "return") else n) for kind, n in pairs]
    last = max((number for number, (kind, _) in enumerate(signed) if kind == "count"), default=-1)
    counted = signed[last][1] if last >= 0 else 0
    expected = counted + sum(n for _, n in signed[last + 1:])
    assert balance(moves(*signed)).on_hand == expected
