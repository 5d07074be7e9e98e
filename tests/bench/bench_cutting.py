"""Boards, pieces and time by size, beside rectpack on one fixed grid: `python tests/bench/bench_cutting.py`."""

from __future__ import annotations

import importlib.util
import random
import time
from pathlib import Path

from tracker.domain.cutting.boards import plan_boards
from tracker.domain.cutting.grids import Grid
from tracker.domain.cutting.layout import lay_out
from tracker.domain.cutting.plans import BoardPlan, BoardStock, Need2, StickPiece, StickStock
from tracker.domain.cutting.sticks import plan_sticks

CUTTING = Path(__file__).parents[1] / "cutting"
SECONDS = 2.0


def load(name: str):
    """A helper of the tests of cutting."""
    spec = importlib.util.spec_from_file_location(name, CUTTING / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def bays(count: int) -> tuple[Need2, ...]:
    """Rectangular and sloping bays of a made-up house."""
    chance, needs = random.Random(count), []
    for at in range(count):
        wide, high = chance.randint(700, 1500) / 1000, chance.randint(700, 2500) / 1000
        left = high - (chance.randint(200, 600) / 1000 if chance.random() < 0.25 else 0)
        needs.append(Need2(f"bay {at}", ((((0, 0), (wide, 0), (wide, high), (0, left)), ()),)))
    return tuple(needs)


def timed(needs: tuple[Need2, ...], stock: BoardStock, seconds: float) -> tuple[BoardPlan, float]:
    """A plan and the wall time it took, s."""
    began = time.perf_counter()
    plan = plan_boards(needs, stock, seconds=seconds)
    return plan, time.perf_counter() - began


def row(name: str, needs: tuple[Need2, ...], stock: BoardStock, peer) -> tuple[int, int, int, int, int]:
    """One line of the table; returns its board and piece counts."""
    at_once, quick_s = timed(needs, stock, 0.0)
    plan, taken_s = timed(needs, stock, SECONDS)
    began = time.perf_counter()
    sides = []
    for need in needs:
        for piece in lay_out(need, stock, grid=Grid()):
            xs, ys = zip(*piece.outline_m, strict=True)
            sides.append((round((max(xs) - min(xs)) * 1e4), round((max(ys) - min(ys)) * 1e4)))
    other = peer(sides, round(stock.length_m * 1e4), round(stock.width_m * 1e4), True)
    peer_s = time.perf_counter() - began
    gap = 100 * (plan.need / max(1, plan.area_bound) - 1)
    print(
        f"{name:16} {len(needs):4} {plan.area_bound:6} {at_once.need:6} {quick_s * 1e3:7.0f} {plan.need:6} {gap:5.1f} "
        f"{len(plan.pieces) / plan.need:6.2f} {taken_s:6.1f} {other:6} {peer_s:6.1f}"
    )
    return plan.area_bound, at_once.need, plan.need, len(plan.pieces), other


def main() -> None:
    peer = load("cutting_classes").peer_boards
    print("                 bays   area at once      ms search   gap%  p/brd      s   peer      s")
    rooms = load("conftest")
    totals = [row(path.stem, *rooms.load_room(path), peer) for path in rooms.ROOMS]
    area, quick, need, pieces, other = (sum(column) for column in zip(*totals, strict=True))
    each = pieces / need
    print(f"twelve rooms: area {area}, at once {quick}, searched {need}, {each:.2f} pieces a board, peer {other}")
    stock = BoardStock("board", 1.2, 0.6, 0.003, waste_below_m=0.08)
    for count in (5, 20, 50, 100, 300):
        row("made up", bays(count), stock, peer)
    for count in (20, 60, 200):
        chance = random.Random(count)
        kinds = [chance.randint(300, 2400) / 1000 for _ in range(12)]
        pieces_m = [StickPiece(f"e{i}", "a", chance.choice(kinds)) for i in range(count)]
        began = time.perf_counter()
        plan = plan_sticks(pieces_m, StickStock("edge", 3.0, 0.003), exact=True)
        quick = plan_sticks(pieces_m, StickStock("edge", 3.0, 0.003)).need
        taken = time.perf_counter() - began
        print(f"{count} runs: {plan.need} sticks, proved {plan.proved_least}, best fit {quick}, {taken:.2f} s")


if __name__ == "__main__":
    main()
