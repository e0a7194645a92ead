"""Tapes that are told out of a chamber at a moment to come: they lie in the heat until somebody acts."""

from __future__ import annotations

from datetime import datetime

from core.conditioning.loads.kept_loads import loads_of
from core.shelf import Shelf


def out_ahead(shelf: Shelf, now: datetime) -> tuple[str, ...]:
    """A sentence for each tape whose load runs, and whose take-out is told ahead: nothing rings for it."""
    return tuple(
        f"{one.reel} lies in chamber {log.chamber} until {one.out.astimezone(shelf.studio.zone):%a %H:%M}, "
        "by your word: take it out then, nothing else rings for it (`reelturn undo` where it was a slip)"
        for log in loads_of(shelf).values() if not log.trial and log.at <= now and log.broken_off is None
        for one in log.members if one.out is not None and one.out > now
    )  # fmt: skip
