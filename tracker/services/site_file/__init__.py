"""Reads a site file: TOML as a person writes it, to a site, or a line for each thing wrong that says what and where."""

from tracker.services.site_file.faults import FileFaults
from tracker.services.site_file.reading import read_site

__all__ = ["FileFaults", "read_site"]
