"""Boards, sticks and time by size, beside rectpack and CP-SAT in one run: `python tests/bench/bench_cutting.py`."""

from __future__ import annotations

import importlib.util
import random
import time
from pathlib import Path

from tracker.domain.cutting.boards import pack_boards, plan_boards, saw_of
from tracker.domain.cutting.grids import Grid
from tracker.domain.cutting.layout import lay_out
from tracker.domain.cutting.mend import mend
from tracker.domain.cutting.packing import best_fill
from tracker.domain.cutting.pairs import blocks_of, shape_of
from tracker.domain.cutting.plans import BoardPlan, BoardStock, Need2, Offcut1, StickPiece, StickStock
from tracker.domain.cutting.sticks import plan_sticks

CUTTING = Path(__file__).parents[1] / "cutting"
SECONDS = 2.0
PEER_S = 3.0
"""Longest time CP-SAT is given for an instance, s."""


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
        f"{plan.lower_bound:6} {len(plan.pieces) / plan.need:6.2f} {plan.corner_joints:4} {taken_s:6.1f} {other:6} "
        f"{peer_s:6.1f}", flush=True,
    )
    return plan.area_bound, at_once.need, plan.need, plan.lower_bound, plan.proved_least, len(plan.pieces), other


def matched(pieces, stock: BoardStock, boards: int) -> tuple[int, float]:
    """Boards that our filling and mending reach once they are no more than `boards`, and the wall time it took, s."""
    began = time.perf_counter()
    saw = saw_of(stock)
    shapes = [shape_of(piece.outline_m) for piece in pieces]
    blocks = blocks_of(shapes, saw.length, saw.width, saw.kerf, stock.turnable, stock.flippable)
    found = mend(best_fill(blocks, saw), saw, 3000, 0, boards)
    return len(found), time.perf_counter() - began


def literature(classes, cpsat) -> None:
    """The classes of the literature: our boards and bound, rectpack's best of 42, CP-SAT's for some.

    `as many` is how long ours takes to be no worse than rectpack; `s` includes the search beyond and the proof.
    """
    print("\nclass turned  n   bound  ours      s as many s  rectpack      s  CP-SAT      s")
    totals: dict[bool, list[int]] = {False: [0, 0, 0], True: [0, 0, 0]}
    times, sooner, count_all = [0.0, 0.0], 0, 0
    for kind in range(1, 11):
        for turnable in (False, True):
            for count in (20, 60):
                sides, side = classes.instance(kind, count, 1)
                began = time.perf_counter()
                plan = pack_boards(*classes.as_pieces(sides, side, turnable), mends=1000, prove=40)
                ours_s, began = time.perf_counter() - began, time.perf_counter()
                peer = classes.peer_boards(sides, side, side, turnable)
                peer_s = time.perf_counter() - began
                reached, match_s = matched(*classes.as_pieces(sides, side, turnable), peer)
                times = [times[0] + match_s, times[1] + peer_s]
                sooner, count_all = sooner + (reached <= peer and match_s < peer_s), count_all + 1
                other, began = "", time.perf_counter()
                if not turnable and count == 20:
                    found, proved = cpsat.peer_boards(sides, side, side, plan.need + 1, PEER_S)
                    other = f"{found or '-':>7}{'' if proved else '?'} {time.perf_counter() - began:5.1f}"
                for at, value in enumerate((plan.lower_bound, plan.need, peer)):
                    totals[turnable][at] += value
                print(f"{kind:5} {turnable!s:6} {count:3} {plan.lower_bound:6} {plan.need:5} {ours_s:6.1f} "
                      f"{match_s:9.3f} {peer:9} {peer_s:6.3f} {other}", flush=True)  # fmt: skip
    for turnable, (bound, ours, peer) in totals.items():
        print(f"all, {'turned' if turnable else 'fixed'}: bound {bound}, ours {ours}, rectpack {peer}")
    print(f"no worse than rectpack in {times[0]:.2f} s against {times[1]:.2f} s, sooner in {sooner} of {count_all}")


def sticks(classes, cpsat) -> None:
    """Falkenauer's classes beside CP-SAT, then realistic runs."""
    print("\nlist          n  ours proved      s  CP-SAT proved      s")
    for recipe, room in (("uniform", 150), ("triplets", 1000)):
        for count in (60, 120):
            for seed in (0, 1):
                lengths = getattr(classes, recipe)(count, seed)
                runs = [StickPiece(f"e{at}", "a", one) for at, one in enumerate(lengths)]
                began = time.perf_counter()
                plan = plan_sticks(runs, StickStock("edge", room / 1000), exact=True)
                ours_s, began = time.perf_counter() - began, time.perf_counter()
                given_s = max(PEER_S, ours_s)  # never less than ours took
                peer, proved = cpsat.peer_sticks([round(one * 1000) for one in lengths], room, given_s)
                print(f"{recipe:10} {count:4} {plan.need:5} {plan.proved_least!s:6} {ours_s:6.2f} {peer or '-':>7} "
                      f"{proved!s:6} {time.perf_counter() - began:6.2f}", flush=True)  # fmt: skip
    times, proved, saved = [], 0, 0
    for seed in range(1000, 1060):
        chance = random.Random(seed)
        kinds = [chance.randint(300, 2400) for _ in range(chance.randint(3, 15))]
        runs = [StickPiece(f"e{i}", "a", chance.choice(kinds) / 1000) for i in range(chance.randint(20, 200))]
        rack = tuple(Offcut1(f"o{i}", chance.randint(300, 2000) / 1000) for i in range(9 if seed % 2 else 0))
        stock = StickStock("edge", chance.choice([2.5, 3.0, 3.048, 3.6]), 0.003, 0.2, rack)
        began = time.perf_counter()
        plan = plan_sticks(runs, stock, exact=True)
        times.append(time.perf_counter() - began)
        proved += plan.proved_least
        saved += plan_sticks(runs, stock).need - plan.need
    times.sort()
    print(f"60 realistic lists of 20 to 200 runs: {proved} proved, {saved} sticks fewer than best fit; "
          f"median {times[30] * 1e3:.0f} ms, worst {times[-1]:.2f} s")  # fmt: skip


def main() -> None:
    classes, cpsat = load("cutting_classes"), load("cutting_cpsat")
    peer = classes.peer_boards
    print("                 bays   area at once      ms search   gap%  bound  p/brd  crn      s   peer      s")
    rooms = load("conftest")
    totals = [row(path.stem, *rooms.load_room(path), peer) for path in rooms.ROOMS]
    area, quick, need, bound, proved, pieces, other = (sum(column) for column in zip(*totals, strict=True))
    print(f"twelve rooms: area {area}, at once {quick}, searched {need}, bound {bound}, {proved} proved, "
          f"{pieces / need:.2f} pieces a board, peer {other}")  # fmt: skip
    stock = BoardStock("board", 1.2, 0.6, 0.003, waste_below_m=0.08)
    for count in (5, 20, 50, 100, 300):
        row("made up", bays(count), stock, peer)
    literature(classes, cpsat)
    sticks(classes, cpsat)


if __name__ == "__main__":
    main()
