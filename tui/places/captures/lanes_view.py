"""The lanes of a capture on the screen, as high as they need to be, in at most half of the place."""

from __future__ import annotations

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from tui.frame.drawn.said_line import STYLES
from tui.places.captures.lane_levels import Lanes
from tui.places.captures.lanes import lane_lines
from tui.safe_text import assemble

_SHARE = 0.55


class LanesView(Widget):
    """Draws ``view``; nothing to draw takes no room."""

    view: reactive[Lanes | None] = reactive(None, always_update=True)

    def show(self, view: Lanes | None, room: int) -> None:
        """Shows these lanes in a place of so many lines."""
        self.display = view is not None
        self._most = max(3, int(room * _SHARE))
        if view is not None:
            self.styles.height = len(lane_lines(view, 80, self._most))
        self.view = view

    def render(self) -> RenderResult:
        """One line of text a row of lanes."""
        if self.view is None:
            return ""
        styles = {**STYLES, "cursor": "reverse bold"}
        pieces: list[str | tuple[str, str]] = []
        for number, row in enumerate(lane_lines(self.view, max(20, self.size.width), self._most)):
            pieces += ["\n"] * (number > 0)
            pieces += [(text, styles[role]) for text, role in row]
        return assemble(*pieces)
