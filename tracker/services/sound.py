"""Absorption area and decay time of every room: bare, now, planned, after each phase, and as measured."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Room, Site
from tracker.domain.sound.calibration import Calibration, gain_against_measured, predicted_against_measured
from tracker.domain.sound.counting import Count, State, counted
from tracker.domain.sound.decay import area_for_m2, least_surface_m2
from tracker.domain.sound.measured import Measured, measured_area_m2, measuring_notes
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sound.surfaces import RoomSurfaces
from tracker.domain.sound.targets import TargetBand, in_target, target_band
from tracker.domain.sound.trust import trust
from tracker.measures import show_area, show_volume
from tracker.services.calibrating import RoomBasis, refuse_unknown, room_basis
from tracker.services.clouds import cloud_notes
from tracker.services.desk import Desk, Standing
from tracker.services.measurements import as_measured, read_in, room_named, state_words, up_then
from tracker.services.sound_answers import (
    CalibrationView,
    GainView,
    MeasuredView,
    PhaseSound,
    RoomSound,
    SoundReport,
    SoundState,
    TargetView,
    Times,
    TrustView,
)
from tracker.store.measurements import StoredMeasurement


def sound_report(desk: Desk, room: str | None = None, calibrate: str | None = None) -> SoundReport:
    """The sound of every room of the site, or of one.

    `calibrate` names the measurement the figures follow from; None: that of the barest state; `none`: handbooks.
    """
    now, known = desk.standing(), read_in(desk)
    refuse_unknown(known, calibrate)
    rooms = now.site.rooms if room is None else (room_named(now.site, room),)
    return SoundReport(now.site.name, tuple(room_view(now, room_basis(now, one, known, calibrate)) for one in rooms))


def room_view(now: Standing, basis: RoomBasis) -> RoomSound:
    """One room's figures from what they are worked out from."""
    room, surfaces, cap = basis.room, basis.surfaces, now.site.cap
    order = tuple(phase.name for phase in now.site.phases)
    found, known = room_figures(surfaces, order, cap), basis.calibration
    band = None if room.target is None else target_band(room.target, room.volume_m3)
    return replace(
        found,
        target=None if band is None else _target(band, counted(surfaces, cap)),
        in_target=() if band is None else in_target(found.now.sabine_s, band),
        cautions=(*room_cautions(now.site, room), *basis.cautions),
        calibrated_on=None if known is None else known.measured.name,
        calibration=None if known is None else _calibration(known),
        measured=tuple(_measured(now, basis, one) for one in basis.measured), gains=tuple(_gains(now, basis)),
        notes=(*found.notes, *cloud_notes(now.site, room)))


@lru_cache(maxsize=64)
def room_figures(surfaces: RoomSurfaces, order: tuple[str, ...], cap: bool) -> RoomSound:
    """A room's own figures, without its target and what was measured: kept, for most changes leave most rooms alone."""
    found, count = room_sound(surfaces, order, cap), counted(surfaces, cap)
    return RoomSound(
        name=surfaces.name, volume_m3=surfaces.volume_m3, surface_m2=found.surface_m2,
        mean_free_path_m=found.mean_free_path_m, crossover_hz=found.crossover_hz,
        bare=_state(found.bare, count, None), now=_state(found.now, count, ()),
        planned=_state(found.planned, count, order), target=None, in_target=(),
        phases=tuple(PhaseSound(one.name, one.gain_planned_m2, one.gain_installed_m2,
                                _state(one.after, count, [two.name for two in found.phases[:place]]))
                     for place, one in enumerate(found.phases, start=1)),
        cautions=(), trust=_trust(surfaces, (), cap), trust_planned=_trust(surfaces, order, cap), calibrated_on=None,
        calibration=None, measured=(), gains=(), notes=tuple(_losses(found.phases)))


LOSS_M2 = 0.05
"""A gain further under 0 than this is told: what a tenth of a m2 rounds from."""


def _losses(phases: Sequence[PhaseSound]) -> Iterator[str]:
    """Bands in which phases take less than what they cover."""
    by_phases: dict[tuple[str, ...], list[int]] = {}
    for band, hz in enumerate(BANDS_HZ):
        names = tuple(one.name for one in phases if one.gain_planned_m2[band] < -LOSS_M2)
        if names:
            by_phases.setdefault(names, []).append(hz)
    for names, bands in by_phases.items():
        yield (f"At {', '.join(map(str, bands))} Hz less is absorbed than by what is covered ({', '.join(names)}), so "
               "that the decay gets longer there; a thicker board or air behind it helps")


def room_cautions(site: Site, room: Room) -> tuple[str, ...]:
    """What makes a room's figures no room's: planes that can't close around its volume."""
    surface = sum(area_m2(plane.outline) for plane in room.planes if plane.kind != "cloud")
    least = least_surface_m2(room.volume_m3)
    if surface >= least:
        return ()
    return (f"{room.name}: its planes come to {show_area(surface, site.unit)}, and nothing closes around "
            f"{show_volume(room.volume_m3, site.unit)} with less than {show_area(least, site.unit)}; add the floor, "
            "ceiling and walls that are left bare, or the decay times mean nothing",)


def _state(state: State, count: Count | None = None, done: Iterable[str] | None = None) -> SoundState:
    low, high = (state.area_m2, state.area_m2) if count is None else count.ends(done)
    return SoundState(area_m2=state.area_m2, sabine_s=state.sabine_s, eyring_s=state.eyring_s, low_s=state.low_s,
                      high_s=state.high_s, area_low_m2=low, area_high_m2=high)


def _target(band: TargetBand, count: Count) -> TargetView:
    """A target with the absorption area it asks for, in the air that the room's own figures are worked out with."""
    def areas(times_s: PerBand) -> Times:
        return tuple(max(0.0, area_for_m2(count.room.volume_m3, time_s, air, count.speed_m_s)) if time_s > 0.0 else None
                     for time_s, air in zip(times_s, count.air_per_m, strict=True))
    return TargetView(band.name, band.low_s, band.high_s, band.source, areas(band.high_s), areas(band.low_s))


def _trust(surfaces: RoomSurfaces, done: Iterable[str], cap: bool) -> TrustView:
    found = trust(surfaces, done, cap)
    return TrustView(found.ratio, found.reasons, found.sentence)


def _calibration(found: Calibration) -> CalibrationView:
    return CalibrationView(found.measured.name, found.bare_m2, found.factor, found.uncertainty_m2, found.warnings)


def _measured(now: Standing, basis: RoomBasis, one: StoredMeasurement) -> MeasuredView:
    measured = as_measured(now, one)
    found = predicted_against_measured(basis.surfaces, measured, now.site.cap)
    return MeasuredView(
        name=one.name, date=one.on, source=one.source, state=state_words(now, one),
        up=tuple((now.site.short(key), share) for key, share in up_then(now, one).items()), metric=one.metric,
        positions=one.positions, temperature_c=one.temperature_c, humidity_pct=one.humidity_pct, note=one.note,
        measured_s=found.measured_s, expanded_s=found.expanded_s, predicted=_state(found.predicted),
        off_pct=found.off_pct, agrees=found.agrees, area_m2=measured_area_m2(basis.room.volume_m3, measured),
        notes=measuring_notes(measured))


def _gains(now: Standing, basis: RoomBasis) -> Iterable[GainView]:
    """From each measured state to the next, and from the first to the last where there are more than two."""
    states: dict[tuple[tuple[str, float], ...], Measured] = {}
    for one in basis.measured:
        measured = as_measured(now, one)
        states.setdefault(tuple(sorted(measured.up)), measured)
    stages = list(states.values())
    pairs = list(zip(stages, stages[1:], strict=False))
    if len(stages) > 2:
        pairs.append((stages[0], stages[-1]))
    for before, after in pairs:
        found = gain_against_measured(basis.surfaces, before, after, now.site.cap)
        gain = found.measured
        yield GainView(before.name, after.name, gain.gain_m2, gain.expanded_m2, gain.resolved, found.predicted_m2,
                       found.agrees, gain.notes)
