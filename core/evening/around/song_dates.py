"""Every song's dates on a shelf with its kept plan: the one place where faces ask when a song is there."""

from __future__ import annotations

from datetime import datetime

from core.as_json import Record
from core.conditioning.advisor import barred
from core.evening.playing.spans import covered
from core.plan import Plan
from core.shelf import Shelf
from core.songs.readiness import Readiness, readiness
from core.songs.song import Song
from core.songs.when import SongDate, song_date


def song_state(shelf: Shelf, song: Song, now: datetime) -> Readiness:
    """How the song stands now: ready, waiting, barred or without reels, and what it waits for."""
    return readiness(
        song,
        shelf.reels,
        lambda reel: barred(shelf, reel, now),
        lambda one: covered(shelf, one),
    )


def song_dates(shelf: Shelf, plan: Plan | None, now: datetime) -> dict[str, SongDate]:
    """By key, every song's state and its planned, likely and promised dates by ``plan``.

    What the simulated evenings told is taken from the shelf where it was told of that plan; without it the
    planned date is the promised one, and no chance is known.
    """
    planned = {one.song: one.ready for one in plan.songs} if plan is not None else {}
    simulated = told_of(shelf, plan)
    promises, chances = simulated.get("promises"), simulated.get("on_time", {})
    where = shelf.studio.zone
    out = {}
    for song in shelf.songs.values():
        due = planned.get(song.key)
        text = (promises or {}).get(song.key)
        promised = due if promises is None else text and datetime.fromisoformat(text).astimezone(where)
        told = song_state(shelf, song, now)
        chance = chances.get(song.key) if due is not None else None
        out[song.key] = song_date(told, due, chance, promised or None, now, kept=plan is not None)
    return out


def told_of(shelf: Shelf, plan: Plan | None) -> Record:
    """What simulated evenings told of that plan, as the shelf keeps it; nothing where none did."""
    kept = shelf.of_kind("plan")
    number = (kept.get("kept") or {}).get("number", 0)
    if plan is None or plan.number != number or not kept.get("promises"):
        return {}
    evenings = kept.get("evenings") or {}
    return {
        "promises": kept["promises"],
        "on_time": evenings.get("on_time", {}),
        "runs": evenings.get("runs", 0),
    }
