"""How a verb answers: as text for a person, or as the contract's JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

import typer

if TYPE_CHECKING:
    from tracker.services.answers import Outcome

Answer = TypeVar("Answer")
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON, in SI units.")]


def answer(value: Answer, as_text: Callable[[Answer], Any], *, json_wanted: bool) -> None:
    """Prints an answer the way it was asked for."""
    if json_wanted:
        from tracker.services.answers import as_json

        typer.echo(json.dumps(as_json(value), ensure_ascii=False))
    else:
        from tracker.report.text import show

        show(as_text(value))


def tell(outcome: Outcome) -> None:
    """Says what a change did, with its cautions."""
    typer.echo(outcome.sentence)
    for caution in outcome.cautions:
        typer.echo(f"Caution: {caution}")
