"""The places of a check to listen to, worst first, and below them what was found of whole tracks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.findings import Finding
from core.standing.kept_checks import place_key
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part, line

_ROLES = {"fail": "bad", "remark": "word", "note": "dim"}


class PlacesList(LineList):
    """One line a finding, with what was said of it; the cursor stands on findings only."""

    NOTHING = (
        "",
        "No pass of this reel was measured yet.",
        "",
        "{capture.files} takes the files of a pass: length, tracks and faults are measured,",
        "and the places that want a listen stand here, worst first",
    )

    def __init__(self) -> None:
        super().__init__()
        self.rows: tuple[Finding | str, ...] = ()
        self.marks: Mapping[str, str] = {}
        self.seconds = 0.0

    def show(self, rows: Sequence[Finding | str], marks: Mapping[str, str], seconds: float) -> None:
        """Shows these findings of a pass of so many seconds; a text among them is a heading."""
        self.seconds = seconds
        here = self.finding
        self.rows, self.marks = tuple(rows), marks
        at = next(
            (n for n, row in enumerate(rows) if row is here or (here is not None and row == here)), None
        )
        self.lay(len(self.rows), at)

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        row = self.rows[self.cursor] if self.cursor < len(self.rows) else None
        return row if isinstance(row, Finding) else None

    def skips(self, index: int) -> bool:
        """Headings are passed over."""
        return isinstance(self.rows[index], str)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """What was said of it, weight, place, track and kind."""
        row = self.rows[index]
        if isinstance(row, str):
            return line(width, (f" {row}", width, "head" if row.endswith(":") else "dim"))
        sign = glyphs(plain=getattr(self.app, "plain_signs", False)).cursor if index == self.cursor else " "
        role = _ROLES[row.weight]
        said = self.marks.get(place_key(row), "")
        track = f"track {row.track}" if row.track is not None else "all tracks"
        both = f"{track} and {row.other}" if row.other is not None else track
        whole = row.start <= 0 and row.end >= self.seconds
        feet = f"{row.feet:.0f} ft" if row.feet is not None and not whole else ""
        return line(
            width,
            (f"{sign} {said or '.'}", 9, "good" if said == "fine" else "bad" if said else "dim"),
            (row.weight, 8, role),
            ("throughout" if whole else place_words(row.start), 11, role),
            (feet, 9, "dim"),
            (both, 17, role),
            (row.kind + (", noted" if row.notes else ""), 22, role),
        )


def place_words(seconds: float) -> str:
    """``12:03.250``: where in the pass, as one finds it in an editor."""
    minutes, rest = divmod(max(0.0, seconds), 60)
    return f"{int(minutes)}:{rest:06.3f}"
