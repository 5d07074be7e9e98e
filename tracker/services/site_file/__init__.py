"""Reads a site file: TOML as a person writes it, to a site, or one line that says what is wrong and where."""

from tracker.services.site_file.reading import read_site

__all__ = ["read_site"]
