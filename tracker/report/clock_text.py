"""The clock as text."""

from __future__ import annotations

from rich.console import RenderableType
from rich.text import Text

from tracker.services.clock import LONGEST_S, ClockAnswer, hours_text, shown


def clock_text(clock: ClockAnswer) -> RenderableType:
    """How long the clock has run, since when, and what an entry would take it as."""
    if not clock.running and not clock.elapsed_s:
        return Text("The clock stands at 0:00:00. Start it with `sabinry clock start`.")
    work = f" for {clock.target}{', ' + clock.step if clock.step else ''}" if clock.target else ""
    since = ""
    if clock.started is not None:
        local = clock.started.astimezone()
        since = f", since {local:%a} {local.day} {local:%b} {local:%H:%M}"
    taken = (f"An entry takes it as {hours_text(clock.elapsed_s)}." if clock.elapsed_s <= LONGEST_S
             else "That is long: it was left running, so write the hours into the entry yourself.")
    return Text(f"The clock {'runs' if clock.running else 'stands'}{work}: {shown(clock.elapsed_s)}{since}. {taken}")
