"""Every public computation says where it comes from."""

import importlib
import inspect
import pkgutil
from types import FunctionType

import pytest

import tracker.domain

COMPUTING = ("geometry", "takeoff", "cutting", "sound", "buying", "sweep")


def public_functions() -> list[FunctionType]:
    found = []
    for module in pkgutil.walk_packages(tracker.domain.__path__, "tracker.domain."):
        if module.ispkg or module.name.split(".")[2] not in COMPUTING:
            continue
        loaded = importlib.import_module(module.name)
        found += [value for name, value in vars(loaded).items()
                  if inspect.isfunction(value) and value.__module__ == module.name and not name.startswith("_")]
    return found


def test_the_walk_finds_the_computations() -> None:
    assert len(public_functions()) > 50


@pytest.mark.parametrize("function", public_functions(), ids=lambda one: f"{one.__module__}.{one.__name__}")
def test_a_public_computation_has_a_docstring(function: FunctionType) -> None:
    assert function.__doc__
    returned = inspect.signature(function).return_annotation
    if returned in ("float", "PerBand", "float | None", "Outline", "tuple[Part, ...]"):
        assert "Source:" in function.__doc__
