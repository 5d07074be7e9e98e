"""What every test runs under: no settings of the person's own, and no waiting for a screen longer than it takes."""

from __future__ import annotations

import os

import pytest

SETTINGS = ("SABINRY_STORE", "SABINRY_THEME", "NO_COLOR", "COLORFGBG", "TEXTUAL_THEME", "COLUMNS", "LINES")


@pytest.fixture(autouse=True)
def no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Takes the person's own settings away and gives a terminal of many colours."""
    for name in SETTINGS:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")


@pytest.fixture
def quick_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pilot waits for an idle processor in shorter slices; SABINRY_SLOW_KEYS keeps Textual's own."""
    if "SABINRY_SLOW_KEYS" not in os.environ:
        # Private names of the pinned Textual, kept to this one place.
        monkeypatch.setattr("textual._wait.SLEEP_GRANULARITY", 0.005)
        monkeypatch.setattr("textual._wait.SLEEP_IDLE", 0.005 / 20)
