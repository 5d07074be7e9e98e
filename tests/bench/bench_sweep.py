"""Reading a recording of a 10 s sweep, as multiples of real time and of reading the file: `python bench_sweep.py`.

The whole command with start-up, in a program of its own, and its parts within one; with the most memory it took.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROUNDS = 7
# The most memory of a program, by itself: a process of its own runs it and asks for that of its children.
PEAK = ("import resource, subprocess, sys\nsubprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)\n"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)")


def median_s(job: Callable[[], object]) -> float:
    """Median wall time of some runs, after one that does not count."""
    job()
    found = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        job()
        found.append(time.perf_counter() - began)
    return statistics.median(found)


def main() -> None:
    import soundfile

    from tracker.services import sweep_analysing
    from tracker.services.demo import build_demo, make_recordings
    from tracker.services.desk import open_desk
    from tracker.services.sweep_files import read_recording, signal_settings
    from tracker.services.sweeping import write_sweep

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file, store = make_recordings(folder)[0], folder / "demo.db"
        build_demo(store).close()
        desk = open_desk(store)
        write_sweep(desk, str(folder / "noted.wav"))
        desk.close()
        sound = read_recording(file)
        settings = signal_settings(folder / "sweep.wav")
        reading = median_s(lambda: soundfile.read(file))
        print(f"{sound.length_s:.1f} s at {sound.rate_hz} Hz, {file.suffix}; reading the file {1000 * reading:.0f} ms")

        def say(what: str, seconds: float) -> None:
            print(f"{what}: {1000 * seconds:.0f} ms, {sound.length_s / seconds:.0f} times real time, "
                  f"{seconds / reading:.1f} times reading the file")

        say("checked and analysed", median_s(lambda: sweep_analysing.read_recording(str(file), "", (settings,))))
        python = (sys.executable, "-m", "tracker", "--store", str(store))
        bare = (sys.executable, "-c", "import typer, numpy, soundfile")
        commands = {"the three imports alone": bare, "sweep read": (*python, "sweep", "read", str(file)),
                    "sweep read --as": (*python, "sweep", "read", str(file), "--as", "bench", "--position", "1"),
                    "the same again": (*python, "sweep", "read", str(file), "--as", "bench", "--position", "1",
                                       "--again")}
        for what, command in commands.items():
            if what == "sweep read --as":
                subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
                continue
            say(what, median_s(lambda command=command: subprocess.run(command, check=True, stdout=subprocess.DEVNULL)))
            peak = subprocess.run((sys.executable, "-c", PEAK, *command), check=True, capture_output=True, text=True)
            print(f"  at most {int(peak.stdout) / 1024:.0f} MB")
    print(f"this bench itself: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
