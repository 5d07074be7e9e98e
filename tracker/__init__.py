"""Sabinry: fit sound absorption to a small room in phases."""

__version__ = "0.1.0"
