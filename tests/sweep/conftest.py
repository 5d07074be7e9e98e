"""Simulated rooms and recordings, handed to the tests of the sweep."""

from __future__ import annotations

import contextlib
import importlib.util
import io
import sys
from pathlib import Path

import pytest

from tracker.cli.main import main


def load(name):
    """A module beside this file, loaded once, so that those beside it can import it too."""
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
        sys.modules[name] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    return sys.modules[name]


@pytest.fixture(scope="session")
def corpus():
    return load("sweep_corpus")


@pytest.fixture(scope="session")
def damage():
    load("sweep_corpus")
    return load("sweep_damage")


@pytest.fixture(scope="session")
def demo_recordings(tmp_path_factory):
    """The demo's recordings made by its command: their folder, and what it said."""
    made, said = tmp_path_factory.mktemp("demo-recordings"), io.StringIO()
    with contextlib.redirect_stdout(said):
        assert main(["demo", "--recordings", str(made)]) == 0
    return made, said.getvalue()
