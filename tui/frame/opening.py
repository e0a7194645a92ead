"""What every screen leaves out when it opens, so that it stands sooner: what was done a moment before."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from textual.events import Resize, ScreenResume

from tui.library.inside import laid_out_for

if TYPE_CHECKING:
    from textual.screen import Screen

    from tui.home import Home

    Mixed = Screen[Any]
else:
    Mixed = object  # the style sheet takes a screen's kind from its first base that is one


class Opening(Mixed):
    """Mixed into a screen, which then is styled once for each look and laid out once for each size."""

    _styled_for = ""

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Its parts were styled as they were made; they are styled again where the look has changed since.

        The first of its kind was made before its style sheet was read.
        """
        app, look = cast("Home", self.app), self.app.theme
        known = type(self) in app.kinds_opened and self._styled_for in ("", look)
        event.refresh_styles = event.refresh_styles and not known
        self._styled_for = look
        app.kinds_opened.add(type(self))

    def on_resize(self, event: Resize) -> None:
        """A layout tells the screen of its own size, for which it need not be laid out a second time."""
        if event.size == laid_out_for(self):
            event.prevent_default()
