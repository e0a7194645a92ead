"""The evening's steps as one list, the current one large; the cursor stands on steps only."""

from __future__ import annotations

from collections.abc import Sequence

from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.places.tonight.face import LEAST, Line, rows
from tui.places.tonight.step_facts import Face


class EveningList(LineList):
    """Shows a ``Face``; the cursor stays on its step while the clock runs on."""

    def __init__(self) -> None:
        super().__init__()
        self.view: Face | None = None
        self._keys: tuple[str, ...] = ()
        self._drawn: tuple[int, list[Line]] = (0, [])

    @property
    def key_here(self) -> str:
        """The key of the step under the cursor; empty where there is none."""
        return self._keys[self.cursor] if self.cursor < len(self._keys) else ""

    def show(self, view: Face, key: str = "") -> None:
        """Shows the evening as it is, the cursor on that step, else on its own, else on the current one.

        Where nothing is left to do it stands on the first that was struck out, to be read, else last.
        """
        wanted = key or self.key_here
        current = view.sheet.current
        self.view = view
        told = rows(view, LEAST)
        self._keys = tuple(step for step, _ in told)
        self._drawn = (LEAST, [line for _, line in told])
        struck = next((step.key for step in view.sheet.steps if step.state == "struck"), "")
        for one in (wanted, current.key if current is not None else struck):
            if one and one in self._keys:
                self.lay(len(self._keys), self._keys.index(one))
                return
        self.lay(len(self._keys), len(self._keys) - 1)

    def skips(self, index: int) -> bool:
        """The cursor passes over what belongs to the step above."""
        return not self._keys[index] and any(self._keys)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line of the evening; a sign at its edge shows where the cursor is, also without colour."""
        if self.view is None:
            return []
        if self._drawn[0] != width:
            self._drawn = (width, [line for _, line in rows(self.view, width)])
        line = self._drawn[1][index]
        if index != self.cursor or self.skips(index):
            return line
        (first, role), *rest = line
        return [(f"{glyphs(plain=self.view.plain).cursor}{first[1:]}", role), *rest]

    def _show_cursor(self) -> None:
        """Keeps the lines that belong to the step in sight too, and two steps above it."""
        height = self.scrollable_content_region.height
        end = self.cursor + 1
        while end < len(self._keys) and not self._keys[end]:
            end += 1
        if height > 0 and end > self.cursor + 1 and self.count > height:
            top = min(max(0, self.cursor - 2), self.count - height)
            self.scroll_to(y=max(top, end - height), animate=False, immediate=True)
        else:
            super()._show_cursor()
