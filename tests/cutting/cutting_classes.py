"""Packing instances by published recipe, and what rectpack makes of them."""

from __future__ import annotations

import random
from itertools import product

import rectpack

from tracker.domain.cutting.plans import BoardStock, Piece

BERKEY_WANG = {1: (10, 10), 2: (10, 30), 3: (35, 40), 4: (35, 100), 5: (100, 100), 6: (100, 300)}
"""Class: sides from 1 to the first figure, square bins of the second (J. Oper. Res. Soc. 38, 1987; from memory)."""


def instance(kind: int, count: int, seed: int) -> tuple[list[tuple[int, int]], int]:
    """Sides of `count` rectangles of class 1 to 10 and the side of the bin; 7 to 10 are Martello and Vigo's (1998)."""
    chance = random.Random(1000 * kind + 10 * count + seed)
    if kind in BERKEY_WANG:
        most, side = BERKEY_WANG[kind]
        return [(chance.randint(1, most), chance.randint(1, most)) for _ in range(count)], side
    wide, half, large = (67, 100), (1, 50), (50, 100)
    types = [(wide, half), (half, wide), (large, large), (half, half)]
    weights = [70 if at == kind - 7 else 10 for at in range(4)]
    drawn = chance.choices(types, weights, k=count)
    return [(chance.randint(*w), chance.randint(*h)) for w, h in drawn], 100


def sawn_up(boards: int, parts: int, seed: int) -> list[tuple[int, int]]:
    """Sides of the rectangles that boards of 120 x 60 fall into when sawn up at random: those boards are the least."""
    chance, panels = random.Random(seed), [(120, 60)] * boards
    while len(panels) < parts:
        panels.sort(key=lambda panel: panel[0] * panel[1])
        w, h = panels.pop()
        at = chance.randint(max(w, h) // 4, max(w, h) // 2)
        panels += [(at, h), (w - at, h)] if w >= h else [(w, at), (w, h - at)]
    return panels


def uniform(count: int, seed: int) -> list[float]:
    """Falkenauer's uniform class: whole sizes 20 to 100 into 150 (J. Heuristics 2, 1996; recipe from memory), m."""
    chance = random.Random(seed)
    return [chance.randint(20, 100) / 1000 for _ in range(count)]


def triplets(count: int, seed: int) -> list[float]:
    """Falkenauer's triplets: three fill a bin of 1000, so a third of the count is the least (recipe from memory), m."""
    chance, sizes = random.Random(seed), []
    for _ in range(count // 3):
        first = chance.randint(380, 490)
        second = chance.randint((1000 - first) // 2 - 25, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]
    return [size / 1000 for size in sizes]


def as_pieces(sides: list[tuple[int, int]], side: int, turnable: bool) -> tuple[list[Piece], BoardStock]:
    """An instance as pieces and boards, 10 mm a unit."""
    pieces = [
        Piece(f"p {at}", "p", ((0, 0), (w / 100, 0), (w / 100, h / 100), (0, h / 100)))
        for at, (w, h) in enumerate(sides)
    ]
    return pieces, BoardStock("bin", side / 100, side / 100, turnable=turnable)


def peer_boards(sides: list[tuple[int, int]], length: int, width: int, turnable: bool) -> int:
    """Boards that rectpack's guillotine packers need, the best of 42 settings; all sizes in whole units."""
    least = len(sides)
    algorithms = [getattr(rectpack, f"Guillotine{name}") for name in
                  ("BssfSas", "BssfLas", "BssfSlas", "BssfMaxas", "BafSas", "BafMaxas", "BlsfSas")]  # fmt: skip
    for algorithm, order, bins in product(
        algorithms, (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE), ("BFF", "BBF")
    ):
        packer = rectpack.newPacker(
            bin_algo=getattr(rectpack.PackingBin, bins), pack_algo=algorithm, sort_algo=order, rotation=turnable
        )
        packer.add_bin(length, width, count=len(sides))
        for w, h in sides:
            packer.add_rect(w, h)
        packer.pack()
        if len(packer.rect_list()) == len(sides):
            least = min(least, len(packer))
    return least
