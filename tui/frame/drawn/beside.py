"""The right third of a wide terminal beside a list: what hangs on the line under the cursor."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from core.values import dataclass
from tui.safe_text import fit

FROM_COLUMNS = 110
"""The narrowest terminal that has a third to spare."""
WIDE = 40
#: Columns of a line in it.
ROOM = WIDE - 3
#: A role and a text.
Line = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Third:
    """The lines that stand at the right of a list, and the columns that they take."""

    lines: tuple[Line, ...]
    columns: int = WIDE

    def row(self, y: int, height: int, *, plain: bool) -> Line:
        """What stands beside that row of the screen; the last row tells how many lines have no room."""
        role, text = self.lines[y] if y < len(self.lines) else ("word", "")
        if len(self.lines) > height and y == height - 1:
            role, text = "dim", f"and {len(self.lines) - y} more lines"
        rule = "| " if plain else "│ "
        return role, f"{rule}{fit(text, ROOM)} "


def third(lines: Callable[[], Iterable[Line]], width: int) -> Third | None:
    """These lines, where the terminal is wide enough; they are asked for only then. None where none stand."""
    told = Third(tuple(lines())) if width >= FROM_COLUMNS else None
    return told if told is not None and told.lines else None
