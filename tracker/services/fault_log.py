"""Where an error that nobody foresaw is written: a log file in the user's log folder, no values in it."""

from __future__ import annotations

import traceback
from datetime import datetime
from pathlib import Path

NAME = "faults.log"


def fault_log() -> Path:
    """The log file of unexpected errors."""
    import platformdirs

    return Path(platformdirs.user_log_dir("sabinry", appauthor=False)) / NAME


def write_fault(error: BaseException) -> Path | None:
    """Adds an unexpected error to the log file and returns its path; None where it can't be written.

    Where it happened is written, and not what the variables held: those may be a person's notes.
    """
    from tracker import __version__

    path = fault_log()
    when = datetime.now().astimezone().isoformat(timespec="seconds")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("a", encoding="utf-8") as file:
            file.write(f"{when} sabinry {__version__}\n{''.join(traceback.format_exception(error))}\n")
    except OSError:
        return None
    return path
