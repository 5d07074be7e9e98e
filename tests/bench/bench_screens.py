"""How soon a key is answered on the demo and on ten years of work, in one run: `python tests/bench/bench_screens.py`.

Painted: from the key to the first picture that it changes; a key that goes to another screen is answered by a picture
of that one. Worked: what the screen's own thread had worked by then. Settled: to the last picture that the key brings
about. Both sites are driven with the same keys, in one round as soon as the first figures stand, in the other after a
look at them.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import NamedTuple

from ten_years import TODAY, build_ten_years
from textual import events
from textual.drivers.headless_driver import HeadlessDriver
from textual.keys import _character_to_key
from textual.widgets import Input

LOOKS_S = (0.0, 2.0)
"""How long the first view is looked at before the first key, round by round."""
OPENINGS = 3
SIZE = (120, 40)
HELD_S = 1 / 30
"""A key held down comes so often."""
QUIET_S = 0.06
"""No picture for so long: all that a key brings about is there."""
QUIET_TURNS = 5
"""Turns of the loop that must be quiet in a row: where the machine is busy, time alone does not tell."""

WALK: tuple[tuple[str, str], ...] = (
    ("first visit", "2 3 4 5 6 7"), ("view", "1"),
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


class Picture(NamedTuple):
    """One write to the terminal that changes what stands there."""

    at_s: float
    worked_s: float
    """What the screen's thread had worked by then: this does not grow with what else the machine does."""
    screen: object
    """The screen it is of."""


ESCAPES = re.compile(r"\x1b(\[[0-9;?<=>]*[A-Za-z]|\][^\x07\x1b]*(\x07|\x1b\\)|[^\[\]])")
"""What moves the cursor or sets a colour: a write of nothing else is no picture."""


class Terminal(HeadlessDriver):
    """Takes the pictures as a terminal would and notes when they came."""

    pictures: list[Picture] = []

    @property
    def is_headless(self) -> bool:
        return False

    def write(self, data: str) -> None:
        if ESCAPES.sub("", data):
            Terminal.pictures.append(Picture(time.perf_counter(), time.thread_time(), self._app.screen))


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


AHEAD = ("ahead", "load", "look", "clock-look")
"""Groups of what no key asked for."""


def at_rest(app: object) -> bool:
    """Nothing is read for a key, held back or waiting to be drawn; partly private in the pinned Textual."""
    screen = app.screen
    waits = (app._batch_count, screen._layout_required, screen._scroll_required, screen._repaint_required,
             screen._dirty_widgets)
    return not any(waits) and all(worker.is_finished or worker.group in AHEAD for worker in app.workers)


async def settled(app: object, since: float) -> float:
    """Waits until all is at rest and no picture came for a while; when the last one came."""
    turns = 0
    while turns < QUIET_TURNS:
        last = Terminal.pictures[-1].at_s if Terminal.pictures else since
        quiet = at_rest(app) and time.perf_counter() - max(last, since) > QUIET_S
        turns = turns + 1 if quiet else 0
        await asyncio.sleep(0.002)
    return last


async def press(app: object, kind: str, key: str, found: Measured) -> None:
    """Presses one key and waits until all it brings about is there."""
    for field in app.screen.query(Input):
        field.cursor_blink = False
    Terminal.pictures.clear()
    began, worked = time.perf_counter(), time.thread_time()
    app._driver.process_message(key_event(key))
    last = await settled(app, began)
    pictures = [picture for picture in Terminal.pictures if picture.screen is app.screen]
    if pictures:
        found.painted.append((kind, pictures[0].at_s - began))
        found.worked.append((kind, pictures[0].worked_s - worked))
        found.settled.append((kind, last - began))


async def hold(app: object, key: str, count: int, found: Measured) -> None:
    """Holds a key down; each one's picture is the first after it."""
    Terminal.pictures.clear()
    pressed = []
    for _ in range(count):
        pressed.append(time.perf_counter())
        app._driver.process_message(key_event(key))
        await asyncio.sleep(HELD_S)
    await settled(app, pressed[-1])
    for began in pressed:
        after = next((picture.at_s for picture in Terminal.pictures if picture.at_s > began), None)
        if after is not None and after - began < 1.0:
            found.painted.append((f"held {key}", after - began))


async def drive(app: object, look_s: float, found: Measured, _pilot: object = None) -> None:
    """A walk through all views, keys held down, and changes."""
    await settled(app, time.perf_counter())
    await asyncio.sleep(look_s)
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


def walk(store: Path, look_s: float, found: Measured) -> None:
    """Opens the screens on a copy of the store and drives them."""
    from tracker.services.desk import open_desk
    from tracker.ui.app import SabinryApp

    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "site.db"
        shutil.copy(store, copy)
        app = SabinryApp(partial(open_desk, copy, lambda: TODAY), theme="night", plain=False)
        app.driver_class = Terminal
        asyncio.run(app.run_async(size=SIZE, auto_pilot=lambda pilot: drive(app, look_s, found)))


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
    for look_s in LOOKS_S:
        for name, store in stores.items():
            walk(store, look_s, found[name])
    demo, ten = found["demo"], found["ten years"]
    for which in ("painted", "worked", "settled"):
        for share in (0.5, 0.95, 0.99):
            one, other = demo.centile(which, share), ten.centile(which, share)
            yield (f"key to {which}, centile {share * 100:.0f}: demo {one * 1000:.1f} ms, ten years "
                   f"{other * 1000:.1f} ms, ratio {other / one:.2f}")
    for kind in dict.fromkeys(kind for kind, _ in ten.painted):
        yield f"  {kind}: " + "; ".join(
            f"{which} {' and '.join(_of_kind(one, which, kind) for one in (demo, ten))} ms"
            for which in ("painted", "worked", "settled") if any(kind == one for one, _ in getattr(ten, which)))


def _of_kind(found: Measured, which: str, kind: str) -> str:
    """Median, 95th centile and longest of one kind of key, ms."""
    return "/".join(f"{found.centile(which, share, kind) * 1000:.0f}" for share in (0.5, 0.95, 1.0))


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
