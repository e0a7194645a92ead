"""The lines of a check: the places to listen to, worst first, one's own notes, what was found besides."""

from __future__ import annotations

from collections.abc import Sequence

from core.findings import Check, Finding
from tui.places.captures.lanes import shuts_first


def finding_rows(check: Check, notes: list[tuple[float, str]]) -> list[Finding | str]:
    """A finding a line, and heads between them; ``notes``: where something was noted while the pass ran."""
    listed = check.listening_list()
    places = [one for one in listed if one.weight != "note"]
    perhaps = [one for one in listed if one.weight == "note"]
    others = sorted((one for one in check.findings if one not in listed), key=shuts_first)
    rows: list[Finding | str] = [f"listen to {len(places)} place{'s' * (len(places) != 1)}, worst first:"]
    if not places:
        rows = ["nothing to listen to: no place was found that is out of order"]
    own = check.notes_apart(notes)
    rows += [*places, *_under("where you have the time, likeliest first:", perhaps)]
    return [*rows, *_under("your own notes:", own), *_under("also found:", others)]


def _under(head: str, rows: Sequence[Finding | str]) -> list[Finding | str]:
    """These rows under their head; nothing where there is none."""
    return [head, *rows] if rows else []
