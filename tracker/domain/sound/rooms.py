"""How a room's sound is counted: its absorption area and decay times bare, now, planned and after each phase."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.counting import State, counted, gain_each
from tracker.domain.sound.decay import crossover_hz, mean_free_path_m
from tracker.domain.sound.surfaces import BaySound, RoomSurfaces, times

_MIDDLE = tuple(BANDS_HZ.index(hz) for hz in (500, 1000))


@dataclass(frozen=True, slots=True)
class PhaseSound:
    """What a phase gains in a room, m2 per octave band, and how the room stands after it."""

    name: str
    gain_planned_m2: PerBand
    gain_installed_m2: PerBand
    after: State
    """As now, once all phases up to it are done; what is up in later phases counts."""


@dataclass(frozen=True, slots=True)
class RoomSound:
    """A room's figures: m3, m2, m, Hz and its states."""

    name: str
    volume_m3: float
    surface_m2: float
    """Bounding area, clouds left out."""
    mean_free_path_m: float
    crossover_hz: float
    """Taken at Sabine's time now, the mean of 500 Hz and 1 kHz."""
    bare: State
    now: State
    planned: State
    phases: tuple[PhaseSound, ...]


def mean(per_band: PerBand) -> float:
    """The mean over the bands, in the unit given.

    Source: definition.
    """
    return sum(per_band) / len(per_band)


def bay_gain(bay: BaySound, cap: bool = True) -> PerBand:
    """Absorption area in m2 that a bay adds once its infill is up: its area times (its coefficient less the covered).

    A cloud gains on both faces and covers nothing. Coefficients over 1 count as 1 unless `cap` is off.

    Source: EN 12354-6:2003, equation 1 (a lining replaces what it covers; annex E, case 3).
    """
    return times(gain_each(bay, 1.0 if cap else None), bay.area_m2)


def room_sound(room: RoomSurfaces, phases: Sequence[str], cap: bool = True) -> RoomSound:
    """A room's absorption areas in m2 and decay times in s, bare, now, planned and after each of its phases.

    Phases are in the order they are done; those with no bay in this room are left out. Coefficients over 1 count as
    1 unless `cap` is off. Refused where the volume is not above 0 or no plane bounds the room.

    Source: EN 12354-6:2003, equation 1 for the areas; the models' sources stand in decay.py; ISO 9613-1 for the air.
    """
    count = counted(room, cap)
    present = {bay.phase for _, bay in room.bays}
    order = [name for name in phases if name in present]
    now = count.stage(())
    return RoomSound(
        name=room.name,
        volume_m3=room.volume_m3,
        surface_m2=count.surface_m2,
        mean_free_path_m=mean_free_path_m(room.volume_m3, count.surface_m2),
        crossover_hz=room_crossover_hz(room.volume_m3, now),
        bare=count.stage(None),
        now=now,
        planned=count.stage(present),
        phases=tuple(
            PhaseSound(
                name,
                count.whole.planned[name],
                count.whole.installed[name],
                count.stage(order[: place + 1]),
            )
            for place, name in enumerate(order)
        ),
    )


def room_crossover_hz(volume_m3: float, state: State) -> float:
    """Frequency in Hz below which single modes rule, at Sabine's time of a state, the mean of 500 Hz and 1 kHz.

    Volume in m3; refused where the room has no decay time in either band.

    Source: Schroeder's frequency, 2000 (T/V)^(1/2) in SI units; the mean of the two bands is common practice.
    """
    middle = [time_s for band in _MIDDLE if (time_s := state.sabine_s[band]) is not None]
    if not middle:
        raise Refused("room: nothing is left to absorb at 500 and 1000 Hz; no bay may be larger than its plane")
    return crossover_hz(volume_m3, sum(middle) / len(middle))
