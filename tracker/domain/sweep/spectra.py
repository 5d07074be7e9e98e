"""Lengths at which numpy's Fourier transform is quick."""

from __future__ import annotations


def quick_length(at_least: int) -> int:
    """The least 2^a 3^b 5^c that is not below a count of samples: other lengths can take ten times as long."""
    best = 1 << max(0, at_least - 1).bit_length()
    fives = 1
    while fives < best:
        threes = fives
        while threes < best:
            rest = -(-at_least // threes)
            best = min(best, threes << max(0, rest - 1).bit_length())
            threes *= 3
        fives *= 5
    return best
