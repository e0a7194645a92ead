"""The joint for captures of passes that ran backwards: turned round beside the originals, told by a check."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from core.logbook.turned import TurnedFile, TurnedRound, still_to_turn, turned
from core.logbook.typed import with_entry
from core.shelf import Shelf
from core.standing.kept_checks import check_key

if TYPE_CHECKING:
    from core.capture.files.progress import Asked
    from core.findings import Check, Finding
    from core.store.book import Book


def turn_captures(
    book: Book,
    reel: str,
    files: Sequence[Path],
    pass_number: int,
    *,
    turned_over: bool = False,
    told: Callable[[int], object] = lambda count: None,
    cancelled: Asked | None = None,
) -> TurnedRound:
    """Turns the files of a pass round, keeps which they are, and writes it into the reel's history.

    ``told`` hears of every so many bytes. Refused for a file that is no sound or is there already; Unusable
    where the folder cannot be written to.
    """
    from core.capture.files.wave.header import Unreadable
    from core.capture.written.turned import turn_round, turned_names, turned_order
    from core.reels.pass_tracks import tracks_by_pass

    row, at = book.shelf.reel(reel), book.now()
    if not files:
        raise Refused(f"name the files of pass {pass_number} of {reel}")
    carried = tracks_by_pass(row.tracks, book.shelf.studio) if row.tracks else ((),)
    tracks = len(carried[min(pass_number, len(carried)) - 1]) or None
    try:
        order = turned_order(files, tracks, turned_over=turned_over)
        made = turn_round(order, turned_names(order), turned_over=turned_over, told=told, cancelled=cancelled)
    except Unreadable as error:
        raise Refused(f"{reel}: a file {error}") from None
    except FileExistsError as error:
        raise Refused(f"{error.filename} {error.strerror}") from None
    except OSError as error:
        raise Unusable(f"{error.filename or files[0].parent}: {error.strerror or error}") from None
    kept = TurnedRound(
        reel,
        pass_number,
        at,
        tuple(TurnedFile(str(one.source), str(one.path), one.sha256) for one in made),
        turned_over,
    )
    named = ", ".join(one.source.name for one in made)
    words = f"pass {pass_number} was played backwards; turned round beside the originals: {named}"

    key = check_key(reel, pass_number)
    with book.as_one(f"{key} turned round"):
        book.change(lambda shelf: with_entry(shelf, key, kept), what=f"{key} turned round", at=at)
        book.note(reel, words, at)
    return kept


def only_turned(shelf: Shelf, reel: str, pass_number: int, found: Sequence[Path]) -> list[Path]:
    """Of the files found for a pass those that were turned round, in their order; all where none was."""
    kept = turned(shelf).get(check_key(reel, pass_number))
    paths = [Path(one.path) for one in kept.files] if kept is not None else []
    return paths if paths and all(path.exists() for path in paths) else list(found)


def told_of_turning(shelf: Shelf, found: Check) -> Check:
    """The check with a finding where its pass ran backwards: turned round, or still to be."""
    if not found.measured:
        return found
    return replace(found, findings=(*found.findings, *_told(shelf, found)))


def _told(shelf: Shelf, found: Check) -> Iterator[Finding]:
    from core.findings import Finding

    kept = turned(shelf).get(check_key(found.reel, found.pass_number))
    mine = {one.sha256 for one in kept.files} if kept is not None else set()
    given = {file.sha256 for file in found.files if file.sha256 is not None}
    if mine and given <= mine:
        says = "This pass was played backwards; these files were turned round from what was captured."
        yield Finding("reversed", None, 0.0, found.seconds, "note", says)
    elif still_to_turn(shelf, found.reel, found.pass_number, given):
        says = f"This pass was played backwards: turn its files round (reelturn turn {found.reel} FILE...)."
        yield Finding("reversed", None, 0.0, found.seconds, "remark", says)
