"""The least boards of a few rectangles by trying everything, none of the planner's code."""

from __future__ import annotations

from functools import cache


def least_new_boards(sides, board, kerf, turnable, offcuts=()) -> int:
    """New boards for at most eight rectangles sawn by through cuts, `offcuts` used once each; whole units."""
    count = len(sides)
    everything = (1 << count) - 1

    @cache
    def boxes(some: int) -> frozenset[tuple[int, int]]:
        """The smallest rectangles that through cuts part into these pieces."""
        if some & (some - 1) == 0:
            w, h = sides[some.bit_length() - 1]
            return frozenset({(w, h), (h, w)} if turnable else {(w, h)})
        found, part = set(), (some - 1) & some
        while part:
            other = some ^ part
            if part > other:
                for a, b in boxes(part):
                    for c, d in boxes(other):
                        found |= {(a + c + kerf, max(b, d)), (max(a, c), b + d + kerf)}
            part = (part - 1) & some
        return frozenset(
            one for one in found
            if max(one) <= max(board) and not any(o != one and o[0] <= one[0] and o[1] <= one[1] for o in found)
        )  # fmt: skip

    def fits(some: int, panel) -> bool:
        return any(w <= panel[0] and h <= panel[1] for w, h in boxes(some))

    @cache
    def new(some: int, at: int) -> int:
        if not some:
            return 0
        if at < len(offcuts):
            best, part = new(some, at + 1), some
            while part:
                if fits(part, offcuts[at]):
                    best = min(best, new(some ^ part, at + 1))
                part = (part - 1) & some
            return best
        first, best, part = some & -some, count, some
        while part:
            if part & first and fits(part, board):
                best = min(best, 1 + new(some ^ part, at))
            part = (part - 1) & some
        return best

    return new(everything, 0)
