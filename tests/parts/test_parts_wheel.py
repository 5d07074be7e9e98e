"""The wheel carries migrations and the demo, and works away from the checkout."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run([sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out), str(ROOT)],
                   capture_output=True, check=True)
    return next(out.glob("*.whl"))


def test_it_holds_the_same_migrations_and_demo_as_the_checkout(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
    versions = {f"tracker/_migrations/versions/{one.name}" for one in (ROOT / "migrations" / "versions").glob("*.py")}
    assert versions <= names
    assert {"tracker/_demo/site.toml", "tracker/_demo/diary.toml", "tracker/domain/sound/surfaces.toml",
            "tracker/measures/units.txt"} <= names
    assert not [name for name in names if name.endswith(".db")]


def test_the_demo_runs_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    place = tmp_path / "place 100%"
    subprocess.run([sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", str(place), str(wheel)],
                   check=True, capture_output=True)
    found = subprocess.run([sys.executable, "-m", "tracker", "demo", "--print"], capture_output=True, text=True,
                           cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(place)}, check=False)
    assert found.returncode == 0, found.stderr
    assert "Cider press" in found.stdout
    where = subprocess.run([sys.executable, "-c", "import tracker; print(tracker.__file__)"], capture_output=True,
                           text=True, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(place)}, check=True)
    assert str(place) in where.stdout
