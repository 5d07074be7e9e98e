"""What plans of real sites ask of an item: every piece, and the plan's own need where nothing is spoiled."""

from datetime import date
from pathlib import Path

import pytest

from tracker.domain.buying.demand import demand_of
from tracker.domain.buying.first_short import first_short
from tracker.domain.buying.risk import need_spread
from tracker.domain.stock.ledger import Balance
from tracker.domain.stock.pieces import Offcut
from tracker.domain.stock.pool import Pool
from tracker.domain.work.allotment import Allotment, share_out
from tracker.domain.work.order import order_of_work
from tracker.domain.work.progress import Progress, absent_steps
from tracker.services.setup import new_site

DATA = Path(__file__).resolve().parent.parent / "data"


@pytest.fixture(scope="module", params=["booth", "loft"])
def allotted(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Allotment:
    desk = new_site(tmp_path_factory.mktemp("buying") / "site.db", DATA / f"site_{request.param}.toml",
                    lambda: date(2026, 3, 4))
    site = desk.standing().site
    desk.close()
    return share_out(site, Progress(absent=absent_steps(site)), Pool({}))


def test_with_nothing_spoiled_every_item_takes_what_its_plans_say(allotted: Allotment) -> None:
    plans = [share.plan for share in allotted.phases.values()]
    for item in allotted.site.items:
        demand = demand_of(item, plans)
        assert demand.need == pytest.approx(allotted.needed.get(item.name, 0.0))
        spread = need_spread(demand, 0.0, 0.0)
        assert spread.needs[0] == spread.needs[-1] == demand.need


def test_every_piece_is_there_and_what_is_cut_already_is_not(allotted: Allotment) -> None:
    plans = [share.plan for share in allotted.phases.values()]
    for plan in plans:
        for boards in plan.boards:
            item = allotted.site.item[boards.item]
            names = [cut.piece for board in boards.boards for cut in board.cuts]
            assert len(demand_of(item, [plan]).lots[0].pieces) == len(names)
            assert demand_of(item, [plan]).loose == 0
            assert len(demand_of(item, [plan], cut=names[:2]).lots[0].pieces) == len(names) - 2
            left = demand_of(item, [plan], [Offcut("O1", item.name, 0.7, 0.4), Offcut("O2", "other", 0.7)])
            assert left.lots[0].leaves[0] == (0.7, 0.4)
            assert len(left.lots[0].leaves) == 1 + sum(len(board.offcuts) for board in boards.boards)


def test_fixings_are_loose_and_a_longer_list_costs_more(allotted: Allotment) -> None:
    plans = [share.plan for share in allotted.phases.values()]
    for item in allotted.site.items:
        demand = demand_of(item, plans)
        if item.form in ("each", "bulk"):
            assert (demand.loose, demand.lots) == (demand.need, ())
        assert need_spread(demand, 0.03).needs.mean() >= demand.need


def test_the_first_that_is_short_is_where_the_stock_ends(allotted: Allotment) -> None:
    units = tuple(order_of_work(allotted.site))
    board = next(item.name for item in allotted.site.items if item.form == "board" and allotted.needed.get(item.name))
    taking = [unit.key for unit in units if allotted.units[unit.key].plan.needs.get(board)]
    assert first_short(allotted, units, board) == taking[0]
    assert first_short(allotted, units, "no such item") is None
    own = allotted.units[taking[0]].plan.needs[board]
    some = share_out(allotted.site, allotted.progress, Pool({board: Balance(own)}))
    assert first_short(some, units, board) == taking[1]
    plenty = share_out(allotted.site, allotted.progress, Pool({board: Balance(1000.0)}))
    assert first_short(plenty, units, board) == taking[-1]
