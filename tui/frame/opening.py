"""What every screen leaves out when it opens, so that it stands sooner: what was done a moment before."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.css.stylesheet import Stylesheet

if TYPE_CHECKING:
    from textual.events import Resize, ScreenResume
    from textual.screen import Screen

    from tui.home import Home


class Opening:
    """Of one screen, which is styled once for each look and laid out once for each size."""

    def __init__(self, screen: Screen[Any]) -> None:
        self._screen, self._styled_for = screen, ""

    def resumed(self, event: ScreenResume, app: Home) -> None:
        """Its parts were styled as they were made; they are styled again where the look has changed since.

        The first of its kind was made before its style sheet was read.
        """
        kind, look = type(self._screen), app.theme
        known = kind in app.kinds_opened and self._styled_for in ("", look)
        event.refresh_styles = event.refresh_styles and not known
        self._styled_for = look
        app.kinds_opened.add(kind)

    def resized(self, event: Resize) -> None:
        """A layout tells the screen of its own size, for which it need not be laid out a second time."""
        if event.size == self._screen.outer_size:
            event.prevent_default()


class StyleSheet(Stylesheet):
    """The library asks for all of it whenever a place is first shown; it differs only by its variables."""

    def __init__(self, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._told = variables
        self._differs = False

    def set_variables(self, variables: dict[str, str]) -> None:
        """What names stand for; the same ones again change nothing."""
        if variables != self._told:
            self._told, self._differs = variables, True
            super().set_variables(variables)

    def reparse(self) -> None:
        """All rules with the variables told last; sources that are new are read when rules are asked for."""
        if self._differs:
            super().reparse()
            self._differs = False
