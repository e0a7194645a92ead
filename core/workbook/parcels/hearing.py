"""The places of a pass that are worth an ear, and short files of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from core.words import listed

if TYPE_CHECKING:
    from core.capture.files.progress import Asked
    from core.capture.listening import Excerpt
    from core.capture.to_hear import Place
    from core.findings import Check
    from core.store.book import Book
    from core.workbook.captures import Captures


class Hearing:
    """What is to be listened to of a shelf's captures."""

    def __init__(self, book: Book, captures: Captures) -> None:
        self.book = book
        self.captures = captures

    def to_hear(self, reel: str, pass_number: int = 0) -> tuple[Check, tuple[Place, ...]]:
        """The newest check of that pass (0: the first that is checked) and its places worth an ear.

        As many more as were heard already, so that every place comes up in its turn, by the same number.
        """
        from core.capture.to_hear import places_to_hear
        from core.evening.playing.passes import notes_of
        from core.standing.kept_checks import checks_of, listened

        checks = {one.pass_number: one for one in self.captures.kept_checks(reel)}
        if not checks:
            raise Refused(f"no check of {reel} is kept: reelturn check {reel} FILE... measures its files")
        number = pass_number or min(checks)
        if number not in checks:
            raise Refused(
                f"{reel}: pass {number} is not checked: there is {listed([str(n) for n in checks])}"
            )
        notes = [
            (note.seconds, note.told) for _, note in notes_of(self.book.shelf, reel) if note.number == number
        ]
        kept = checks_of(self.book.shelf, reel)[number]
        return checks[number], places_to_hear(
            checks[number], notes, 20 + len(listened(self.book.shelf, kept))
        )

    def listening_folder(self, reel: str, pass_number: int) -> Path:
        """Where the excerpts of a pass lie unless another folder is named: beside the shelf."""
        from core.paper.look.files import safe_name

        return self.book.path.parent / "listening" / f"{safe_name(reel)}-pass-{pass_number}"

    def excerpts(
        self, reel: str, pass_number: int = 0, folder: Path | None = None, cancelled: Asked | None = None
    ) -> tuple[Excerpt, ...]:
        """Writes the places worth an ear as short files; Refused where there is none, or a file is gone."""
        from core.capture.kept.fixity import on_disk
        from core.capture.listening import write_excerpts
        from core.capture.pieces.pass_sound import NotThere

        check, places = self.to_hear(reel, pass_number)
        if not places:
            raise Refused(f"{reel} pass {check.pass_number}: no place asks for an ear")
        folder = folder or self.listening_folder(reel, check.pass_number)
        try:
            return write_excerpts(
                check, [on_disk(one.path) for one in check.files], places, folder, cancelled
            )
        except NotThere as error:
            raise Refused(f"{error}: put it back, or check the reel anew") from None
        except OSError as error:
            raise Unusable(f"cannot write excerpts into {folder}: {error.strerror or error}") from None
