"""A site of 300 bays recounted after one change, beside the bare numpy sum: `python tests/bench/bench_sound.py`."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from ten_years import TODAY, Size, build_ten_years

from tracker.domain.sound.explain import explain
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces
from tracker.domain.sound.worth import worth
from tracker.services.desk import Desk, open_desk
from tracker.services.diary import DayLog, log_day
from tracker.services.sound import room_figures, sound_report

BAYS, ROUNDS = 300, 40
PHASES = tuple(f"phase {n}" for n in range(8))
PLASTER = (0.15, 0.10, 0.06, 0.04, 0.04, 0.05)
BOARDS = (
    (0.22, 0.82, 1.21, 1.10, 1.02, 1.05),
    (0.53, 1.19, 1.21, 1.08, 1.01, 1.04),
    (0.18, 0.24, 0.68, 0.85, 1.00, 1.00),
)
SPANS = tuple((tuple(0.9 * a for a in board), tuple(1.1 * a for a in board)) for board in BOARDS)


def made_up() -> RoomSurfaces:
    """A hall of 300 bays on six planes, in eight phases and three build-ups."""
    faces = (("west", "wall", "x"), ("east", "wall", "x"), ("north", "wall", "y"), ("south", "wall", "y"),
             ("lid", "ceiling", None), ("ground", "floor", None))
    planes = []
    for at, (name, kind, axis) in enumerate(faces):
        bays = tuple(
            BaySound(f"{name}/{n}", PHASES[n % 8], 0.9 + 0.01 * (n % 40), BOARDS[n % 3], PLASTER, 1, (n % 5) / 4,
                     alpha_span=SPANS[n % 3])
            for n in range(at, BAYS, len(faces))
        )
        planes.append(PlaneSound(name, kind, axis, (Patch(120.0, PLASTER), Patch(4.0, BOARDS[2])), bays))
    return RoomSurfaces("hall", 900.0, 20.0, 50.0, tuple(planes))


def one_more_up(room: RoomSurfaces, at: int) -> RoomSurfaces:
    """The same room with one bay's infill put up."""
    plane = room.planes[at % 6]
    bays = list(plane.bays)
    bays[at % len(bays)] = replace(bays[at % len(bays)], installed_fraction=1.0)
    planes = list(room.planes)
    planes[at % 6] = replace(plane, bays=tuple(bays))
    return replace(room, planes=tuple(planes))


def numpy_sum(room: RoomSurfaces) -> Callable[[], np.ndarray]:
    """The bare sum now, planned and bare, and Sabine's times, of arrays that stand ready."""
    bays = [bay for _, bay in room.bays]
    area = np.array([bay.area_m2 for bay in bays])
    up = np.array([bay.installed_fraction for bay in bays])
    gain = np.minimum([bay.alpha_new for bay in bays], 1.0) - np.array([bay.alpha_covered for bay in bays])
    patches = [patch for plane in room.planes for patch in plane.patches]
    bare = np.array([patch.area_m2 for patch in patches]) @ np.minimum([patch.alpha for patch in patches], 1.0)

    def total() -> np.ndarray:
        now, planned = bare + (area * up) @ gain, bare + area @ gain
        return 0.161 * room.volume_m3 / np.stack([bare, now, planned])

    return total


def median_s(job: Callable[[int], object]) -> float:
    """Median wall time of a job, s, after one warm run."""
    job(0)
    taken = []
    for at in range(ROUNDS):
        began = time.perf_counter()
        job(at)
        taken.append(time.perf_counter() - began)
    return statistics.median(taken)


def main() -> None:
    room = made_up()
    rooms = [one_more_up(room, at) for at in range(ROUNDS)]
    total = numpy_sum(room)
    bare = median_s(lambda _: total())
    recount = median_s(lambda at: room_sound(one_more_up(room, at), PHASES))
    print(f"bare numpy sum                 {1e3 * bare:8.3f} ms")
    print(f"all states after one change    {1e3 * recount:8.3f} ms, {recount / bare:6.0f} x the sum")
    for name, job in (
        ("with spans and trust, as shown", lambda at: room_figures(one_more_up(room, at), PHASES, True)),
        ("the sum of one band explained", lambda at: explain(rooms[at], 500, PHASES)),
        ("worth of every phase and bay", lambda at: worth(rooms[at], PHASES)),
    ):
        taken = median_s(job)
        print(f"{name:30} {1e3 * taken:8.3f} ms, {taken / bare:6.0f} x the sum")

    with TemporaryDirectory() as folder:
        path = Path(folder) / "site.db"
        build_ten_years(path, Size(entries=1500, movements=8000))
        taken = after_entries_s(open_desk(path, lambda: TODAY))
    print(f"a site's report after an entry {1e3 * taken:8.3f} ms, {taken / bare:6.0f} x the sum (300 bays, six rooms)")


def after_entries_s(desk: Desk) -> float:
    """Median wall time, s, of the whole site's sound report after an entry; the reading of the entry is not in it."""
    now = desk.standing()
    sound_report(desk)
    taken = []
    for bay in [bay for bay in now.site.bays.values() if now.progress.of(bay, "track") == 1.0]:
        if now.progress.of(bay, "infill") == 1.0:
            continue
        log_day(desk, DayLog(bay.key, "infill", 0.5, used=()))
        desk.standing()
        began = time.perf_counter()
        sound_report(desk)
        taken.append(time.perf_counter() - began)
    return statistics.median(taken)


if __name__ == "__main__":
    main()
