"""A tape that plays while its equalisation, level or noise reduction is told anew.

What was played stays: the speed is right, and a replay curve can be put right afterwards. But at the deck a
word is due, since the rest of the pass would be played so too.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.evening.playing.passes import deck_of_pass
from core.logbook.passes import PlayedPass, played
from core.shelf import Shelf
from core.standing.gates import not_lined_up
from core.standing.left_to_play import transfer_named

FIELDS = {"eq": "equalisation", "level": "level", "noise_reduction": "noise reduction"}


def told_anew(shelf: Shelf, at: datetime) -> Iterator[str]:
    """A sentence for each tape that plays and of which one of these was told since its pass began."""
    for one in played(shelf).values():
        if one.state != "running":
            continue
        names = dict.fromkeys(_since(shelf, one.reel, one.pieces[0].started))
        yield from [_says(shelf, one, tuple(names), at)] if names and _otherwise(shelf, one, at) else []


def told_by_edit(before: Shelf, after: Shelf, at: datetime) -> Iterator[str]:
    """The same as an edit is made."""
    for one in played(after).values():
        was, now = before.reels.get(one.reel), after.reels.get(one.reel)
        if one.state != "running" or was is None or now is None or was is now:
            continue
        names = tuple(FIELDS[name] for name in FIELDS if getattr(was, name) != getattr(now, name))
        yield from [_says(after, one, names, at)] if names and _otherwise(after, one, at) else []


def _since(shelf: Shelf, reel: str, began: datetime) -> Iterator[str]:
    for event in reversed(shelf.history):
        if event.at < began:
            return
        if (event.kind, event.key) == ("reel", reel) and event.field in FIELDS and event.old != event.new:
            yield FIELDS[event.field]


def _otherwise(shelf: Shelf, one: PlayedPass, at: datetime) -> str:
    deck = deck_of_pass(shelf, one.reel)
    if not deck or one.reel not in shelf.reels:
        return ""
    setup = transfer_named(shelf, shelf.reels[one.reel], one.segment).reel.setup
    return not_lined_up(shelf, deck, setup, at) or ""


def _says(shelf: Shelf, one: PlayedPass, names: tuple[str, ...], at: datetime) -> str:
    what, deck = " and ".join(names), deck_of_pass(shelf, one.reel)
    return (
        f"{one.reel} plays, and its {what} was told anew meanwhile: {_otherwise(shelf, one, at)}. Stop it, "
        f"line {deck} up and play it from its head; or let it run, and note how it was played"
    )
