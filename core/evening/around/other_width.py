"""What a calibration tape of another width leaves unset, and which tape of the reel's own width lies there.

By geometry alone: a narrower tape lies over a part of the tracks, a wider one does not pass the guides.
"""

from __future__ import annotations

from datetime import datetime
from math import floor

from core.conditioning.advisor import barred
from core.lineup.on_shelf import setup_of_words
from core.plan import Item
from core.reels.needs import needs_conditioning, to_look_at
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.calibration import fits, nearness
from core.studio.setup import width_key
from core.words import listed


def other_width(shelf: Shelf, align: Item, keys: tuple[str, ...]) -> str:
    """What the tape of a line-up leaves unset of those reels' width; empty where all are of its width."""
    tape = shelf.reels.get(align.calibration)
    mine = width_key(tape.width) if tape is not None else None
    reels = [shelf.reels[key] for key in keys if key in shelf.reels]
    others = [one for one in reels if mine is not None and width_key(one.width) not in (mine, None)]
    if tape is None or not others:
        return ""
    own = _own_width(shelf, align, tape, others[0])
    return f"{_what_is_left(tape, others)}{f'; {own}' if own else ''}"


def tracks_read(shelf: Shelf, align: Item, reels: list[Reel]) -> int | None:
    """On how many tracks that tape is read: those of the reels of its width, else what it reaches.

    None where no reel tells, and on a deck of one width: then it is the deck's own number.
    """
    deck = shelf.studio.deck(align.deck)
    if deck is None or len(deck.widths) < 2:
        return None
    tape = shelf.reels.get(align.calibration)
    mine = width_key(tape.width) if tape is not None else None
    told = [(one.tracks, its) for one in reels if one.tracks and (its := width_key(one.width)) is not None]
    same = [tracks for tracks, its in told if mine is None or its == mine]
    if same or not told:
        return max(same, default=None)
    assert mine is not None
    return max(max(1, floor(tracks * mine / its) if mine < its else tracks) for tracks, its in told)


def _what_is_left(tape: Reel, others: list[Reel]) -> str:
    """By the widest difference: what a narrower or a wider tape does not reach."""
    one, whom = others[0], listed([reel.key for reel in others])
    mine, its = width_key(tape.width), width_key(one.width)
    assert mine is not None and its is not None
    if mine > its:
        passes = f"{tape.key} is {tape.width} tape and does not pass {one.width} guides"
        return f"{passes}: it sets the channels on its own heads, and nothing of the heads that play {whom}"
    reached = floor((one.tracks or 1) * mine / its)
    lies = f"{tape.key} is {tape.width} tape and lies over {reached} of {one.tracks} tracks at most"
    return f"{lies}: it sets neither the others nor the azimuth of {whom}"


def _own_width(shelf: Shelf, align: Item, tape: Reel, reel: Reel) -> str:
    """Which tape of the reel's width would be named in its place, were it looked at or warmed."""
    deck, setup = shelf.studio.deck(align.deck), setup_of_words(shelf, dict(align.setup))
    if deck is None:
        return ""
    for one in shelf.reels.values():
        same = one.calibration and width_key(one.width) == width_key(reel.width) and fits(deck, setup, one)
        if (
            not same
            or barred(shelf, one, align.start)
            or nearness(setup, one)[:2] > nearness(setup, tape)[:2]
        ):
            continue
        wants = _wants(shelf, one, align.start)
        if wants:
            return f"{one.key} is {one.width}: {wants} in time, it would be taken"
    return ""


def _wants(shelf: Shelf, tape: Reel, at: datetime) -> str:
    """What keeps it from being taken and can be done; empty where nothing can, or need be."""
    if barred(shelf, tape, at) is not None:
        return ""
    if to_look_at(tape):
        return "looked at"
    return "warmed" if needs_conditioning(tape, shelf.studio, at, shelf.own_stocks()) else ""
