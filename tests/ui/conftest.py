"""A copy of the demo's store for each test, and hands to drive the screens with."""

from __future__ import annotations

import asyncio
import shutil
import subprocess
import sys
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager, closing, suppress
from datetime import date, datetime
from pathlib import Path
from threading import Event

import pytest
from pytest_textual_snapshot import SVGImageExtension
from syrupy import SnapshotAssertion
from textual import events
from textual.pilot import Pilot
from textual.strip import Strip
from textual.widgets import Input
from textual.worker import WorkerCancelled

from tracker.services.cut_list import Search
from tracker.services.demo import build_demo
from tracker.services.desk import Desk, open_desk
from tracker.services.take_off import take_off
from tracker.ui.app import SabinryApp

TODAY = date(2026, 3, 22)


class Hands:
    """Presses keys, counts them, and reads what stands on the screen."""

    def __init__(self, app: SabinryApp, pilot: Pilot[int]) -> None:
        self.app, self.pilot = app, pilot
        self.pressed = 0

    async def settle(self) -> None:
        """Waits until nothing is being read and two pictures in a row are the same."""
        async with asyncio.timeout(60):
            await self.pilot.pause()
            before, picture = None, self._drawn()
            while not self._rested() or picture != before:
                while not self._rested():
                    await asyncio.sleep(0.002)
                await self.pilot.pause()
                before, picture = picture, self._drawn()

    def _drawn(self) -> list[list[Strip]]:
        """What each screen would draw now; private in the pinned Textual, and far cheaper than a picture."""
        return [screen._compositor.render_strips() for screen in self.app.screen_stack]

    def _rested(self) -> bool:
        """Nothing is being read, and the screen does not wait for its turn to be laid out or painted."""
        screen = self.app.screen
        return all(worker.is_finished for worker in self.app.workers) and not (
            screen._layout_required or screen._dirty_widgets)

    async def press(self, *keys: str) -> None:
        """Presses keys one by one; they count."""
        for key in keys:
            self.pressed += 1
            await self.pilot.press(key)
            await self.settle()

    async def look(self) -> None:
        """Has the screens look for what another program did; their own look each second may take its place."""
        while True:
            with suppress(WorkerCancelled):
                await self.app.look().wait()
                return

    async def type(self, words: str) -> None:
        """Types words into the field that has the cursor; they do not count."""
        field = self.app.focused
        assert isinstance(field, Input), field
        field.post_message(events.Paste(words))
        await self.settle()

    @property
    def lines(self) -> list[str]:
        """The rows of the screen."""
        strips: list[Strip] = self.app.screen._compositor.render_strips()
        return [strip.text.replace("\xa0", " ").rstrip() for strip in strips]

    @property
    def text(self) -> str:
        """All that stands on the screen."""
        return "\n".join(self.lines)


@pytest.fixture(scope="session")
def demo_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "site.db"
    build_demo(path, lambda: TODAY).close()
    return path


@pytest.fixture(scope="session")
def planned_store(demo_store: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's store with a cutting plan kept."""
    path = _copied(demo_store, tmp_path_factory.mktemp("planned"))
    with closing(open_desk(path, lambda: TODAY)) as desk:
        take_off(desk, search=Search(0.05))
    return path


@pytest.fixture
def copied(tmp_path: Path) -> Callable[[Path], Path]:
    """Copies a store into the folder of the test."""
    return lambda made: _copied(made, tmp_path)


def _copied(made: Path, folder: Path) -> Path:
    for part in made.parent.glob("site.db*"):
        shutil.copy(part, folder / part.name)
    return folder / "site.db"


@pytest.fixture
def store(demo_store: Path, copied: Callable[[Path], Path]) -> Path:
    return copied(demo_store)


@pytest.fixture(autouse=True)
def written_faults(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where unexpected errors are written in a test."""
    path = tmp_path / "log" / "faults.log"
    monkeypatch.setattr("tracker.services.fault_log.fault_log", lambda: path)
    return path


@pytest.fixture
def desk(store: Path, wall: Callable[[], datetime]) -> Iterator[Desk]:
    """A second opening of the same store, for asking what the screens wrote."""
    found = open_desk(store, lambda: TODAY, wall)
    yield found
    found.close()


OpenApp = Callable[..., AbstractAsyncContextManager[Hands]]


@pytest.fixture
def opened(store: Path, quick_keys: None, wall: Callable[[], datetime]) -> OpenApp:
    """Opens the screens: `async with opened(size=(80, 24)) as hands`."""
    @asynccontextmanager
    async def open_app(size: tuple[int, int] = (80, 24), theme: str = "night",
                       plain: bool = False) -> AsyncIterator[Hands]:
        app = SabinryApp(lambda: open_desk(store, lambda: TODAY, wall), theme=theme, plain=plain)
        async with app.run_test(size=size) as pilot:
            hands = Hands(app, pilot)
            await hands.settle()
            yield hands
    return open_app


@pytest.fixture
def opened_late(store: Path, quick_keys: None, wall: Callable[[], datetime]) -> OpenApp:
    """Opens the screens on a store that opens no sooner than the gate does: `async with opened_late(gate) as hands`."""
    @asynccontextmanager
    async def open_app(gate: Event) -> AsyncIterator[Hands]:
        def opens() -> Desk:
            gate.wait(60)
            return open_desk(store, lambda: TODAY, wall)
        app = SabinryApp(opens, theme="night", plain=False)
        async with app.run_test(size=(80, 24)) as pilot:
            yield Hands(app, pilot)
            gate.set()
    return open_app


@pytest.fixture
def run_python() -> Callable[[str], str]:
    """Runs a line of Python in a program of its own."""
    def run(line: str) -> str:
        return subprocess.run([sys.executable, "-c", line], check=True, capture_output=True, text=True).stdout
    return run


@pytest.fixture
def kept(snapshot: SnapshotAssertion) -> Callable[[Hands, str], bool]:
    """Whether the screen looks as in the picture kept under a name."""
    pictures = snapshot.use_extension(SVGImageExtension)

    def same(hands: Hands, name: str) -> bool:
        return bool(hands.app.export_screenshot() == pictures(name=name))
    return same
