"""Verbs of sound: sound, worth."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from tracker.cli.answering import AsJson, answer, tell
from tracker.cli.choices import SomeTarget
from tracker.cli.store_choice import desk_of
from tracker.domain.errors import Refused


class StateName(StrEnum):
    bare = "bare"
    now = "now"
    planned = "planned"


class ByName(StrEnum):
    money = "money"
    hour = "hour"
    gain = "gain"


def register(app: typer.Typer) -> None:
    for verb in (sound, worth):
        app.command(verb.__name__)(verb)


def sound(
    context: typer.Context, json: AsJson = False,
    room: Annotated[str | None, typer.Option(help="Only this room; needed to store a measurement where there are "
                                             "several.", show_default=False)] = None,
    measured: Annotated[str | None, typer.Option(help="Store measured decay times, e.g. \"125=0.62 250=0.55\", s by "
                                                 "band in Hz.", show_default=False)] = None,
    name: Annotated[str | None, typer.Option(help="Its name, e.g. bare.", show_default=False)] = None,
    phase: Annotated[str | None, typer.Option(help="It was taken once all phases up to this were up; `bare`: nothing "
                                              "was; left out: what the diary says of the day.", show_default=False)]
    = None,
    date: Annotated[str | None, typer.Option(help="The day it was taken, today if left out.", show_default=False)]
    = None,
    positions: Annotated[str | None, typer.Option(help="Places it was averaged over; 1 if left out.",
                                                  show_default=False)] = None,
    metric: Annotated[str | None, typer.Option(help="t20 or t30; t20 if left out.", show_default=False)] = None,
    temperature: Annotated[str | None, typer.Option(help="degC then; the room's own if left out.",
                                                    show_default=False)] = None,
    humidity: Annotated[str | None, typer.Option(help="% relative humidity then; the room's own if left out.",
                                                 show_default=False)] = None,
    note: Annotated[str | None, typer.Option(help="A remark to keep with it.", show_default=False)] = None,
    drop: Annotated[str | None, typer.Option(help="Take the measurement of this name out.", show_default=False)]
    = None,
    calibrate: Annotated[str | None, typer.Option(help="Name of the measurement the figures follow from, or none; "
                                                  "that of the barest state if left out.", show_default=False)] = None,
    explain: Annotated[str | None, typer.Option(help="Show the sum behind this band, e.g. 500.", show_default=False)]
    = None,
    state: Annotated[StateName | None, typer.Option(help="The state to explain; now if left out.",
                                                    show_default=False)] = None,
    modes: Annotated[bool, typer.Option("--modes", help="List the standing waves of a box room.")] = False,
    build_up: Annotated[list[str] | None, typer.Option("--build-up", help="Show what is known of this build-up's "
                                                       "coefficients.", show_default=False)] = None,
    hangers: Annotated[int | None, typer.Option(min=1, max=100, help="Hangers of a cloud, for its weight on each; 4 if "
                                                "left out.", show_default=False)] = None,
) -> None:
    """Absorption area and decay time: bare, now, planned, after each phase, and as measured; or store a measurement."""
    of_measured = {"name": name, "phase": phase, "date": date, "positions": positions, "metric": metric,
                   "temperature": temperature, "humidity": humidity, "note": note}
    stray = next((option for option, value in of_measured.items() if value is not None), None)
    if measured is None and stray is not None:
        raise Refused(f"--{stray}: it goes with --measured \"125=0.62 250=0.55\"")
    if state is not None and explain is None:
        raise Refused("--state: it goes with --explain BAND")
    if hangers is not None and not build_up:
        raise Refused("--hangers: it goes with --build-up of a cloud")
    reading = {"--calibrate": calibrate, "--explain": explain, "--build-up": build_up, "--modes": modes or None,
               "--json": json or None}
    both = next((option for option, value in reading.items() if value is not None), None)
    if (measured is not None or drop is not None) and both is not None:
        raise Refused(f"{both}: store or drop the measurement first, then read with {both}")
    if measured is not None and drop is not None:
        raise Refused("--drop: drop one measurement and store the next one after the other")
    if measured is not None:
        _store(context, measured, room, of_measured)
    elif drop is not None:
        from tracker.services.measurements import drop_measurement

        with desk_of(context) as desk:
            tell(drop_measurement(desk, drop, room or ""))
    elif explain is not None or modes or build_up:
        from tracker.report.explain_text import explained_text
        from tracker.services.clouds import HANGERS
        from tracker.services.explaining import explained_report

        with desk_of(context) as desk:
            found = explained_report(desk, explain, "now" if state is None else state.value, modes,
                                     tuple(build_up or ()), room, calibrate, HANGERS if hangers is None else hangers)
            answer(found, lambda one: explained_text(one, desk.standing().site.unit), json_wanted=json)
    else:
        from tracker.report.sound_text import sound_text
        from tracker.services.sound import sound_report

        with desk_of(context) as desk:
            answer(sound_report(desk, room, calibrate), lambda one: sound_text(one, desk.standing().site.unit),
                   json_wanted=json)


def _store(context: typer.Context, decay: str, room: str | None, said: dict[str, str | None]) -> None:
    from tracker.services.measurements import MeasuredWords, type_measurement

    words = {key: value or "" for key, value in said.items()}
    with desk_of(context) as desk:
        tell(type_measurement(desk, MeasuredWords(decay=decay, room=room or "", on=words.pop("date"), **words)))


def worth(
    context: typer.Context, target: SomeTarget = None, json: AsJson = False,
    room: Annotated[str | None, typer.Option(help="Only this room.", show_default=False)] = None,
    what_if: Annotated[list[str] | None, typer.Option(
        "--what-if", help="A change to ask about: \"wall 50: depth=100, gap=50\" or \"north/left: area=150%\"; the "
        "plan stays as it is.", show_default=False)] = None,
    by: Annotated[ByName, typer.Option(help="Rank by gain for each unit of money, by gain an hour, or by gain.")]
    = ByName.money,
) -> None:
    """Is it worth going on? What each remaining phase and bay brings, costs and takes, best first."""
    from tracker.report.worth_text import worth_text
    from tracker.services.worth import worth as read_worth

    with desk_of(context) as desk:
        answer(read_worth(desk, target, room, tuple(what_if or ()), by.value),
               lambda one: worth_text(one, desk.standing().site.unit), json_wanted=json)
