"""How soon a key is answered on the demo and on ten years of work, in one run: `python tests/bench/bench_screens.py`.

Painted: from the key to the first picture that goes to the terminal after it. Worked: what the screen's own thread had
worked by then. Settled: to the last picture that the key brings about. Both sites are driven with the same keys.
"""

from __future__ import annotations

import asyncio
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from ten_years import TODAY, build_ten_years
from textual import events
from textual.drivers.headless_driver import HeadlessDriver
from textual.keys import _character_to_key
from textual.widgets import Input

ROUNDS = 2
OPENINGS = 3
SIZE = (120, 40)
HELD_S = 1 / 30
"""A key held down comes so often."""
QUIET_S = 0.06
"""No picture for so long: all that a key brings about is there."""

WALK: tuple[tuple[str, str], ...] = (
    ("view", "2 3 4 5 6 1"),
    ("list", "down down down down up up"),
    ("view", "2"), ("room", "right right down down down z z down right down left a a left"),
    ("view", "3"), ("list", "down down down up"), ("panel", "enter"), ("list", "down down pagedown pageup"),
    ("leave", "escape"), ("panel", "b"), ("leave", "escape"),
    ("view", "4"), ("list", "home down down down right right left pagedown pagedown end up up home"),
    ("view", "5"), ("sound", "a right a left"),
    ("view", "6"), ("list", "down down down pagedown pagedown end up up home down"),
    ("search", "slash d u s t y backspace backspace backspace backspace backspace"), ("leave", "escape"),
    ("lessons", "t"), ("list", "down down pagedown"), ("lessons", "t"),
    ("view", "1"), ("form", "l"), ("typing", "1 . 5 tab s a w n space d o w n"), ("list", "down down up"),
    ("leave", "escape"), ("form", "k"), ("leave", "escape"), ("form", "c"), ("leave", "escape"),
)
HELD = (("6", "down", 40), ("4", "down", 40), ("1", "down", 6), ("2", "down", 30))
"""View, the key held down in it, and how often it comes."""
CHANGES = (("order", "3 o 2 enter"), ("undo", "u enter"))
"""What is written to the store: the last key of each is timed."""


class Terminal(HeadlessDriver):
    """Takes the pictures as a terminal would and notes when they came."""

    painted: list[float] = []
    worked: list[float] = []
    """What the screen's thread had worked by then: this does not grow with what else the machine does."""

    @property
    def is_headless(self) -> bool:
        return False

    def write(self, data: str) -> None:
        Terminal.painted.append(time.perf_counter())
        Terminal.worked.append(time.thread_time())


class Measured:
    """Latencies in seconds by kind of key."""

    def __init__(self) -> None:
        self.painted: list[tuple[str, float]] = []
        self.worked: list[tuple[str, float]] = []
        self.settled: list[tuple[str, float]] = []

    def centile(self, which: str, share: float, kinds: str = "") -> float:
        found = sorted(seconds for kind, seconds in getattr(self, which) if not kinds or kind == kinds)
        return found[min(len(found) - 1, int(share * len(found)))]


def key_event(key: str) -> events.Key:
    """A key as the terminal sends it."""
    named = {"slash": "/", "space": " "}
    character = named.get(key, key if len(key) == 1 else None)
    return events.Key(_character_to_key(character) if character else key, character)


async def settled(app: object, since: float) -> float:
    """Waits until nothing is read and no picture came for a while; when the last one came."""
    while True:
        last = Terminal.painted[-1] if Terminal.painted else since
        busy = any(not worker.is_finished for worker in app.workers)
        if not busy and time.perf_counter() - max(last, since) > QUIET_S:
            return last
        await asyncio.sleep(0.002)


async def press(app: object, kind: str, key: str, found: Measured) -> None:
    """Presses one key and waits until all it brings about is there."""
    for field in app.screen.query(Input):
        field.cursor_blink = False
    Terminal.painted.clear()
    Terminal.worked.clear()
    began, worked = time.perf_counter(), time.thread_time()
    app._driver.process_message(key_event(key))
    last = await settled(app, began)
    pictures = [at for at in Terminal.painted if at >= began]
    if pictures:
        found.painted.append((kind, pictures[0] - began))
        found.worked.append((kind, Terminal.worked[0] - worked))
        found.settled.append((kind, last - began))


async def hold(app: object, key: str, count: int, found: Measured) -> None:
    """Holds a key down; each one's picture is the first after it."""
    Terminal.painted.clear()
    pressed = []
    for _ in range(count):
        pressed.append(time.perf_counter())
        app._driver.process_message(key_event(key))
        await asyncio.sleep(HELD_S)
    await settled(app, pressed[-1])
    for began in pressed:
        after = next((at for at in Terminal.painted if at > began), None)
        if after is not None and after - began < 1.0:
            found.painted.append((f"held {key}", after - began))


async def drive(app: object, found: Measured, _pilot: object = None) -> None:
    """A walk through all views, keys held down, and changes."""
    await settled(app, time.perf_counter())
    for kind, keys in WALK:
        for key in keys.split():
            await press(app, kind, key, found)
    for view, key, count in HELD:
        await press(app, "view", view, Measured())
        await hold(app, key, count, found)
    for kind, keys in CHANGES:
        *before, last = keys.split()
        for key in before:
            await press(app, kind, key, Measured())
        await press(app, kind, last, found)
    app.exit()


def walk(store: Path, found: Measured) -> None:
    """Opens the screens on a copy of the store and drives them."""
    from tracker.services.desk import open_desk
    from tracker.ui.app import SabinryApp

    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "site.db"
        shutil.copy(store, copy)
        app = SabinryApp(partial(open_desk, copy, lambda: TODAY), theme="night", plain=False)
        app.driver_class = Terminal
        asyncio.run(app.run_async(size=SIZE, auto_pilot=lambda pilot: drive(app, found)))


OPEN = """
import os, sys
from datetime import date
from functools import partial
from pathlib import Path
from tracker.ui.app import SabinryApp
from tracker.ui.screens.today import TodayView
def opened(path):
    from tracker.services.desk import open_desk
    return open_desk(path, lambda: date(2026, 3, 22))
if sys.argv[2] == "first":
    SabinryApp.on_ready = lambda self: os._exit(0)
else:
    def show(self, answer, show=TodayView.show):
        show(self, answer)
        self.call_after_refresh(lambda: os._exit(0))
    TodayView.show = show
SabinryApp(partial(opened, Path(sys.argv[1])), theme="night", plain=False).run(headless=True, size=(120, 40))
"""


def opening_s(store: Path, which: str) -> float:
    """From starting the program to the picture."""
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", OPEN, str(store), which], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def openings(stores: dict[str, Path]) -> Iterator[str]:
    for which, words in (("first", "first picture"), ("figures", "picture with the figures")):
        for store in stores.values():
            opening_s(store, which)
        pairs = [[opening_s(store, which) for store in stores.values()] for _ in range(OPENINGS)]
        ratios = [ten / demo for demo, ten in pairs]
        yield (f"opening, {words}: demo {statistics.median(demo for demo, _ in pairs):.2f} s, ten years "
               f"{statistics.median(ten for _, ten in pairs):.2f} s, ratio {statistics.median(ratios):.2f} "
               f"(from {min(ratios):.2f} to {max(ratios):.2f})")


def keys(stores: dict[str, Path]) -> Iterator[str]:
    found = {name: Measured() for name in stores}
    for _ in range(ROUNDS):
        for name, store in stores.items():
            walk(store, found[name])
    demo, ten = found["demo"], found["ten years"]
    for which in ("painted", "worked", "settled"):
        for share in (0.5, 0.95, 0.99):
            one, other = demo.centile(which, share), ten.centile(which, share)
            yield (f"key to {which}, centile {share * 100:.0f}: demo {one * 1000:.1f} ms, ten years "
                   f"{other * 1000:.1f} ms, ratio {other / one:.2f}")
    for kind in dict.fromkeys(kind for kind, _ in ten.painted):
        yield f"  {kind}: " + "; ".join(
            f"{which} {' and '.join(_of_kind(one, which, kind) for one in (demo, ten))} ms"
            for which in ("painted", "settled") if any(kind == one for one, _ in getattr(ten, which)))


def _of_kind(found: Measured, which: str, kind: str) -> str:
    """Median and 95th centile of one kind of key, ms."""
    return "/".join(f"{found.centile(which, share, kind) * 1000:.0f}" for share in (0.5, 0.95))


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        stores = {"demo": Path(folder) / "demo.db", "ten years": Path(folder) / "ten.db"}
        from tracker.services.demo import build_demo

        desk = build_demo(stores["demo"], lambda: TODAY)
        desk.store.settle()
        desk.close()
        build_ten_years(stores["ten years"])
        parts = os.environ.get("BENCH", "keys openings").split()
        for part in (keys, openings):
            if part.__name__ in parts:
                for line in part(stores):
                    print(line, flush=True)


if __name__ == "__main__":
    main()
