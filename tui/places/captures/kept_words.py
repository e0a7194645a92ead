"""How the files of a check are kept: looked at since or not, with a second copy that is whole or without."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import PurePath
from typing import TYPE_CHECKING

from core.findings import Check
from core.logbook.files import looks, names
from core.shelf import Shelf
from core.standing.kept_checks import check_key
from core.standing.proof import copies_of
from tui.board.words import moment_words

if TYPE_CHECKING:
    from core.raw import RawCheck


def kept_words(shelf: Shelf, check: Check, record: RawCheck, now: datetime) -> str:
    """Both on one line."""
    return "; ".join((*_looked(shelf, check, now), *_copied(shelf, record)))


def _looked(shelf: Shelf, check: Check, now: datetime) -> Iterator[str]:
    look = looks(shelf).get(check_key(check.reel, check.pass_number))
    if look is None:
        yield f"{len(check.files)} file{'s' * (len(check.files) != 1)}, not looked at since (L looks)"
        return
    when = moment_words(look.at.astimezone(now.tzinfo), now)
    first, *more = names(look.files, look.status).split(", ")
    which = "" if look.status == "unchanged" else f"{first} and {len(more)} more" if more else first
    told = f"{look.status.upper()} {which}" if which else "unchanged"
    yield f"files {told} (looked {when})"


def _copied(shelf: Shelf, record: RawCheck) -> Iterator[str]:
    copies = copies_of(shelf, record)
    whole = [copy for copy in copies if copy.whole]
    if whole:
        yield f"second copy equal in {PurePath(whole[-1].folder).name}"
    elif copies:
        yield f"second copy NOT WHOLE in {PurePath(copies[-1].folder).name}"
    else:
        yield "no second copy compared (D compares)"
