"""Prints what is asked for by name, into a folder: cards, labels, track sheets, change slips, reports."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from core.conditioning.loads.kept_loads import loads_of
from core.errors import Refused
from core.findings import Check, Strip
from core.lineup.on_shelf import lineups_of
from core.paper.kept.capture_report import capture_report
from core.paper.kept.chamber_log import kept_log_name, kept_log_pdf
from core.paper.kept.change_slip import change_slip
from core.paper.kept.lineup_kept import kept_lineup_name, kept_lineup_pdf
from core.paper.look.files import put, put_beside, safe_name
from core.paper.shelf.cards import box_labels, reel_cards
from core.paper.shelf.track_sheet import track_sheets
from core.plan import Plan
from core.shelf import Shelf

REEL_SHEETS = ("cards", "labels", "track sheets")


def print_reels(
    shelf: Shelf,
    keys: Iterable[str],
    folder: Path,
    *,
    what: Iterable[str] = REEL_SHEETS,
    plan: Plan | None = None,
    size: str = "A4",
    made: datetime,
    was: Mapping[str, str] = {},
) -> list[Path]:
    """Writes the chosen sheets of the chosen reels and names the files.

    ``was`` tells, by reel, what its box said before the tapes were found to be swapped. Refused for a reel
    that is not on the shelf, ValueError for sheets that there are none of.
    """
    reels = [shelf.reel(key) for key in keys]
    makers = {
        "cards": lambda: reel_cards(shelf, plan, reels, size=size, made=made),
        "labels": lambda: box_labels(shelf, reels, size=size, made=made, was=was.items()),
        "track sheets": lambda: track_sheets(shelf, reels, size=size, made=made),
    }
    wanted = list(what)
    unknown = [one for one in wanted if one not in makers]
    if unknown:
        raise ValueError(f"no sheet is called {unknown[0]!r}: there are {', '.join(makers)}")
    name = safe_name(reels[0].key) if len(reels) == 1 else f"{len(reels)}-reels"
    return [put_beside(folder, f"{one.replace(' ', '-')}-{name}.pdf", makers[one]()) for one in wanted]


def print_changes(
    shelf: Shelf, old: Plan, new: Plan, folder: Path, *, size: str = "A4", made: datetime
) -> Path:
    """Writes the change slips from one plan to the next."""
    pdf = change_slip(shelf, old, new, size=size, made=made)
    return put_beside(folder, f"changes-{old.number}-to-{new.number}.pdf", pdf)


def print_report(shelf: Shelf, check: Check, folder: Path, *, size: str = "A4", made: datetime) -> Path:
    """Writes the report of one check."""
    pdf = capture_report(shelf, check, size=size, made=made)
    return put(folder, f"capture-{safe_name(check.reel)}-pass-{check.pass_number}.pdf", pdf)


def print_reports(shelf: Shelf, folder: Path, *, size: str = "A4", made: datetime) -> list[Path]:
    """Writes a report for every check that the shelf keeps, with its strip where that is kept too.

    Refused where no check is kept.
    """
    kept = shelf.of_kind("check")
    if not kept:
        raise Refused("no check is kept on this shelf: check a reel's files first")
    strips = shelf.of_kind("strip")
    paths = []
    for key, document in kept.items():
        check = Check.from_json(document)
        strip = Strip.from_json(strips[key]) if key in strips else None
        paths.append(print_report(shelf, replace(check, strip=strip), folder, size=size, made=made))
    return paths


def print_loads(
    shelf: Shelf, folder: Path, *, keys: Iterable[str] = (), size: str = "A4", made: datetime
) -> list[Path]:
    """Writes the log of each of those chamber loads, or of all, as kept; Refused where there is none."""
    loads = list(keys) or list(loads_of(shelf))
    if not loads:
        raise Refused("nothing was loaded into a chamber yet: there is no log")
    return [
        put(folder, f"{safe_name(kept_log_name(shelf, key))}.pdf", kept_log_pdf(shelf, key, made, size=size))
        for key in loads
    ]


def print_lineups(
    shelf: Shelf, folder: Path, *, deck: str = "", size: str = "A4", made: datetime, newest: bool = False
) -> list[Path]:
    """Writes every kept line-up, of one deck or of all; with ``newest`` only the last of each deck.

    Refused where none is kept.
    """
    records = [one for one in lineups_of(shelf) if not deck or one.deck == deck]
    if newest:
        records = list({one.deck: one for one in records}.values())
    if not records:
        raise Refused(
            f"no line-up{f' of {deck}' if deck else ''} is kept: its sheet opens beside a reel, or on Tonight"
        )
    return [
        put(
            folder,
            f"{safe_name(kept_lineup_name(one))}.pdf",
            kept_lineup_pdf(shelf, one, made, size=size),
        )
        for one in records
    ]
