"""Lengths and quantities as people write them: read, show, refuse, with the one pint registry."""

from tracker.measures.days import read_date, show_day
from tracker.measures.figures import read_fraction, read_volume, show_area, show_money, show_volume
from tracker.measures.lengths import LONGEST_M, read_length, show_length
from tracker.measures.quantities import read_quantity, show_quantity
from tracker.measures.times import read_hours, show_hours
from tracker.measures.units import MeasureError, SiteUnit, Written, factor, quoted, registry

__all__ = ["LONGEST_M", "MeasureError", "SiteUnit", "Written", "factor", "quoted", "read_date", "read_fraction",
           "read_hours", "read_length", "read_quantity", "read_volume", "registry", "show_area", "show_day",
           "show_hours", "show_length", "show_money", "show_quantity", "show_volume"]
