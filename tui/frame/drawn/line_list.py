"""A long list that draws only the lines one can see, so that a thousand reels cost what twenty do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tui.board.glyphs import glyphs
from tui.keys.keys import bindings
from tui.keys.words import keyed
from tui.safe_text import fit

if TYPE_CHECKING:
    from tui.frame.drawn.beside import Third

#: A piece of a line: its text and its role, the name of a style (see ROLES).
Part = tuple[str, str]
#: The pieces of a line (none: no line), whether the cursor is on it, its width, and the look.
Told = tuple[tuple[Part, ...] | None, bool, int, str]
ROLES = ("word", "dim", "good", "next", "bad", "head", "cursor")


class LineList(ScrollView, can_focus=True):
    """Lines of one row each with a cursor on one of them. Subclasses say what a line shows in ``parts``."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"line--{role}" for role in ROLES}
    BINDINGS = bindings("list")
    #: What belongs here and which key begins it, told while the list is empty.
    NOTHING: ClassVar[tuple[str, ...]] = ()

    cursor: reactive[int] = reactive(0, repaint=False)
    count: reactive[int] = reactive(0, repaint=False)

    class Moved(Message):
        """The cursor stands on another line now."""

    def __init__(self) -> None:
        super().__init__()
        self._lines_drawn: dict[int, tuple[Told, Strip]] = {}
        self._third: Third | None = None  # what stands at its right; a widget of its own would open later

    def show_beside(self, lines: Callable[[], Iterable[Part]], width: int) -> None:
        """Shows these lines of a role and a text, where the terminal is wide enough."""
        from tui.frame.drawn.beside import third

        self._third, before = third(lines, width), self._third
        if self._third != before:
            self.refresh()

    def nothing(self) -> Sequence[str]:
        """What stands in an empty list, by the keys that are bound now."""
        own = getattr(self.app, "own_keys", {})
        return tuple(keyed(one, own) for one in self.NOTHING)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """The pieces of one line; together they should fill ``width`` columns."""
        raise NotImplementedError

    def sign_at(self, index: int) -> str:
        """The sign at the edge of the line under the cursor: it is told by more than its look."""
        return glyphs(plain=getattr(self.app, "plain_signs", False)).cursor if index == self.cursor else " "

    def skips(self, index: int) -> bool:
        """True for a line on which the cursor never stands, such as a heading."""
        return False

    def lay(self, count: int, cursor: int | None = None) -> None:
        """Shows that many lines anew, the cursor on the given one or where it was."""
        self.count = count
        self.virtual_size = Size(1, count)  # lines are as wide as the list, so only the height tells
        wanted = self.cursor if cursor is None else cursor
        self.set_reactive(LineList.cursor, self._allowed(max(0, min(wanted, count - 1)), 1))
        self._show_cursor()
        self._draw_changed()

    @property
    def _room(self) -> int:
        """Columns of a line."""
        return self.scrollable_content_region.width - (self._third.columns if self._third else 0)

    def _draw_changed(self) -> None:
        """Draws the lines that show something else than they do now; most stay as they are in a change."""
        top, width = self.scroll_offset.y, self._room
        for y in range(self.size.height):
            drawn = self._lines_drawn.get(top + y)
            if drawn is None or drawn[0] != self._told(top + y, width):
                self.refresh(Region(0, y, self.size.width, 1))

    def on_resize(self) -> None:
        """The line with the cursor is seen in a list of any height."""
        self._show_cursor()

    def render_line(self, y: int) -> Strip:
        """One line of the screen, drawn from the row that has scrolled there, and what stands beside it."""
        listed = self._listed(y)
        if self._third is None:
            return listed
        role, text = self._third.row(y, self.size.height, plain=getattr(self.app, "plain_signs", False))
        style = self.get_component_rich_style(f"line--{role}")
        return Strip.join([listed, Strip([Segment(text, style)])])

    def _listed(self, y: int) -> Strip:
        index = y + self.scroll_offset.y
        width = self._room
        told = self._told(index, width)
        drawn = self._lines_drawn.get(index)
        if drawn is None or drawn[0] != told:
            drawn = self._lines_drawn[index] = told, self._strip(told)
        return drawn[1]

    def _told(self, index: int, width: int) -> Told:
        """All that the look of a line rests on."""
        there = 0 <= index < self.count
        told = () if self.count else tuple(self.nothing())
        if index < len(told):
            return ((fit(f" {told[index]}", width), "dim"),), False, width, self.app.theme
        on_it = there and index == self.cursor and not self.skips(index)
        return tuple(self.parts(index, width)) if there else None, on_it, width, self.app.theme

    def _strip(self, told: Told) -> Strip:
        parts, on_it, width, _ = told
        if parts is None:
            return Strip.blank(width, self.rich_style)
        segments = [Segment(text, self._style(role, on_it=on_it)) for text, role in parts]
        under = self._style("word", on_it=on_it)
        return Strip(segments).adjust_cell_length(width, under).simplify()

    def _style(self, role: str, *, on_it: bool) -> Style:
        if not on_it:
            return self.get_component_rich_style(f"line--{role}")
        cursor = self.get_component_rich_style("line--cursor")
        return cursor + Style(bold=True) if role in ("next", "bad", "head") else cursor

    def watch_cursor(self, old: int, new: int) -> None:
        """Draws the two lines that changed, and no more."""
        for index in (old, new):
            self.refresh_line(index)
        self._show_cursor()
        self.post_message(self.Moved())

    def refresh_line(self, index: int) -> None:
        """Draws one row anew where it can be seen."""
        if 0 <= (y := index - self.scroll_offset.y) < self.size.height:
            self.refresh(Region(0, y, self.size.width, 1))

    def _show_cursor(self) -> None:
        height = self.scrollable_content_region.height
        top = self.scroll_offset.y
        if height <= 0:
            return
        if self.cursor < top:
            self.scroll_to(y=max(0, self.cursor - self._headings_above()), animate=False, immediate=True)
        elif self.cursor + self._words_below() >= top + height:
            below = min(self._words_below(), height - 1)  # the line itself is seen in any case
            self.scroll_to(y=self.cursor + below - height + 1, animate=False, immediate=True)

    def _words_below(self) -> int:
        """Lines after the cursor's to the very end, where it can stand on none of them; else none."""
        if self.cursor >= self.count - 1 or not self.skips(self.cursor + 1):
            return 0
        rest = range(self.cursor + 1, self.count)
        return len(rest) if all(self.skips(index) for index in rest) else 0

    def _headings_above(self) -> int:
        above = 0
        while self.cursor - above > 0 and self.skips(self.cursor - above - 1):
            above += 1
        return above

    def _allowed(self, index: int, step: int) -> int:
        """The next line from there on which the cursor may stand, turning round at the ends."""
        for direction in (step, -step):
            at = index
            while 0 <= at < self.count:
                if not self.skips(at):
                    return at
                at += direction
        return max(0, min(index, self.count - 1))

    def action_move(self, lines: int) -> None:
        """Moves the cursor that many lines, a page's worth for ±1000."""
        page = max(1, self.scrollable_content_region.height - 1)
        step = lines if abs(lines) < 1000 else page * (1 if lines > 0 else -1)
        wanted = max(0, min(self.count - 1, self.cursor + step))
        self.cursor = self._allowed(wanted, 1 if lines > 0 else -1)

    def action_first(self) -> None:
        """Moves the cursor to the first line."""
        self.cursor = self._allowed(0, 1)

    def action_last(self) -> None:
        """Moves the cursor to the last line."""
        self.cursor = self._allowed(self.count - 1, -1)

    def on_click(self, event: events.Click) -> None:
        """A click puts the cursor there; nothing needs it."""
        index = int(event.y) + self.scroll_offset.y
        if 0 <= index < self.count and not self.skips(index):
            self.cursor = index


def line(width: int, *parts: tuple[str, int, str]) -> list[Part]:
    """Pieces of (text, columns, role) as fitted parts; the last column takes what is left of ``width``."""
    out: list[Part] = []
    left = width
    for number, (text, columns, role) in enumerate(parts):
        take = left if number == len(parts) - 1 else min(columns, left)
        out.append((fit(text, take), role))
        left -= take
    return out
