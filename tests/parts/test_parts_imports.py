"""Late imports stay late, so that a verb and the first picture come quickly."""

import subprocess
import sys

import pytest

HEAVY = ("textual", "alembic", "scipy", "matplotlib", "soundfile", "pandas")


@pytest.mark.parametrize("module", ["tracker.cli.main", "tracker.services.overview", "tracker.ui.app"])
def test_heavy_libraries_are_not_loaded_by(module: str) -> None:
    late = [name for name in HEAVY if not (name == "textual" and module == "tracker.ui.app")]
    asked = f"import sys, {module}; print([name for name in {late!r} if name in sys.modules])"
    found = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
