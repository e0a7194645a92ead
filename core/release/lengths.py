"""How long a song will be on the album: by the one mix, else by the captured span, else by its target."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Literal

from core.release.mixes import Mix
from core.songs.song import Song

LengthFrom = Literal["the one", "captured", "target", "nothing"]


def length_of(song: Song, one: Mix | None, span: Fraction | None) -> tuple[Fraction | None, LengthFrom]:
    """Seconds and where they come from, ``span`` being what was captured; None from nothing."""
    if one is not None and one.seconds:
        return one.seconds, "the one"
    if span is not None:
        return span, "captured"
    if song.target_length is not None:
        return song.target_length, "target"
    return None, "nothing"


def captured_span(song: Song, is_captured: Callable[[str], bool]) -> Fraction | None:
    """The longest span of the song on a tape that was captured; None where none with a span was."""
    spans = [
        need.end - need.start
        for need in song.needs
        if need.start is not None and need.end is not None and is_captured(need.reel)
    ]
    return max(spans, default=None)
