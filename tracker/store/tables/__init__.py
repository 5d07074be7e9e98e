"""Every table of the store. Lengths are whole micrometres, quantities whole millionths of the item's unit, money cents.

Micrometres keep 1 mm and 1/16 in exact to the tape's mark; whole numbers add up without drift.
"""

from tracker.store.tables.cutting import KeptPlanRow, MiscutRow, TickRow
from tracker.store.tables.desk import ClockRow, DraftRow
from tracker.store.tables.diary import CutRow, EntryRow, PhotoRow
from tracker.store.tables.history import ChangeRow, OperationRow
from tracker.store.tables.measurements import MeasurementRow, RecordingRow, SignalRow
from tracker.store.tables.site import (
    AbsorberRow,
    BayRow,
    BuildUpRow,
    FixingRow,
    ItemRow,
    OpeningRow,
    PhaseRow,
    PlaneRow,
    PredecessorRow,
    RoomRow,
    SiteRow,
    SurfaceRow,
    TapeRow,
    TaskNeedRow,
    TaskRow,
)
from tracker.store.tables.stock import MovementRow, OffcutRow

__all__ = [
    "AbsorberRow", "BayRow", "BuildUpRow", "ChangeRow", "ClockRow", "CutRow", "DraftRow", "EntryRow", "FixingRow",
    "ItemRow", "KeptPlanRow", "MeasurementRow", "MiscutRow", "MovementRow", "OffcutRow", "OpeningRow", "OperationRow",
    "PhaseRow", "PhotoRow", "PlaneRow", "PredecessorRow", "RecordingRow", "RoomRow", "SignalRow", "SiteRow",
    "SurfaceRow", "TapeRow", "TaskNeedRow", "TaskRow", "TickRow",
]
