"""The command palette: every action of every view by its name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.app import SystemCommand
from textual.binding import Binding
from textual.command import DiscoveryHit, Hit, Hits, Provider

from tracker.ui.view import own_bindings
from tracker.ui.views import VIEWS, view_class
from tracker.ui.widgets.foot import key_name

if TYPE_CHECKING:
    from tracker.ui.app import SabinryApp


class Actions(Provider):
    """Global actions first, then those of each view; one of another view goes there first."""

    @property
    def _app(self) -> SabinryApp:
        app: Any = self.app
        return app

    def _commands(self) -> Iterator[SystemCommand]:
        """Actions that have no key."""
        yield from self._app.get_system_commands(self.screen)

    def _all(self) -> Iterator[tuple[str, Binding, str]]:
        for binding in own_bindings(type(self._app)):
            if binding.action != "command_palette":
                yield _name(binding), binding, ""
        for view in VIEWS:
            for binding in own_bindings(view_class(view.id)):
                yield _name(binding), binding, view.id

    async def discover(self) -> Hits:
        for name, binding, view in self._all():
            yield DiscoveryHit(name, partial(self._run, binding.action, view), help=_help(binding))
        for command in self._commands():
            yield DiscoveryHit(command.title, command.callback, help=command.help)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for name, binding, view in self._all():
            # The word at the foot of the screen is what a person looks for.
            word = max(1.5 * (binding.description.casefold() == query.strip().casefold()),
                       matcher.match(binding.description))
            score = max(matcher.match(name), matcher.match(binding.tooltip) * 0.9, word)
            if score > 0:
                run = partial(self._run, binding.action, view)
                yield Hit(score, matcher.highlight(name), run, help=_help(binding))
        for command in self._commands():
            score = max(matcher.match(command.title), matcher.match(command.help) * 0.9)
            if score > 0:
                yield Hit(score, matcher.highlight(command.title), command.callback, help=command.help)

    async def _run(self, action: str, view: str) -> None:
        app = self._app
        if view and view != app.current_mode:
            await app.switch_mode(view)
        await app.run_action(action, default_namespace=app.screen if view else app)


def _name(binding: Binding) -> str:
    area = (binding.id or "").partition(".")[0]
    return f"{area.capitalize()}: {_first(binding)}"


def _first(binding: Binding) -> str:
    return binding.tooltip.partition(":")[0].partition(";")[0]


def _help(binding: Binding) -> str:
    """The key, and what its name leaves out."""
    more = binding.tooltip.removeprefix(_first(binding)).lstrip(":; ")
    return f"key {key_name(binding.key)}" + (f"; {more}" if more else "")
