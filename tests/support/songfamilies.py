"""Made-up families of tracks: rows in one line each, reels, checks, and what is used of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import pytest

from core.album.place import SongClock
from core.reels.reel import Reel
from core.songs.family import Kin, family
from core.songs.heard import Hearing
from core.songs.parts import SongParts
from core.songs.song import Need, SheetRow, Song
from core.songs.song_parts import song_parts
from core.songs.sources.weighed import Facts


def row(
    where: str, part: str = "", copied: str = "", take: str = "", song: str = "S", **more: str
) -> SheetRow:
    """A row at ``K-1:3``; its sheet is the reel's unless told."""
    reel, _, track = where.rpartition(":")
    sheet = more.pop("sheet", f"T-{reel}" if reel else "L-1")
    return SheetRow(sheet, int(track), reel, song, part=part, take=take, copied_from=copied, **more)


def check(
    reel: str, *findings: Mapping[str, Any], tracks: Iterable[int] = range(1, 17), **more: Any
) -> dict[str, Any]:
    """A kept check of the whole reel, ten minutes long."""
    return {
        "reel": reel, "pass": 1, "verdict": "pass", "tracks": list(tracks), "seconds": 600.0,
        "at": "2026-11-20", "channels": [],
        "files": [{"path": f"{reel}.wav", "sample_rate": 96000, "seconds": 600.0}],
        "findings": list(findings), "timecode": [], "speed": {"percent": None}, **more,
    }  # fmt: skip


def finding(kind: str, track: int | None, start: float, end: float, weight: str) -> dict[str, Any]:
    """One finding of a check."""
    return {"kind": kind, "track": track, "start": start, "end": end, "weight": weight, "says": kind}


@pytest.fixture
def facts(make_reel: Callable[..., Reel]) -> Callable[..., Facts]:
    """What is known of a song whose family is these rows; every reel that they name is there unless told."""

    def tell(rows: Iterable[SheetRow], *checks: Any, reels: Iterable[Reel] | None = None, needs: Any = None,
             barred: Mapping[str, str] | None = None, clock: SongClock | None = None, own: Any = None,
             equals: Any = None, elsewhere: Any = ()) -> Facts:  # fmt: skip
        listed = list(rows)
        keys = dict.fromkeys(one.reel for one in listed if one.reel)
        there = list(reels) if reels is not None else [make_reel(key, stage="transferred") for key in keys]
        song = Song("S", "The Heron Gate", needs=needs or tuple(Need(one.key) for one in there))
        return Facts(
            song, listed, {one.key: one for one in there}, Hearing(checks),
            lambda reel: (barred or {}).get(reel.key), equals or {}, own or {}, clock or SongClock(),
            elsewhere=lambda track: track in elsewhere,
        )  # fmt: skip

    return tell


@pytest.fixture
def told(facts: Callable[..., Facts]) -> Callable[..., SongParts]:
    """What is told of a song whose family is these rows."""
    return lambda *rows, **more: song_parts(facts(*rows, **more))


@pytest.fixture
def kin(facts: Callable[..., Facts]) -> Callable[..., tuple[Kin, ...]]:
    """The family tree of a song whose family is these rows."""
    return lambda *rows, **more: family(facts(*rows, **more))


def used(parts: SongParts) -> dict[str, str]:
    """The tracks by what the recording is called."""
    return {part.called: part.labels for part in parts.parts}
