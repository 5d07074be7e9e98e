"""What is still worth doing: for each remaining phase and bay its gain, the decay it leaves, and both per cost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.counting import State, counted, gain_each
from tracker.domain.sound.rooms import mean
from tracker.domain.sound.surfaces import BaySound, RoomSurfaces, plus, times
from tracker.domain.sound.targets import TargetBand, in_target

Kind = Literal["phase", "bay"]
By = Literal["money", "hour", "gain"]


@dataclass(frozen=True, slots=True)
class Outlay:
    """What is still to be spent on a phase or bay: money for material to buy, and hours; None where not known."""

    money: float | None = None
    hours_h: float | None = None


@dataclass(frozen=True, slots=True)
class Worth:
    """What a phase or bay still brings, put up alone on what is up now."""

    target: str
    """The phase's name or the bay's key."""
    kind: Kind
    area_m2: float
    """Of the infill still to be put up."""
    gain_m2: PerBand
    mean_gain_m2: float
    after: State
    """As now, with it."""
    comes_in_hz: tuple[int, ...]
    """Bands that come into target."""
    falls_out_hz: tuple[int, ...]
    """Bands now in target that it takes out, by making the room too dead."""
    outlay: Outlay
    per_money: float | None
    """Mean gain in m2 for each unit of money; None where the money is not known or nothing is left to buy."""
    per_hour: float | None


@dataclass(frozen=True, slots=True)
class Change:
    """Bays as they might be instead: other coefficients, or a share of their area; None leaves them."""

    alpha: PerBand | None = None
    source: str = ""
    area_share: float = 1.0


def worth(
    room: RoomSurfaces,
    phases: Sequence[str],
    target: TargetBand | None = None,
    outlays: Mapping[str, Outlay] | None = None,
    cap: bool = True,
) -> tuple[Worth, ...]:
    """Each phase in order that has infill left to put up, followed by its bays, each with what it brings alone.

    Outlays are by phase name and bay key. Areas in m2, times in s; bands are in target by Sabine's time.

    Source: EN 12354-6:2003, equation 1, for gains; states as in `room_sound`.
    """
    count, spent = counted(room, cap), outlays or {}
    now = count.areas(())
    before = () if target is None else in_target(count.state(now).sabine_s, target)
    found: list[Worth] = []

    def row(name: str, kind: Kind, bays: Sequence[BaySound]) -> Worth:
        left = [bay.area_m2 * (1.0 - bay.installed_fraction) for bay in bays]
        gain = plus([times(gain_each(bay, count.limit), m2) for bay, m2 in zip(bays, left, strict=True)])
        after = count.state(count.areas((name,)) if kind == "phase" else count.with_bay(now, bays[0]))
        inside = () if target is None else in_target(after.sabine_s, target)
        outlay = spent.get(name, Outlay())
        mean_gain = mean(gain)
        return Worth(
            name, kind, sum(left), gain, mean_gain, after,
            tuple(hz for hz in inside if hz not in before), tuple(hz for hz in before if hz not in inside),
            outlay, _per(mean_gain, outlay.money), _per(mean_gain, outlay.hours_h),
        )  # fmt: skip

    for phase in phases:
        bays = [bay for _, bay in room.bays if bay.phase == phase and bay.installed_fraction < 1.0]
        if bays:
            found.append(row(phase, "phase", bays))
            found += [row(bay.key, "bay", [bay]) for bay in bays]
    return tuple(found)


def ranked(rows: Iterable[Worth], by: By = "money") -> tuple[Worth, ...]:
    """Rows best first: by gain for each unit of money, by gain per hour, or by gain alone.

    What costs nothing more comes first, what has no figure late, and what gains nothing last of all, whatever it
    costs; equals by gain, then in the order given.

    Source: definition.
    """
    if by == "gain":
        return tuple(sorted(rows, key=lambda one: -one.mean_gain_m2))
    spent: Callable[[Worth], float | None] = (
        (lambda one: one.outlay.money) if by == "money" else (lambda one: one.outlay.hours_h)
    )
    rate: Callable[[Worth], float | None] = (
        (lambda one: one.per_money) if by == "money" else (lambda one: one.per_hour)
    )

    def key(one: Worth) -> tuple[int, float, float]:
        if one.mean_gain_m2 <= 0.0:
            return 3, 0.0, -one.mean_gain_m2
        cost = spent(one)
        group = 2 if cost is None else 0 if cost == 0.0 else 1
        return group, -(rate(one) or 0.0), -one.mean_gain_m2

    return tuple(sorted(rows, key=key))


def what_if(room: RoomSurfaces, changes: Mapping[str, Change]) -> RoomSurfaces:
    """The room with what is left of some bays changed, by bay key; what is up stays, and so does the plan.

    Refused for a bay the room has not, and for a share of area not above 0.

    Source: definition: the part that is up and the part that is left are counted as two bays.
    """
    unknown = sorted(set(changes) - {bay.key for _, bay in room.bays})
    if unknown:
        raise Refused(f"what if: room {room.name} has no bay {unknown[0]}")
    for key, change in changes.items():
        if not change.area_share > 0.0:
            raise Refused(f"what if: {key} at {change.area_share:g} of its area; give a share above 0, such as 0.8")
        if change.alpha is not None and len(change.alpha) != len(BANDS_HZ):
            raise Refused(f"what if: {key} needs six coefficients")
    planes = tuple(
        replace(plane, bays=tuple(part for bay in plane.bays for part in _parts(bay, changes.get(bay.key))))
        for plane in room.planes
    )
    return replace(room, planes=planes)


def _parts(bay: BaySound, change: Change | None) -> tuple[BaySound, ...]:
    if change is None or bay.installed_fraction >= 1.0:
        return (bay,)
    left = replace(
        bay,
        area_m2=bay.area_m2 * (1.0 - bay.installed_fraction) * change.area_share,
        alpha_new=bay.alpha_new if change.alpha is None else change.alpha,
        source=bay.source if change.alpha is None else change.source,
        installed_fraction=0.0,
    )
    if bay.installed_fraction <= 0.0:
        return (left,)
    return replace(bay, area_m2=bay.area_m2 * bay.installed_fraction, installed_fraction=1.0), left


def _per(gain_m2: float, spent: float | None) -> float | None:
    return gain_m2 / spent if spent else None
