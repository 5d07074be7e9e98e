"""Draws the README's pictures from the real screens on the demo site: `python demo/draw_pictures.py`."""

import asyncio
import tempfile
from datetime import date
from pathlib import Path

from tracker.services.cut_list import Search
from tracker.services.demo import build_demo
from tracker.services.take_off import take_off
from tracker.ui.app import SabinryApp

PICTURES = Path(__file__).resolve().parent / "pictures"
DAY = date(2026, 3, 22)
VIEWS = {"today": "1", "room": "2", "stock": "3", "phases": "4", "sound": "5", "diary": "6",
         "saw": "7"}


async def draw() -> None:
    """One picture a view, at 100 by 36."""
    with tempfile.TemporaryDirectory() as folder:
        desk = build_demo(Path(folder) / "demo.db", lambda: DAY)
        take_off(desk, search=Search())
        app = SabinryApp(desk, theme="night", plain=False)
        async with app.run_test(size=(100, 36)) as pilot:
            for name, key in VIEWS.items():
                await pilot.press(key)
                while any(not worker.is_finished for worker in app.workers):
                    await pilot.pause()
                await pilot.pause()
                (PICTURES / f"{name}.svg").write_text(app.export_screenshot(title="Sabinry"), encoding="utf-8")


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    asyncio.run(draw())
