"""How a length is written: metric, or feet, inches and fractions."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from tracker.measures.units import NUMBER, MeasureError, SiteUnit, Written, bare, metres_per, number, refuse_no_figure

LONGEST_M = 100
"""A size over this is refused, m."""
_TAPE_M = 10  # metric lengths are in mm under this
_SIXTEENTHS = 16
_DENOMINATORS = (2, 4, 8, 16, 32, 64)
_VULGAR = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)}
_EXAMPLE = {"mm": "2215 mm", "in": "7' 3-1/2\""}

# A length is a sequence of tokens, one letter each: n figure, v fraction in one character, s slash, h hyphen,
# i inch mark, f foot mark, u metric unit. A hyphen joins inches to their fraction, or feet to inches.
_TOKEN = re.compile(rf"""(?P<n>{NUMBER})|(?P<v>[½¼¾⅛⅜⅝⅞])|(?P<s>[/\u2044])|(?P<h>[-\u2010\u2011\u2013])
    |(?P<i>inches|inch|in|''|\u2019\u2019|\u2032\u2032|["\u201c\u201d\u2033])
    |(?P<f>feet|foot|ft|['\u2018\u2019\u2032])|(?P<u>mm|cm|m)""", re.X | re.I)


def _forms() -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Every good sequence of tokens: those any site reads, bare fractions, and feet-inches without marks."""
    fractions = ("nsn", "v")
    joined = [f"{hyphen}{fraction}" for hyphen in ("", "h") for fraction in fractions]
    mixed = [*fractions, *(f"n{one}" for one in joined)]
    inches = ["n", *mixed]
    marked = {"n", "nu", "nf", *(f"{one}i" for one in inches),
              *(f"nf{hyphen}{one}{mark}" for hyphen in ("", "h") for one in inches for mark in ("", "i"))}
    dashed = {f"nhn{one}{mark}" for one in ("", *joined) for mark in ("", "i")}
    return frozenset(marked), frozenset(mixed), frozenset(dashed)


_MARKED, _MIXED, _DASHED = _forms()
_FORMS = _MARKED | _MIXED | _DASHED


def read_length(text: Written, unit: SiteUnit, *, what: str = "length", position: bool = False) -> float:
    """A length as people write it, in m; a bare number is in the site's unit, a position or gap may be 0.

    A comma is a decimal sign; but `2,215 mm` is likelier 2215 mm with a thousands mark, so it is refused.
    Errors: MeasureError for anything else, negative, 0 unless a position, not a number, or over 100 m.
    """
    metres = metres_written(text, unit, what)
    if metres == 0 and not position:
        raise MeasureError(what, text, f"a size can't be 0; write e.g. {_EXAMPLE[unit]}")
    if metres > LONGEST_M:
        raise MeasureError(what, text, f"that is over {LONGEST_M} m; check its unit, write e.g. {_EXAMPLE[unit]}")
    return float(metres)


def metres_written(text: Written, unit: SiteUnit, what: str) -> Fraction:
    """The length written, m, exactly, 0 or more and of any size; MeasureError where it can't be read."""
    if not isinstance(text, str):
        return bare(text, what, f"write e.g. {_EXAMPLE[unit]}") * metres_per(unit)
    example = _EXAMPLE[unit]
    refuse_no_figure(text, what, f"write e.g. {example}")
    tokens = _tokens(text, what, example)
    kinds = "".join(kind for kind, _ in tokens)
    if unit == "mm" and kinds in _DASHED:
        raise MeasureError(what, text, "feet-inches without a foot mark are read on inch sites only; "
                                       f"write e.g. {example}")
    if unit == "mm" and kinds in _MIXED:
        raise MeasureError(what, text, f"a fraction needs an inch mark after it; write e.g. {example}")
    try:
        return _value(kinds, [word for _, word in tokens], unit)
    except ValueError as error:
        raise MeasureError(what, text, f"{error}; write e.g. {example}") from None


def _tokens(text: str, what: str, example: str) -> list[tuple[str, str]]:
    """The tokens of a text in a good sequence; MeasureError marks the first place where none goes on so."""
    tokens: list[tuple[str, str]] = []
    place, end, kinds = 0, -1, ""
    while (rest := text[place:]).strip():
        place += len(rest) - len(rest.lstrip())
        match = _TOKEN.match(text, place)
        kinds += str(match.lastgroup) if match else "?"
        run_together = kinds.endswith("nn") and place == end
        if match is None or run_together or not any(form.startswith(kinds) for form in _FORMS):
            start, word = _word_at(text, place, match[0] if match else text[place])
            raise MeasureError(what, text, f"cannot read '{word}' (character {start + 1}); write e.g. {example}")
        tokens.append((kinds[-1], match[0].lower()))
        place = end = match.end()
    if kinds not in _FORMS:
        raise MeasureError(what, text, f"something is missing at the end (character {len(text.rstrip()) + 1}); "
                                       f"write e.g. {example}")
    return tokens


def _word_at(text: str, place: int, token: str) -> tuple[int, str]:
    """Where the word around a place starts, and the word: a letter of it alone tells nobody anything."""
    found = next((word for word in re.finditer(r"[^\W\d_]+", text) if word.start() <= place < word.end()), None)
    return (found.start(), found[0]) if found else (place, token)


def _value(kinds: str, words: list[str], unit: SiteUnit) -> Fraction:
    """The length of a good sequence of tokens, m; ValueError says what is wrong with its figures."""
    if kinds in ("n", "nu"):
        mark = words[1] if kinds == "nu" else unit
        if mark == "mm" and re.fullmatch("[1-9][0-9]{0,2},[0-9]{3}", words[0]):
            raise ValueError(f"this could be {words[0].replace(',', '.')} mm or {words[0].replace(',', '')} mm: "
                             "leave the comma out")
        return number(words[0]) * metres_per(mark)
    if kinds == "nf":
        return number(words[0]) * metres_per("ft")
    if "f" not in kinds and kinds not in _DASHED:
        return _inches(kinds, words) * metres_per("in")
    feet, inches = number(words[0]), _inches(kinds[2:], words[2:])
    if feet.denominator != 1:
        raise ValueError("feet before inches must be whole")
    if inches >= 12:
        raise ValueError("inches after feet must be under 12")
    return feet * metres_per("ft") + inches * metres_per("in")


def _inches(kinds: str, words: list[str]) -> Fraction:
    """Whole, decimal or mixed inches from their tokens."""
    parts = [word for kind, word in zip(kinds, words, strict=True) if kind in "nsv"]
    if len(parts) == 1 and parts[0] not in _VULGAR:
        return number(parts[0])
    if parts[-1] in _VULGAR:
        head, (above, below) = parts[:-1], _VULGAR[parts[-1]]
    else:
        head = parts[:-3]
        if not (parts[-3].isdigit() and parts[-1].isdigit() and 0 < int(parts[-3]) < int(parts[-1])):
            raise ValueError("the figure above the line must be whole, over 0 and under the one below")
        above, below = int(parts[-3]), int(parts[-1])
    if below not in _DENOMINATORS or (head and not head[0].isdigit()):
        raise ValueError("a fraction goes with whole inches and has 2, 4, 8, 16, 32 or 64 below the line")
    return Fraction(head[0] if head else 0) + Fraction(above, below)


def show_length(metres: float, unit: SiteUnit, *, tape: bool = True, down: bool = False) -> str:
    """A length (m) as the site shows it: mm under 10 m of tape work and m above; feet, inches and sixteenths.

    `tape=False` shows m at any length on a metric site; `down` rounds down, for sizes that must not grow.
    """
    sign = "-" if metres < 0 else ""
    size = abs(metres)
    if unit == "in":
        shown = _feet_and_inches(_whole(size / float(metres_per("in")) * _SIXTEENTHS, down))
    elif tape and size < _TAPE_M:
        tenths = _whole(size * 10_000, down)
        shown = f"{tenths / 10:g} mm" if tenths < 1000 else f"{_whole(size * 1000, down)} mm"
    else:
        places = 3 if tape else 2
        shown = f"{trimmed(_whole(size * 10**places, down) / 10**places, places)} m"
    return f"{sign}{shown}" if re.search("[1-9]", shown) else shown


def _whole(figure: float, down: bool) -> int:
    """The nearest whole number, or the one below, a millionth allowed for how a float holds a figure."""
    return math.floor(figure + (1e-6 if down else 0.5))


def _feet_and_inches(sixteenths: int) -> str:
    feet, rest = divmod(sixteenths, 12 * _SIXTEENTHS)
    inches, part = divmod(rest, _SIXTEENTHS)
    fraction = str(Fraction(part, _SIXTEENTHS)) if part else ""
    joined = f"{inches}-{fraction}" if inches and fraction else fraction or str(inches)
    return f"{feet}' {joined}\"" if feet else f'{joined}"'


def trimmed(figure: float, places: int) -> str:
    """A figure with up to so many decimals, without zeros at the end."""
    text = f"{figure:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
