"""What a calibration tape of another width reaches of a deck's tracks, and what it leaves unset.

By geometry alone: a narrower tape lies over a part of the tracks, a wider one does not pass the guides.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from core.reels.reel import Reel
from core.studio.setup import width_key
from core.values import dataclass
from core.words import listed


@dataclass(frozen=True, slots=True)
class Reach:
    """On how many tracks a tape is read, whether azimuth is set by it, and what it leaves unset, in words."""

    tracks: int
    azimuth: bool = True
    unset: str = ""


def reach(tape: Reel | None, reels: Sequence[Reel]) -> Reach:
    """For those reels, of which the widest difference tells; all tracks where widths are alike or unknown."""
    told = [one for one in reels if one.tracks and width_key(one.width) is not None]
    others = of_other_width(tape, told)
    if tape is None or not others:
        return Reach(max((one.tracks or 1 for one in reels), default=1))
    same = [one.tracks or 1 for one in told if one not in others]
    tracks = max(same or [_over(tape, one) for one in others])
    return Reach(tracks, azimuth=bool(same) or not _narrower(tape, others[0]), unset=left_unset(tape, others))


def of_other_width(tape: Reel | None, reels: Sequence[Reel]) -> list[Reel]:
    """Those reels that are not of the tape's width; none where its width is not known."""
    mine = width_key(tape.width) if tape is not None else None
    return [one for one in reels if mine is not None and width_key(one.width) not in (mine, None)]


def left_unset(tape: Reel, others: Sequence[Reel]) -> str:
    """What a narrower or a wider tape does not reach of reels that are of another width."""
    one, whom = others[0], listed([reel.key for reel in others])
    if not _narrower(tape, one):
        passes = f"{tape.key} is {tape.width} tape and does not pass {one.width} guides"
        return f"{passes}: it sets the channels on its own heads, and nothing of the heads that play {whom}"
    lies = f"{tape.key} is {tape.width} tape and lies over {_over(tape, one)} of {one.tracks} tracks at most"
    return f"{lies}: it sets neither the others nor the azimuth of {whom}"


def _narrower(tape: Reel, reel: Reel) -> bool:
    mine, its = width_key(tape.width), width_key(reel.width)
    return mine is not None and its is not None and mine < its


def _over(tape: Reel, reel: Reel) -> int:
    mine, its, tracks = width_key(tape.width), width_key(reel.width), reel.tracks or 1
    return max(1, floor(tracks * mine / its)) if mine is not None and its and mine < its else tracks
