"""The right third of a wide terminal beside a list: what hangs on the line under the cursor."""

from __future__ import annotations

from collections.abc import Sequence

from tui.safe_text import fit

FROM_COLUMNS = 110
"""The narrowest terminal that has a third to spare."""
WIDE = 40
#: Columns of a line in it.
ROOM = WIDE - 3
#: A role and a text.
Line = tuple[str, str]


def beside_row(lines: Sequence[Line], y: int, height: int, *, plain: bool) -> Line:
    """What stands beside that row of the screen; the last row tells how many lines have no room."""
    role, text = lines[y] if y < len(lines) else ("word", "")
    if len(lines) > height and y == height - 1:
        role, text = "dim", f"and {len(lines) - y} more lines"
    rule = "| " if plain else "│ "
    return role, f"{rule}{fit(text, ROOM)} "
