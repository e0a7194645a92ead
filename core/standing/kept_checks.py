"""The checks of a reel that the shelf keeps, what was listened to, and by what names they lie."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from core.logbook.files import FilesLook, Listened, Mark, listened_to, looks
from core.logbook.typed import with_entry
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import transfers

if TYPE_CHECKING:
    from core.findings import Finding
    from core.raw import RawCheck


#: What a person says of a place on the listening list.
MARKS = {"fine": "listened, fine", "again": "capture again"}


def check_key(reel: str, number: int) -> str:
    """What the check and the look of that pass are kept under."""
    return f"{reel} pass {number}"


def wanted_passes(shelf: Shelf, reel: Reel) -> tuple[int, ...]:
    """The numbers of all passes that the reel takes, over all parts of its tape."""
    return tuple(number for one in transfers(shelf, reel) for number in one.numbers)


def checks_of(shelf: Shelf, reel: str) -> dict[int, RawCheck]:
    """The newest check of every pass of that reel, as it is kept, by pass."""
    mine = [check for check in shelf.of_kind("check").values() if check.get("reel") == reel]
    mine.sort(key=lambda check: str(check.get("at", "")))
    return (
        dict(sorted((int(check.get("pass", 1)), check) for check in mine)) if len(mine) < 2 else _newest(mine)
    )


def _newest(checks: Iterable[RawCheck]) -> dict[int, RawCheck]:
    newest: dict[int, RawCheck] = {}
    for check in checks:
        newest[int(check.get("pass", 1))] = check
    return {number: newest[number] for number in sorted(newest)}


def files_sum(check: RawCheck) -> str:
    """A short name for the very content of a check's files."""
    from hashlib import sha256

    digests = " ".join(str(file.get("sha256")) for file in check.get("files", ()))
    return sha256(digests.encode()).hexdigest()[:16]


def place_key(finding: Finding) -> str:
    """What a mark on a place of the listening list is kept under."""
    return f"{finding.kind} {finding.track or 'all'} {finding.start:.3f}"


def listened(shelf: Shelf, check: RawCheck) -> Mapping[str, Mark]:
    """The marks of a check's places, by place."""
    key = check_key(str(check.get("reel")), int(check.get("pass", 1)))
    found = listened_to(shelf).get(key)
    return found.marks if found is not None and found.of == files_sum(check) else {}


def with_mark(shelf: Shelf, check: RawCheck, finding: Finding, mark: Mark | None, at: datetime) -> Shelf:
    """The shelf with that place marked ``fine`` or ``again``; none takes it back."""
    key = check_key(str(check.get("reel")), int(check.get("pass", 1)))
    marks = {one: said for one, said in listened(shelf, check).items() if one != place_key(finding)}
    if mark is not None:
        marks[place_key(finding)] = mark
    return with_entry(shelf, key, Listened(files_sum(check), at, marks))


def looks_of(shelf: Shelf, reel: Reel) -> Iterator[FilesLook]:
    """The newest look at the files of each pass, as far as they were looked at since they were checked."""
    kept = looks(shelf)
    for number in wanted_passes(shelf, reel) if kept else ():
        look = kept.get(check_key(reel.key, number))
        if look is not None:
            yield look
