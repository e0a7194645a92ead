"""When a song is ready: when every reel it needs is verified. What it waits for, and what bars it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal

from core.reels.reel import Reel
from core.songs.song import Song
from core.values import dataclass

State = Literal["ready", "waiting", "barred", "no reels"]


@dataclass(frozen=True, slots=True)
class Readiness:
    """A song's state, the reels it waits for, and for each barred one why."""

    song: Song
    state: State
    waits_for: tuple[str, ...] = ()
    barred_by: tuple[tuple[str, str], ...] = ()


def readiness(
    song: Song,
    reels: Mapping[str, Reel],
    why_barred: Callable[[Reel], str | None],
    covered: Callable[[Song], bool] = lambda song: False,
) -> Readiness:
    """The song's state now; one that needs no reel is never ready.

    ``covered`` tells of a song whose needed spans were all verified one by one.
    """
    if not song.needs:
        return Readiness(song, "no reels")
    if covered(song):
        return Readiness(song, "ready")
    needed = list(dict.fromkeys(need.reel for need in song.needs))
    waits = tuple(key for key in needed if key not in reels or reels[key].stage != "verified")
    barred = tuple(
        (key, why) for key in waits if key in reels and (why := why_barred(reels[key])) is not None
    )
    if barred:
        return Readiness(song, "barred", waits, barred)
    return Readiness(song, "waiting" if waits else "ready", waits)
