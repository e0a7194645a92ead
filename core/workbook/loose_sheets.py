"""The joint for loose sheets: proposals for all of them, and what the owner decides."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from core.clock import clock_text, write_time

if TYPE_CHECKING:
    from core.sheets.papers import Paper
    from core.sheets.proposals import Papers
    from core.store.book import Book

Span = tuple[Fraction, Fraction]


class LooseSheets:
    """A shelf's loose sheets."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def proposals(self) -> Papers:
        """Every loose sheet with its proposal, all decided together, and the stretches without a sheet."""
        from core.sheets.proposals import papers_of

        return papers_of(self.book.shelf, self.old_titles())

    def paper(self, sheet: str) -> Paper:
        """One sheet with what it says; Refused where there is none, with the nearest."""
        from core.sheets.made_loose import rows_of
        from core.sheets.proposals import paper_of

        found = paper_of(self.book.shelf, sheet, self.old_titles())
        if found is None:
            rows_of(self.book.shelf, sheet)
        assert found is not None
        return found

    def paper_json(self, paper: Paper) -> dict[str, object]:
        """One sheet as other programs read it."""
        from core.sheets.places import PLACES

        kept = self.book.shelf.of_kind(PLACES).get(paper.key) or {}
        reel = next((row.reel for row in paper.rows if row.reel), None)
        spanned = reel is not None and kept.get("reel") == reel
        return {
            "sheet": paper.key, "reel": reel,
            "from": kept.get("from") if spanned else None, "to": kept.get("to") if spanned else None,
            "is": "on a tape" if reel else "of no tape" if kept.get("none") else "loose",
            "because": str(kept.get("because") or ""), "found_in": paper.found_in,
            "date": paper.date, "read_as": [one.edtf for one in paper.dates],
            "rows": [{"track": row.track, "song": row.song, "part": row.part, "player": row.player,
                      "take": row.take, "copied_from": row.copied_from, "notes": row.notes}
                     for row in paper.rows],
        }  # fmt: skip

    def old_titles(self) -> dict[str, tuple[str, ...]]:
        """What songs were called before, by the history."""
        found: dict[str, dict[str, None]] = {}
        for event in self.book.told_of("song", ("title",)):
            if event.old:
                found.setdefault(event.key, {})[event.old] = None
        return {key: tuple(titles) for key, titles in found.items()}

    def belongs(self, sheet: str, reel: str, span: Span | None = None, because: str = "") -> str:
        """The sheet is of that tape from now on, rows, song and span in one change; says what was done.

        Refused where a row contradicts the tape, or the sheet is on another.
        """
        from core.sheets import decided, made_loose
        from core.songs.written.told_twice import told_otherwise

        at = write_time(self.book.now())
        where = f"{reel} {clock_text(span[0])}-{clock_text(span[1])}" if span else reel
        self.book.change(
            lambda shelf: decided.belongs(shelf, sheet, reel, span, because, at),
            what=f"sheet {sheet} belongs to {where}", because=because,
        )  # fmt: skip
        rows = made_loose.rows_of(self.book.shelf, sheet)
        said = f"{sheet} belongs to {where}"
        if not any(row.song for row in rows):
            said += f"; it names no song: reelturn set {sheet} song=... puts it among a song's parts"
        others = [other for other in told_otherwise(self.book.shelf.sheets, rows) if other != sheet]
        if others:
            said += f"; {', '.join(others)} of {reel} tell its tracks differently: mend what is wrong"
        return said

    def loose(self, sheet: str, because: str = "") -> str:
        """The sheet is undecided again, parted from its tape; says what was done."""
        from core.sheets import made_loose

        self.book.change(
            lambda shelf: made_loose.loose(shelf, sheet), what=f"sheet {sheet} is loose", because=because
        )
        return f"{sheet} is a loose sheet again"

    def of_no_tape(self, sheet: str, because: str = "") -> str:
        """The sheet is of no tape there is; says what was done."""
        from core.sheets import made_loose

        at = write_time(self.book.now())
        self.book.change(
            lambda shelf: made_loose.of_no_tape(shelf, sheet, because, at),
            what=f"sheet {sheet} is of no tape we have", because=because,
        )  # fmt: skip
        return f"{sheet} is of no tape we have"

    def song_span(self, song: str, reel: str, span: Span) -> str:
        """A stretch of a tape is that song's span; says what was done."""
        from core.sheets import span_given

        where = f"{reel} {clock_text(span[0])}-{clock_text(span[1])}"
        self.book.change(
            lambda shelf: span_given.song_span(shelf, song, reel, span), what=f"{where} is {song}"
        )
        return f"{where} is {song}"
