"""Readiness of every song."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.songs.when import SongDate


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """State, what it waits for, and its planned, likely and promised dates by the kept plan."""
    workbook = opened(given)
    stale = workbook.plans.plan_is_stale()
    dates = workbook.plans.song_dates()
    if given.json:
        evenings = workbook.plans.simulated_evenings()
        print_json([_document(one, evenings) | ({"stale": True} if stale else {}) for one in dates.values()])
        return 0
    if stale:
        from tui.said import say

        say(stale)
    print_lines(_line(one) for one in dates.values())
    return 0


def _document(date: SongDate, evenings: int) -> dict[str, object]:
    from core.clock import write_time

    song = date.told.song
    return {
        "song": song.key,
        "title": song.title,
        "album": song.album,
        "state": date.state,
        "waits_for": list(date.waits_for),
        "planned": write_time(date.planned) if date.planned else None,
        "chance": date.chance,
        "promised": write_time(date.promised) if date.promised else None,
        "promise_from": "simulation" if evenings else "plan",
        "simulated_evenings": evenings,
        "barred_by": dict(date.told.barred_by),
    }


def _line(date: SongDate) -> str:
    song = date.told.song
    name = f"{song.key}  {song.title}" + (f" ({song.album})" if song.album else "")
    waits = f"; waits for {', '.join(date.waits_for)}" if date.waits_for else ""
    why = "".join(f"; {reel}: {why}" for reel, why in date.told.barred_by)
    return f"{name}: {date.words}{waits}{why}"
