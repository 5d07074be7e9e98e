"""What was typed into forms and not yet stored: at hand at once, written to the store a moment after each change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tracker.services.drafts import Draft

Fields = dict[str, str]


class Drafts:
    """Half-typed entries by the name of their form, the newest last; `changed` is called when there is one to write."""

    def __init__(self, changed: Callable[[], object]) -> None:
        self._changed = changed
        self._fields: dict[str, Fields] = {}
        self._saved: dict[str, datetime] = {}
        self._unwritten: set[str] = set()

    def load(self, found: Iterable[Draft]) -> None:
        """Takes up what the store kept."""
        for draft in found:
            self._fields.setdefault(draft.form, dict(draft.fields))
            self._saved[draft.form] = draft.saved

    def __contains__(self, form: str) -> bool:
        return form in self._fields

    def __iter__(self) -> Iterator[str]:
        return iter(self._fields)

    def of(self, form: str) -> Mapping[str, str]:
        """The fields typed into a form; empty where there are none."""
        return self._fields.get(form, {})

    def saved(self, form: str) -> datetime | None:
        """When an earlier run of the program wrote it; None for one of this run."""
        return self._saved.get(form)

    def note(self, form: str, field: str, text: str | None) -> None:
        """Keeps what a field says; None where it says again what the form began with."""
        fields = self._fields.get(form, {})
        if fields.get(field) == text:
            return
        fields = {name: said for name, said in {**fields, field: text}.items() if said is not None}
        self._set(form, fields)

    def move(self, form: str, other: str) -> None:
        """Gives what was typed into one form to another."""
        if form in self._fields and form != other:
            self._set(other, self._fields[form])
            self._set(form, {})

    def drop(self, form: str) -> None:
        """Forgets what was typed into a form."""
        if form in self._fields:
            self._set(form, {})

    def unwritten(self) -> dict[str, Fields | None]:
        """What has changed since this was last asked: the fields of a form, or None where its draft is gone."""
        found = {form: self._fields.get(form) for form in self._unwritten}
        self._unwritten.clear()
        return found

    def write_again(self, forms: Iterable[str]) -> None:
        """Counts these as unwritten again, since the store could not be reached."""
        self._unwritten.update(forms)

    def _set(self, form: str, fields: Fields) -> None:
        self._fields.pop(form, None)
        self._saved.pop(form, None)
        if fields:
            self._fields[form] = fields
        self._unwritten.add(form)
        self._changed()
