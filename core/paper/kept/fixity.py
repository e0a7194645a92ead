"""On the capture report: are the files still what they were, where is the second copy, what judged them."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus.flowables import Flowable

from core.findings import Check
from core.logbook.files import looks, names
from core.paper.look.look import section
from core.paper.look.text import SMALL, STRONG, Text
from core.paper.look.words import day_and_clock
from core.shelf import Shelf
from core.standing.kept_checks import check_key
from core.standing.proof import copies_of


def fixity(shelf: Shelf, check: Check) -> list[Flowable]:
    """The section, as far as the shelf tells of that check."""
    lines = [*_looked(shelf, check), *_copies(shelf, check), _judged(check)]
    return section("Kept safe", *(Text(line, STRONG if bad else SMALL, 4) for line, bad in lines if line))


def _looked(shelf: Shelf, check: Check) -> Iterator[tuple[str, bool]]:
    look = looks(shelf).get(check_key(check.reel, check.pass_number))
    if look is None:
        yield "The files were not looked at again since they were checked.", False
        return
    yield f"The files were looked at again {day_and_clock(look.at)}: {look.status}.", look.status == "changed"
    for file in look.files:
        if file.state != "unchanged":
            yield f"{file.state}: {file.says}", file.state == "changed"


def _copies(shelf: Shelf, check: Check) -> Iterator[tuple[str, bool]]:
    record = shelf.of_kind("check").get(check_key(check.reel, check.pass_number))
    copies = copies_of(shelf, record) if record is not None else ()
    if not copies:
        yield "No second copy was compared.", False
    for copy in copies:
        when = day_and_clock(copy.at)
        same = ", on the same disk as the originals" if copy.same_disk else ""
        told = "equal by SHA-256" if copy.whole else "not whole"
        yield f"Second copy in {copy.folder}{same}, compared {when}: {told}.", not copy.whole
        if listed := names(copy.files, "changed"):
            yield f"other content: {listed}", True
        if listed := names(copy.files, "missing"):
            yield f"not there: {listed}", True


def _judged(check: Check) -> tuple[str, bool]:
    if not check.program:
        return "", False
    thresholds = ", ".join(f"{name} {_plain(value)}" for name, value in check.thresholds.items())
    return f"Measured by reelturn {check.program}. Judged by: {thresholds}.", False


def _plain(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:g}"
