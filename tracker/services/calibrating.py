"""Which measurement a room's figures follow from, and the room brought to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.domain.errors import Refused
from tracker.domain.site import Room
from tracker.domain.sound.calibration import Calibration, calibrate, calibrated
from tracker.domain.sound.surfaces import RoomSurfaces
from tracker.services.desk import Standing
from tracker.services.measurements import as_measured, up_then
from tracker.services.sounding import room_surfaces
from tracker.store.measurements import StoredMeasurement

NO_CALIBRATION = "none"


@dataclass(frozen=True, slots=True)
class RoomBasis:
    """What a room's figures are worked out from."""

    room: Room
    surfaces: RoomSurfaces
    """Brought to the calibration where there is one."""
    calibration: Calibration | None
    measured: tuple[StoredMeasurement, ...]
    """The room's measurements, the barest state first."""
    cautions: tuple[str, ...]


def room_basis(now: Standing, room: Room, known: Sequence[StoredMeasurement], wanted: str | None = None) -> RoomBasis:
    """A room's figures follow from the measurement of its barest state, or the one wanted; `none`: from handbooks."""
    surfaces = room_surfaces(now.site, room, now.progress)
    mine = barest_first(now, surfaces, [one for one in known if one.room == room.name])
    if wanted == NO_CALIBRATION or not mine:
        return RoomBasis(room, surfaces, None, mine, ())
    named = [one for one in mine if one.name == wanted]
    said: list[str] = []
    for one in named or mine:
        try:
            found = calibrate(surfaces, as_measured(now, one), now.site.cap)
        except Refused as refusal:
            if named:
                raise
            said.append(f"{room.name}: its figures could not be brought to a measurement: {refusal}")
            continue
        return RoomBasis(room, calibrated(surfaces, found), found, mine, tuple(said))
    return RoomBasis(room, surfaces, None, mine, tuple(said))


def refuse_unknown(known: Sequence[StoredMeasurement], wanted: str | None) -> None:
    """Refused where no room has the measurement that is asked for."""
    names = list(dict.fromkeys(one.name for one in known))
    if wanted is not None and wanted != NO_CALIBRATION and wanted not in names:
        listed = f"there are {', '.join(names)}" if names else "none is stored; see `sabinry sound --measured`"
        raise Refused(f"calibrate {wanted}: no measurement of that name; {listed}")


def barest_first(now: Standing, surfaces: RoomSurfaces,
                 measured: Sequence[StoredMeasurement]) -> tuple[StoredMeasurement, ...]:
    """Measurements by how much infill was up; of one state that of most bands and places comes first, then the newest.
    """
    areas = {bay.key: bay.area_m2 for _, bay in surfaces.bays}

    def rank(one: StoredMeasurement) -> tuple[float, int, int, int]:
        up_m2 = sum(areas[key] * share for key, share in up_then(now, one).items())
        return round(up_m2, 6), sum(time_s is None for time_s in one.t_s), -one.positions, -one.on.toordinal()

    return tuple(sorted(measured, key=rank))
