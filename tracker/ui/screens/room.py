"""Room: each plane drawn to scale with what is on it; the bay under the cursor and its cut list beside it."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll

from tracker.services.cut_answers import TakeOff
from tracker.services.site_answers import BayView, PlaneView, SiteView
from tracker.ui import ask
from tracker.ui.ink import Sheet
from tracker.ui.view import View
from tracker.ui.widgets.bay_sheet import bay_lines, next_step, plane_lines
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.elevation import elevation, frame_of, key_line, title
from tracker.ui.widgets.outlines import part_holds
from tracker.ui.widgets.unfolded import plane_at, sign_line, unfolded


class RoomView(View):
    """Walks the planes with left and right, the bays of a plane with up and down."""

    NAME = "room"
    PARTS = frozenset({"diary", "stock", "plan", "measure"})
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "plane(-1)", "plane", id="room.previous-plane", show=False, tooltip="The plane before"),
        Binding("right", "plane(1)", "plane", id="room.next-plane", show=False, tooltip="The next plane"),
        Binding("up", "bay(-1)", "bay", id="room.previous-bay", show=False, tooltip="The bay before"),
        Binding("down", "bay(1)", "bay", id="room.next-bay", show=False, tooltip="The next bay"),
        Binding("z", "zoom", "zoom", id="room.zoom", tooltip="One bay with its pieces; again: the plane"),
        Binding("a", "all", "all", id="room.all", tooltip="All planes of the room unfolded; again: one plane"),
        Binding("m", "app.form('measure')", "measure", id="room.measure", tooltip="Measure the bay or plane again"),
        Binding("enter", "app.form('log')", "log this", id="room.log", show=False, tooltip="Log work on this bay"),
        Binding("pagedown", "scroll(1)", "more", id="room.more", show=False, tooltip="Further down the cut list"),
        Binding("pageup", "scroll(-1)", "back", id="room.back", show=False, tooltip="Back up the cut list"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.top = Sheet(id="plane-title")
        self.drawing = Drawing(margin=Margin(left=8, right=1, bottom=2), id="elevation")
        self.beside = Sheet(id="bay", fills=True)
        self._planes: tuple[PlaneView, ...] = ()
        self._unit = "mm"
        self._plane, self._bay = 0, 0
        self._zoomed, self._unfolded = False, False
        self._tight = False

    def body(self) -> ComposeResult:
        yield self.top
        with Container(id="plan"):
            yield self.drawing
            with VerticalScroll(id="beside", can_focus=False):
                yield self.beside

    async def read(self) -> SiteView:
        return await self.app.kept(ask.site_view)

    def show(self, answer: SiteView) -> None:
        if not self._planes:
            self._plane, self._bay = _start(answer)
        self._planes, self._unit = answer.planes, answer.unit
        self._plane = min(self._plane, max(0, len(self._planes) - 1))
        self._draw()

    @property
    def plane(self) -> PlaneView | None:
        """The plane on show."""
        return self._planes[self._plane] if self._planes else None

    @property
    def bay(self) -> BayView | None:
        """The bay under the cursor."""
        bays = self.plane.bays if self.plane else ()
        return bays[min(self._bay, len(bays) - 1)] if bays else None

    @property
    def target(self) -> str | None:
        return self.bay.target if self.bay else self.plane.key.split("/", 1)[1] if self.plane else None

    @property
    def step(self) -> str | None:
        cell = next_step(self.bay) if self.bay else None
        return cell.step if cell else None

    def on_resize(self) -> None:
        if self._unfolded or self._tight != self._few_rows:
            self.call_after_refresh(self._draw)

    @property
    def _few_rows(self) -> bool:
        """Is the terminal too low for a row to each figure?"""
        return not self.has_class("-tall")

    def on_drawing_clicked(self, event: Drawing.Clicked) -> None:
        """Goes to the bay or plane; again on the one under the cursor: zooms, or shows the plane alone."""
        here = (self.plane, event.at) if self.plane else None
        found = plane_at(*self._paper(), event.at) if self._unfolded else here
        if found is None:
            return
        plane, at = found
        bay = next((place for place, bay in enumerate(plane.bays) if part_holds(bay.outlines, at)), None)
        if bay is None and not self._unfolded:
            return
        before = self._plane, self._bay
        self._plane = self._planes.index(plane)
        if before == (self._plane, self._bay if bay is None else bay):
            (self.action_all if self._unfolded else self.action_zoom)()
        else:
            self._bay = bay if bay is not None else self._bay if before[0] == self._plane else 0
            self._draw()

    def action_plane(self, way: int) -> None:
        """Goes to another plane."""
        if self._planes:
            self._plane, self._bay, self._zoomed = (self._plane + way) % len(self._planes), 0, False
            self._draw()

    def action_bay(self, way: int) -> None:
        """Goes to another bay of the plane."""
        if self.plane and self.plane.bays:
            self._bay = (self._bay + way) % len(self.plane.bays)
            self._draw()

    def action_zoom(self) -> None:
        """Shows the bay as large as it goes, or the plane again."""
        self._zoomed, self._unfolded = not self._zoomed and self.bay is not None, False
        self._draw()

    def action_all(self) -> None:
        """Shows all planes unfolded, or one plane again."""
        self._unfolded, self._zoomed = not self._unfolded, False
        self._draw()
        # The drawing has the whole width now, or gives it back.
        self.call_after_refresh(self._draw)

    def action_scroll(self, way: int) -> None:
        """Scrolls the cut list."""
        pane = self.query_one("#beside", VerticalScroll)
        pane.scroll_relative(y=way * max(1, pane.size.height - 2), animate=False)

    def _draw(self) -> None:
        plane, bay = self.plane, self.bay
        if plane is None:
            return
        self._show_shapes(plane, bay, None)
        number, count = self._plane + 1, len(self._planes)
        self.set_class(self._unfolded, "-unfolded")
        unfolded = self._unfolded
        self.top.show(lambda width: [title(plane, number, count, self._unit, width),
                                     sign_line(bay, width) if unfolded else key_line()])
        self._show_beside(plane, bay, None)
        if bay is not None:
            self._read_cuts(bay.target)

    def _show_shapes(self, plane: PlaneView, bay: BayView | None, cuts: TakeOff | None) -> None:
        if self._unfolded:
            planes, aspect = self._paper()
            self.drawing.show(unfolded(planes, plane.key, bay.key if bay else None, aspect))
            return
        frame = frame_of(bay) if self._zoomed and bay else None
        pieces = cuts.pieces if cuts is not None else ()
        self.drawing.show(elevation(plane, bay, self._unit, pieces, zoomed=frame is not None), frame)

    def _paper(self) -> tuple[list[PlaneView], float]:
        """The planes of the room on show, and the width of the paper they are unfolded on over its height."""
        wide, high = self.drawing.size
        # A cell is twice as high as wide; names take two rows beneath the lowest row of planes.
        aspect = wide / max(1, 2 * (high - 2))
        return [one for one in self._planes if self.plane and one.room == self.plane.room], aspect

    def _show_beside(self, plane: PlaneView, bay: BayView | None, cuts: TakeOff | None) -> None:
        unit, tight = self._unit, self._few_rows
        self._tight = tight
        self.beside.show(lambda width: bay_lines(bay, cuts, unit, width, tight) if bay else
                         plane_lines(plane, unit, width))

    @work(exclusive=True, group="cuts", exit_on_error=False)
    async def _read_cuts(self, target: str) -> None:
        cuts = await self.app.kept(ask.take_off, target)
        plane, bay = self.plane, self.bay
        if plane and bay and bay.target == target:
            self._show_shapes(plane, bay, cuts)
            self._show_beside(plane, bay, cuts)


def _start(site: SiteView) -> tuple[int, int]:
    """The plane and bay to begin with: the first that is not done, else the first that has bays."""
    places = [(number, place, bay) for number, plane in enumerate(site.planes) for place, bay in enumerate(plane.bays)]
    unfinished = [(number, place) for number, place, bay in places if next_step(bay) is not None]
    return unfinished[0] if unfinished else places[0][:2] if places else (0, 0)


SCREEN = RoomView
