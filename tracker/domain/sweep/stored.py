"""A measurement as plain values, for a store or a file, and back."""

from __future__ import annotations

import dataclasses
import types
import typing
from typing import Any

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.measured import Analysis

VERSION = 1


def as_plain(analysis: Analysis) -> dict[str, Any]:
    """A measurement as dictionaries, lists, numbers and text, that JSON can hold; `from_plain` takes it back whole."""
    return {"version": VERSION, **_plain(analysis)}


def from_plain(plain: dict[str, Any]) -> Analysis:
    """A measurement from what `as_plain` gave; Refused where it is something else."""
    if plain.get("version") != VERSION:
        raise Refused(f"sweep: version {plain.get('version')} of a measurement is not known; read the recording again")
    try:
        return _built(Analysis, plain)
    except (KeyError, TypeError, ValueError) as fault:
        raise Refused(f"sweep: this is no measurement ({fault}); read the recording again") from None


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        return {one.name: _plain(getattr(value, one.name)) for one in dataclasses.fields(value)}
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value


def _built(kind: Any, plain: Any) -> Any:
    """A value of a kind out of plain ones, by the kind's own fields."""
    if plain is None:
        return None
    if typing.get_origin(kind) is types.UnionType:
        kind = next(one for one in typing.get_args(kind) if one is not types.NoneType)
    if dataclasses.is_dataclass(kind):
        kinds = typing.get_type_hints(kind)
        return kind(**{one.name: _built(kinds[one.name], plain[one.name]) for one in dataclasses.fields(kind)})
    if typing.get_origin(kind) is tuple:
        inner = typing.get_args(kind)[0]
        return tuple(_built(inner, one) for one in plain)
    return np.array(plain, dtype=float) if kind is np.ndarray else plain
