"""Tape sets: the quadrilateral they fix, whether they close, and what they say about a surface."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil, dist, sqrt
from typing import Literal

from tracker.domain.errors import Refused
from tracker.domain.site import Outline, Point, TapeSet

DIAGONALS_DIFFER_M = 0.00635
"""Diagonals of an opening may differ by 1/4 in (window fitters' measuring rule)."""
SIDES_DIFFER_M = 0.003175
"""Widths, and heights, of an opening may differ by 1/8 in (window fitters' measuring rule)."""
BOW_M = 0.003
"""A wall is flat within 3 mm under a 2 m straight edge (NHBC Standards 2020, chapter 9.1.3)."""
_SLACK_M = 1e-9  # so that a difference of exactly the limit passes

Code = Literal["tape-does-not-close", "out-of-square", "bowed"]


@dataclass(frozen=True, slots=True)
class Closure:
    """The second diagonal against the one that the other five readings give."""

    expected_m: float
    measured_m: float
    mismatch_m: float
    """Measured less expected."""
    tolerance_m: float
    """The most that a tape within its class can make of it."""
    closes: bool


@dataclass(frozen=True, slots=True)
class Finding:
    """What a tape set shows: `what` is the comparison, `amount_m` by how much it is out, `limit_m` what passes."""

    code: Code
    what: str
    amount_m: float
    limit_m: float


def quadrilateral(tape: TapeSet) -> Outline:
    """The outline (m) that four sides and a diagonal fix: bottom left at (0, 0), then bottom right on the x axis,
    top right, top left; the check diagonal is used where it is the only one.

    Errors: Refused where no diagonal was taken, or where a reading is longer than two others allow.
    Source: definition (triangles from three sides, law of cosines).
    """
    if tape.diagonal_m is None and tape.check_m is None:
        raise Refused("four sides do not fix a shape: measure a diagonal too, from bottom left to top right")
    if tape.diagonal_m is None:
        mirrored = replace(tape, left_m=tape.right_m, right_m=tape.left_m, diagonal_m=tape.check_m, check_m=None)
        bottom_right, bottom_left, top_left, top_right = _corners(mirrored, "right", "left", "check")
        return tuple((tape.bottom_m - x, y) for x, y in (bottom_left, bottom_right, top_right, top_left))
    return _corners(tape, "left", "right", "diagonal")


def _corners(tape: TapeSet, left: str, right: str, diagonal: str) -> Outline:
    """Corners from the sides and the first diagonal; the names are what the person calls these readings."""
    across = tape.diagonal_m or 0.0
    _check_triangle({"bottom": tape.bottom_m, right: tape.right_m, diagonal: across})
    _check_triangle({"top": tape.top_m, left: tape.left_m, diagonal: across})
    top_right = _apex(tape.bottom_m, across, tape.right_m)
    along, off = _apex(across, tape.left_m, tape.top_m)  # in the frame whose x axis is the diagonal
    ux, uy = top_right[0] / across, top_right[1] / across
    return (0.0, 0.0), (tape.bottom_m, 0.0), top_right, (along * ux - off * uy, along * uy + off * ux)


def _check_triangle(readings: dict[str, float]) -> None:
    names = sorted(readings, key=readings.__getitem__)
    if not readings[names[2]] < readings[names[0]] + readings[names[1]]:
        raise Refused(f"{names[2]} is as long as {names[0]} and {names[1]} together or longer, "
                      f"so they cannot meet: measure {names[2]} again")


def _apex(base_m: float, from_start_m: float, from_end_m: float) -> Point:
    """The corner above a base on the x axis, at these distances from its two ends."""
    x = (base_m**2 + from_start_m**2 - from_end_m**2) / (2 * base_m)
    return x, sqrt(max(0.0, from_start_m**2 - x**2))


def tape_error_m(length_m: float) -> float:
    """The most a class II tape may be out over a length (m, over 0): 0.3 mm + 0.2 mm for each metre begun.

    Source: Measuring Instruments Directive 2014/32/EU, annex X (MI-008), chapter I: a + b L, a = 0.3, b = 0.2.
    """
    return 0.0003 + 0.0002 * ceil(length_m - _SLACK_M)


def closure(tape: TapeSet) -> Closure | None:
    """Whether the second diagonal (m) agrees with the other five readings; None unless both diagonals were taken.

    The tolerance adds up what each of the six readings may be out by, as it moves the second diagonal: no tape
    within class II, rightly read, can show more.
    Errors: Refused as for `quadrilateral`.
    Source: Measuring Instruments Directive 2014/32/EU, MI-008, class II; derivatives by definition.
    """
    if tape.diagonal_m is None or tape.check_m is None:
        return None
    expected = second_diagonal_m(tape)
    tolerance = tape_error_m(tape.check_m)
    for reading in ("bottom_m", "top_m", "left_m", "right_m", "diagonal_m"):
        tolerance += abs(_slope(tape, reading)) * tape_error_m(getattr(tape, reading))
    mismatch = tape.check_m - expected
    return Closure(expected, tape.check_m, mismatch, tolerance, abs(mismatch) <= tolerance)


def second_diagonal_m(tape: TapeSet) -> float:
    """The diagonal (m) that was not used to fix the quadrilateral, as it must be by the other five readings.

    Errors: Refused as for `quadrilateral`.
    Source: definition.
    """
    bottom_left, bottom_right, top_right, top_left = quadrilateral(tape)
    return dist(bottom_left, top_right) if tape.diagonal_m is None else dist(bottom_right, top_left)


def _slope(tape: TapeSet, reading: str) -> float:
    """Change of the second diagonal for a small change of one reading; 1 where the shape is too thin to tell."""
    step = 1e-6
    value = getattr(tape, reading)
    try:
        after = second_diagonal_m(replace(tape, **{reading: value + step}))
        before = second_diagonal_m(replace(tape, **{reading: value - step}))
    except Refused:
        return 1.0
    return (after - before) / (2 * step)


def findings(tape: TapeSet) -> tuple[Finding, ...]:
    """What the readings (m) show to be wrong: not closing, out of square, bowed; empty is good.

    Errors: Refused as for `quadrilateral`.
    Source: limits at DIAGONALS_DIFFER_M, SIDES_DIFFER_M (window fitters' measuring rule), BOW_M (NHBC 9.1.3).
    """
    found: list[Finding] = []
    closed = closure(tape)
    if closed is not None and not closed.closes:
        found.append(Finding("tape-does-not-close", "second diagonal", closed.mismatch_m, closed.tolerance_m))
    first = tape.check_m if tape.diagonal_m is None else tape.diagonal_m
    second = second_diagonal_m(tape) if closed is None else closed.measured_m
    pairs = (("the diagonals", first or 0.0, second, DIAGONALS_DIFFER_M),
             ("bottom and top", tape.bottom_m, tape.top_m, SIDES_DIFFER_M),
             ("left and right", tape.left_m, tape.right_m, SIDES_DIFFER_M))
    found += [Finding("out-of-square", what, abs(one - other), limit)
              for what, one, other, limit in pairs if abs(one - other) > limit + _SLACK_M]
    halfway = (("middle", tape.middle_m, (tape.bottom_m + tape.top_m) / 2),
               ("centre", tape.centre_m, (tape.left_m + tape.right_m) / 2))
    found += [Finding("bowed", what, value - mean, BOW_M)
              for what, value, mean in halfway if value is not None and abs(value - mean) > BOW_M + _SLACK_M]
    return tuple(found)


def say(finding: Finding, show_length: Callable[[float], str]) -> str:
    """The finding as a sentence; `show_length` writes a length in m as the site shows it."""
    amount, limit = show_length(abs(finding.amount_m)), show_length(finding.limit_m)
    more = "more" if finding.amount_m > 0 else "less"
    if finding.code == "tape-does-not-close":
        return (f"the {finding.what} reads {amount} {more} than the other readings give, and a sound tape "
                f"is within {limit}: one of the six is wrong, measure again")
    if finding.code == "out-of-square":
        return f"{finding.what} differ by {amount} (up to {limit} passes as square): cut to each side's own size"
    pair = "bottom and top" if finding.what == "middle" else "left and right"
    return f"{finding.what} is {amount} {more} than the mean of {pair} (up to {limit} passes as straight): it bows"
