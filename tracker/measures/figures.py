"""How shares, volumes, areas and money are written."""

from __future__ import annotations

import re

from tracker.measures.lengths import trimmed
from tracker.measures.units import NUMBER, MeasureError, SiteUnit, Written, bare, factor, number, refuse_no_figure

_LARGEST_M3 = 100_000


def read_fraction(text: Written, *, what: str = "done") -> float:
    """A share from 0 to 1: `60%`, or bare, where up to 1 is a share (0.6, 1) and over 1 a percentage (60)."""
    remedy = "write e.g. 60%"
    percent = False
    if isinstance(text, str):
        refuse_no_figure(text, what, remedy)
        match = re.fullmatch(rf"\s*({NUMBER})\s*(%?)\s*", text)
        if match is None:
            raise MeasureError(what, text, f"cannot read that as a share; {remedy}")
        value, percent = number(match[1]), bool(match[2])
    else:
        value = bare(text, what, remedy)
    share = value / 100 if percent or value > 1 else value
    if share > 1:
        raise MeasureError(what, text, f"that is over 100 %; {remedy}")
    return float(share)


def read_volume(text: Written, *, what: str = "volume") -> float:
    """A volume in m3, over 0: a bare number in m3, or with `m3`, `m^3`, `ft3`, `ft^3`; MeasureError otherwise."""
    remedy = "write e.g. 43.2 (m3) or 1525 ft^3"
    if isinstance(text, str):
        refuse_no_figure(text, what, remedy)
        match = re.fullmatch(rf"\s*({NUMBER})\s*(?:(m|ft)\s*(?:\^|\*\*)?\s*[3\u00b3])?\s*", text, re.I)
        if match is None:
            raise MeasureError(what, text, f"cannot read that as a volume; {remedy}")
        value = number(match[1]) * (factor("foot**3", "metre**3") if (match[2] or "").lower() == "ft" else 1)
    else:
        value = bare(text, what, remedy)
    if value == 0 or value > _LARGEST_M3:
        raise MeasureError(what, text, f"a room has over 0 and up to {_LARGEST_M3} m3; {remedy}")
    return float(value)


def show_area(area_m2: float, unit: SiteUnit) -> str:
    """An area (m2) as the site shows it: `3.45 m2`, or `37.1 ft2` on an inch site."""
    if unit == "in":
        return f"{trimmed(area_m2 / float(factor('foot**2', 'metre**2')), 1)} ft2"
    return f"{trimmed(area_m2, 2)} m2"


def show_volume(volume_m3: float, unit: SiteUnit) -> str:
    """A volume (m3) as the site shows it: `43.2 m3`, or `1525 ft3` on an inch site."""
    if unit == "in":
        return f"{trimmed(volume_m3 / float(factor('foot**3', 'metre**3')), 0)} ft3"
    return f"{trimmed(volume_m3, 1)} m3"


def show_money(amount: float, currency: str) -> str:
    """An amount of money with its currency: `54.00 EUR`."""
    return f"{amount:.2f} {currency}"
