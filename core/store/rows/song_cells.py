"""Cells that hold several things: the reels that a song needs, the tracks that a track was copied from."""

from __future__ import annotations

import re
from collections.abc import Callable

from core.clock import clock_text
from core.songs.song import Need
from core.songs.written.copies import copied_tracks
from core.store.rows.columns import (
    Column,
    Reading,
    read_key,
    read_play_length,
)
from core.store.rows.never_was import beyond


def read_needs(text: str, _: Reading) -> tuple[Need, ...]:
    """Reels with or without a span, joined by ``;``; ValueError says what is right."""
    right = "reels joined by ;, each with or without a span, such as R-001@12:30-16:45; R-004"
    out = []
    for part in text.split(";"):
        match = re.fullmatch(r"([^@;:]+?)\s*(?:@\s*([0-9:.]+)\s*[-\u2013]\s*([0-9:.]+))?", part.strip())
        if match is None:
            raise ValueError(right)
        reel = read_key(match[1])
        if match[2] is None:
            out.append(Need(reel))
            continue
        start, end = read_play_length(match[2]), read_play_length(match[3])
        if start >= end:
            raise ValueError(f"{right}; a span ends after it starts")
        out.append(Need(reel, start, end))
    return tuple(dict.fromkeys(out))


def needs_text(needs: tuple[Need, ...]) -> str:
    """The needs as the file writes them: the inverse of ``read_needs``."""

    def one(need: Need) -> str:
        if need.start is None or need.end is None:
            return need.reel
        return f"{need.reel}@{clock_text(need.start)}-{clock_text(need.end)}"

    return "; ".join(one(need) for need in needs)


def read_copied_from(text: str, reading: Reading) -> str:
    """Reels and tracks, joined by ``;``, each once; ``?`` is not known. ValueError says what is right."""
    found = "; ".join(dict.fromkeys(_one_source(part.strip()) for part in text.split(";")))
    last = 0 if reading.kept else max((track for _, track in copied_tracks(found)), default=0)
    if wrong := beyond("track", last) if last else "":
        raise ValueError(f"{wrong}, such as R-001:3")
    return found


def _one_source(text: str) -> str:
    match = re.fullmatch(r"([^@;:]+?):\s*([0-9]{1,4})(?:\s*-\s*([0-9]{1,4}))?", text)
    if text == "?":
        return text
    if match is None or int(match[2]) < 1 or (match[3] and int(match[3]) < int(match[2])):
        raise ValueError("a reel and its tracks, such as R-001:3 or R-001:3-8, several joined by ;, or ?")
    first, last = int(match[2]), match[3]
    return f"{read_key(match[1])}:{first}" + (f"-{int(last)}" if last else "")


def code(name: str, trouble: Callable[[str], str | None]) -> Column:
    """A code of a recording or work, as it stands; ``trouble`` tells what is wrong with one that is typed."""

    def read(text: str, reading: Reading) -> str:
        taken = reading.kept or reading.listed or not text.strip()
        wrong = None if taken else trouble(text)
        if wrong is not None:
            right = wrong.removeprefix("is no ")
            raise ValueError(f"an {right}" if right != wrong else f"an {name.upper()}: it {wrong}")
        return text

    return Column(name, name, read, str)
