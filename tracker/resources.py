"""Finds the folders migrations/ and demo/, in a checkout or in the wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """The folder `name`: the checkout's where there is one, else the copy the wheel carries."""
    checkout = _PACKAGE.parent / name
    if (_PACKAGE.parent / "pyproject.toml").is_file() and checkout.is_dir():
        return checkout
    packaged = _PACKAGE / f"_{name}"
    if packaged.is_dir():
        return packaged
    raise FileNotFoundError(f"{name}/ is in neither {checkout} nor {packaged}: install Sabinry again")
