"""Absorption area and decay time of every room: bare, now, planned, and after each phase."""

from __future__ import annotations

from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Room, Site
from tracker.domain.sound.decay import least_surface_m2
from tracker.domain.sound.rooms import State, room_sound
from tracker.domain.sound.targets import in_target, target_band
from tracker.measures import show_area, show_volume
from tracker.services.answers import PhaseSound, RoomSound, SoundReport, SoundState, TargetView
from tracker.services.desk import Desk, Standing
from tracker.services.sounding import room_surfaces


def sound_report(desk: Desk) -> SoundReport:
    """The sound of every room of the site."""
    now = desk.standing()
    return SoundReport(now.site.name, tuple(_room(now, room) for room in now.site.rooms))


def _room(now: Standing, room: Room) -> RoomSound:
    surfaces = room_surfaces(now.site, room, now.progress)
    found = room_sound(surfaces, tuple(phase.name for phase in now.site.phases), now.site.cap)
    band = None if room.target is None else target_band(room.target, room.volume_m3)
    return RoomSound(
        name=room.name, volume_m3=room.volume_m3, surface_m2=found.surface_m2,
        mean_free_path_m=found.mean_free_path_m, crossover_hz=found.crossover_hz,
        bare=_state(found.bare), now=_state(found.now), planned=_state(found.planned),
        target=None if band is None else TargetView(band.name, band.low_s, band.high_s, band.source),
        in_target=() if band is None else in_target(found.now.sabine_s, band),
        phases=tuple(PhaseSound(one.name, one.gain_planned_m2, one.gain_installed_m2, _state(one.after))
                     for one in found.phases),
        cautions=room_cautions(now.site, room))


def room_cautions(site: Site, room: Room) -> tuple[str, ...]:
    """What makes a room's figures no room's: planes that can't close around its volume."""
    surface = sum(area_m2(plane.outline) for plane in room.planes if plane.kind != "cloud")
    least = least_surface_m2(room.volume_m3)
    if surface >= least:
        return ()
    return (f"{room.name}: its planes come to {show_area(surface, site.unit)}, and nothing closes around "
            f"{show_volume(room.volume_m3, site.unit)} with less than {show_area(least, site.unit)}; add the floor, "
            "ceiling and walls that are left bare, or the decay times mean nothing",)


def _state(state: State) -> SoundState:
    return SoundState(area_m2=state.area_m2, sabine_s=state.sabine_s, eyring_s=state.eyring_s, low_s=state.low_s,
                      high_s=state.high_s)
