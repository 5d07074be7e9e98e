"""The demo site: built from its site file, then its diary written down day by day through the same services."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from tracker.domain.errors import Refused
from tracker.resources import folder
from tracker.services.desk import Desk, local_today, open_desk
from tracker.services.diary import DayWords, log_words
from tracker.services.measuring import measure_again
from tracker.services.setup import store_site
from tracker.services.site_file import read_site
from tracker.services.stock import count_stock, place_order, take_delivery

WEEK = 7


def build_demo(path: Path, today: Callable[[], date] = local_today) -> Desk:
    """Makes the demo's store at `path` and opens it.

    Its dates move by whole weeks, so that the three weeks of diary end in the week before today and an order is still
    on its way.
    """
    written = tomllib.loads((folder("demo") / "diary.toml").read_text(encoding="utf-8"))
    shift = timedelta(days=(today() - written["today"]).days // WEEK * WEEK)
    site = read_site(folder("demo") / "site.toml")
    day = written["line"][0]["on"] + shift
    store_site(path, replace(site, start=site.start + shift), day)
    desk = open_desk(path, lambda: day)
    try:
        for line in written["line"]:
            day = line["on"] + shift
            _write_down(desk, line, shift)
    finally:
        desk.close()
    return open_desk(path, today)


def make_recordings(into: Path) -> tuple[Path, ...]:
    """Simulates recordings of the sweep in the demo's room, bare and after its first phase, into a folder."""
    import importlib.util

    spec = importlib.util.spec_from_file_location("demo_recordings", folder("demo") / "make_recordings.py")
    if spec is None or spec.loader is None:
        raise Refused(f"{folder('demo')}: the demo's recordings are not installed; install Sabinry again")
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    try:
        return tuple(made.make_recordings(into))
    except OSError as error:
        raise Refused(f"{into}: can't write there ({error.strerror}); choose another folder") from error


def _write_down(desk: Desk, line: dict[str, Any], shift: timedelta) -> None:
    if "log" in line:
        log_words(desk, DayWords(
            target=line["log"], step=line.get("step"), done=line.get("done"), hours=line.get("hours"),
            spoiled=tuple(line.get("spoiled", {}).items()), note=line.get("note"), lesson=line.get("lesson")))
    elif "order" in line:
        place_order(desk, line["order"], line["qty"], line["due"] + shift)
    elif "receive" in line:
        take_delivery(desk, line["receive"], line["qty"])
    elif "count" in line:
        count_stock(desk, line["count"], line["qty"])
    else:
        measure_again(desk, line["tape"], line["readings"], line["fitted"])
