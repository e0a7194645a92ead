"""A list of things to tick; in a group where only one can hold, ticking one lets go of the other."""

from __future__ import annotations

from collections.abc import Sequence

from textual.message import Message

from core.values import dataclass
from tui.frame.drawn.line_list import LineList, Part
from tui.keys.keys import bindings
from tui.safe_text import fit


@dataclass(frozen=True, slots=True)
class Tick:
    """One line: a heading (no key), or a thing to tick. ``group`` names things of which one at most holds."""

    key: str
    text: str
    group: str = ""
    why_not: str = ""


class Toggles(LineList):
    """Space ticks, Enter is the question's own."""

    BINDINGS = bindings("list", "ticks")

    class Ticked(Message):
        """Something was ticked, or let go."""

    def __init__(self, lines: Sequence[Tick], ticked: frozenset[str] = frozenset()) -> None:
        super().__init__()
        self.lines = tuple(lines)
        self.ticked = set(ticked)
        self.styles.height = min(len(self.lines), 16)

    def on_mount(self) -> None:
        """Shows them all."""
        self.lay(len(self.lines), 0)

    def skips(self, index: int) -> bool:
        """Headings are passed over."""
        return not self.lines[index].key

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """A box with a cross in it, or empty."""
        line = self.lines[index]
        if not line.key:
            return [(fit(line.text, width), "head")]
        sign = self.sign_at(index)
        if line.why_not:
            return [(fit(f"{sign}     {line.text}  (not now: {line.why_not})", width), "dim")]
        on = line.key in self.ticked
        return [(fit(f"{sign} [{'x' if on else ' '}] {line.text}", width), "next" if on else "word")]

    def action_tick(self) -> None:
        """Ticks the line under the cursor, or lets it go."""
        line = self.lines[self.cursor]
        if line.why_not:
            return
        if line.key in self.ticked:
            self.ticked.discard(line.key)
        else:
            if line.group:
                self.ticked -= {other.key for other in self.lines if other.group == line.group}
            self.ticked.add(line.key)
        self.refresh()
        self.post_message(self.Ticked())

    def action_untick_all(self) -> None:
        """Lets everything go."""
        self.ticked.clear()
        self.refresh()
        self.post_message(self.Ticked())
