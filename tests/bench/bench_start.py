"""How long a verb and the first picture take, as ratios measured in one run: `python tests/bench/bench_start.py`."""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 7
# Each program ends itself the moment its first picture stands: Textual sends Ready after the first frame.
BARE_APP = ("import os\nfrom textual.app import App\n"
            "class Timed(App):\n    def on_ready(self): os._exit(0)\n"
            "Timed().run(headless=True, size=(80, 24))")
OUR_APP = ("import os, sys\nfrom pathlib import Path\nfrom tracker.cli import start\n"
           "from tracker.ui.app import SabinryApp\n"
           "SabinryApp.on_ready = lambda self: os._exit(0)\n"
           "SabinryApp.run = lambda self, run=SabinryApp.run: run(self, headless=True, size=(80, 24))\n"
           "start.open_screens(Path(sys.argv[1]))")


def seconds(*command: str) -> float:
    """Wall time of one run of a command."""
    began = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def ratio(ours: tuple[str, ...], other: tuple[str, ...]) -> str:
    """Median of the ratios of pairs run in turn."""
    seconds(*ours), seconds(*other)
    pairs = [(seconds(*ours), seconds(*other)) for _ in range(ROUNDS)]
    found = [one / two for one, two in pairs]
    return (f"{statistics.median(found):.2f} (from {min(found):.2f} to {max(found):.2f}; "
            f"{statistics.median(one for one, _ in pairs):.2f} s)")


def main() -> None:
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder) / "demo.db")
        from tracker.services.demo import build_demo

        build_demo(Path(store)).close()
        imports = (python, "-c", "import sqlmodel, pint, shapely")
        for verb in (("status",), ("check", "high wall/right")):
            print(f"{' '.join(verb)} / the three imports:", ratio((python, "-m", "tracker", "--store", store, *verb),
                                                                  imports))
        print("first picture / bare Textual app:", ratio((python, "-c", OUR_APP, store), (python, "-c", BARE_APP)))


if __name__ == "__main__":
    main()
