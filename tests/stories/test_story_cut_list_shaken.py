"""Whatever is logged, cut wrong, ticked, measured again or taken back: what stands on the cut list can still be cut."""

from __future__ import annotations

import importlib.util
import random
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.cutting.plans import BoardPlan
from tracker.domain.errors import Refused
from tracker.domain.site import STEPS
from tracker.domain.work.racks import board_stock
from tracker.services.allotment import allot
from tracker.services.cut_list import Search, miscut, tick
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again
from tracker.services.setup import new_site
from tracker.services.stock import count_stock
from tracker.services.take_off import take_off
from tracker.services.undo import undo_last

TESTS = Path(__file__).parents[1]
ROOMS = ("A003_lean_to.toml",)
EVENTS = 7


def independent_check():
    place = importlib.util.spec_from_file_location("cutting_verify", TESTS / "cutting" / "cutting_verify.py")
    module = importlib.util.module_from_spec(place)
    place.loader.exec_module(module)
    return module


VERIFY = independent_check()


@pytest.fixture(params=ROOMS)
def desk(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Desk]:
    made = new_site(tmp_path / "site.db", TESTS / "data" / "cutting_rooms" / request.param, lambda: date(2026, 3, 4))
    for item, amount in (("board", "300"), ("edge", "150"), ("joint", "150"), ("cloth", "300 m")):
        count_stock(made, item, amount)
    yield made
    made.close()


def faults(desk: Desk) -> list[str]:
    """What is wrong with the boards and sticks that stand, by the check that shares no code with the planner."""
    now = desk.standing()
    shared = allot(now)
    listed = shared.cut_list
    bays = [bay for key, bay in now.site.bays.items() if now.site.short(key) in listed.bays]
    needs = [need for bay in bays for _, need in shared.materials.of(bay).infill]
    stock = board_stock(now.site.item["board"], [one for one in now.pool.offcuts if one.item == "board"])
    need = sum(board.source == "new" for board in listed.boards)
    plan = BoardPlan("board", listed.boards, tuple(listed.pieces.values()), 0.0, need, 0, need == 0)
    runs = {name for bay in bays for name in shared.materials.runs(bay)}
    lengths: dict[str, float] = {}
    found = VERIFY.faults(plan, needs, stock)
    for stick in listed.sticks:
        kerf = now.site.item[stick.item].kerf_m
        if sum(cut.length_m + kerf for cut in stick.cuts) > stick.length_m + kerf + 1e-6:
            found.append(f"{stick.item} {stick.number} is not that long")
        for cut in stick.cuts:
            name = cut.piece.split(".")[0]
            lengths[name] = lengths.get(name, 0.0) + cut.length_m
    wanted = {piece.name: piece.length_m for bay in bays for _, piece, _ in shared.materials.of(bay).sticks}
    found += [f"{name}: cut to another length" for name in runs
              if abs(lengths.get(name, 0.0) - wanted[name]) > 1e-3]
    numbers = [(board.item, board.number) for board in listed.boards if board.source == "new"]
    if len(numbers) != len(set(numbers)):
        found.append("two boards carry one number")
    return found


def event(desk: Desk, chance: random.Random) -> str:
    """Something that happens on site; its name."""
    site, plan = desk.standing().site, take_off(desk)
    pieces = [cut.piece for board in plan.boards for cut in board.cuts]
    pieces += [cut.piece for stick in plan.sticks for cut in stick.cuts]
    bay = site.short(chance.choice([*site.bays]))
    kind = chance.choice(["log", "log", "part", "miscut", "miscut", "tick", "tape", "undo", "plan"])
    if kind in ("log", "part"):
        log_day(desk, DayLog(bay, chance.choice(STEPS[1:4]), done=1.0 if kind == "log" else chance.uniform(0.1, 0.9)))
    elif kind == "miscut" and pieces:
        miscut(desk, chance.choice(pieces))
    elif kind == "tick" and pieces:
        tick(desk, chance.sample(pieces, min(3, len(pieces))))
    elif kind == "tape":
        outline = desk.standing().site.bays[f"room/{bay}"].outline
        wide, high = (max(corner[axis] for corner in outline) - min(corner[axis] for corner in outline)
                      for axis in (0, 1))
        width, height = (round(side * 1000) - chance.choice([40, 44, 58]) for side in (wide, high))
        measure_again(desk, bay, {"bottom": str(width), "top": str(width), "left": str(height), "right": str(height),
                                  "diagonal": str(round((width ** 2 + height ** 2) ** 0.5))}, True)
    elif kind == "undo":
        undo_last(desk)
    elif kind == "plan":
        take_off(desk, search=Search(0.02, seed=chance.randrange(9), asked=True))
    return f"{kind} {bay}"


@pytest.mark.parametrize("seed", [1])
def test_the_list_can_be_cut_after_whatever_happens(desk: Desk, seed: int) -> None:
    chance = random.Random(seed)
    take_off(desk, search=Search(0.02))
    assert faults(desk) == []
    happened = []
    for _ in range(EVENTS):
        try:
            happened.append(event(desk, chance))
        except Refused as refusal:
            happened.append(f"refused: {refusal}")
        assert faults(desk) == [], happened
