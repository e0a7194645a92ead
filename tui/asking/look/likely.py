"""The answers of each line of a look, the likely ones first: as most of this shelf's reels have them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from core.reels.box.words import told_by_box
from core.reels.looked_at import ANSWERS, SEVERAL
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import speed_key, width_key
from tui.asking.look.answers import Answers

if TYPE_CHECKING:
    pass


def likely_answers(shelf: Shelf, reel: Reel) -> dict[str, Answers]:
    """The answers of each line, the likely ones first: as most of this shelf's reels have them."""
    decks = [str(width) for deck in shelf.studio.decks for width in deck.widths]
    same = [one for one in shelf.reels.values() if width_key(one.width) == width_key(reel.width)]
    told = told_by_box(reel)
    stocks = _often([one.stock for one in same if one.stock], [])
    speeds = _first(told.get("speed"), _speeds(shelf, same, reel))
    return {
        # Widths begin with digits themselves: 1/2 is typed, and no answer is taken for its first digit.
        "width": Answers(
            _often([str(one.width) for one in shelf.reels.values() if one.width], decks),
            by_digit=False,
            by_decks=frozenset(decks) - {str(one.width) for one in shelf.reels.values()},
        ),
        **{name: Answers(words, many=name in SEVERAL) for name, words in ANSWERS.items()},
        "stock": Answers(_first(told.get("stock"), stocks), by_digit=False),
        "speed": Answers(
            speeds,
            by_digit=False,
            by_decks=frozenset(speeds)
            - {str(one.speed) for one in shelf.reels.values()}
            - {told.get("speed", "")},
        ),
    }


def _speeds(shelf: Shelf, same: Sequence[Reel], reel: Reel) -> tuple[str, ...]:
    """Each speed once: as reels of that width have it, as all have, as its decks, as all decks."""
    decks = shelf.studio.decks
    fit = [deck for deck in decks if width_key(reel.width) in {width_key(own) for own in deck.widths}]
    found: dict[object, str] = {}
    for reels in (same, shelf.reels.values()):
        often = Counter(speed_key(one.speed) for one in reels if one.speed)
        named = {speed_key(one.speed): str(one.speed) for one in reversed([*reels]) if one.speed}
        for key, _ in often.most_common():
            found.setdefault(key, named[key])
    for speed in (speed for deck in (*fit, *decks) for speed in deck.speeds):
        found.setdefault(speed_key(speed), str(speed))
    return tuple(found.values())[:9]


def _first(written: str | None, often: tuple[str, ...]) -> tuple[str, ...]:
    """What the box says before what other reels have."""
    return tuple(dict.fromkeys([written, *often] if written else often))


def _often(found: Sequence[str], more: Sequence[str]) -> tuple[str, ...]:
    """Each once, the most frequent first, then the others; at most nine."""
    return tuple(dict.fromkeys([*(word for word, _ in Counter(found).most_common()), *more]))[:9]


#: So many reels of a width that tell their tracks are needed to say more of the next one than the decks do.
_MAJORITY = 3


def likely_tracks(shelf: Shelf, width: str) -> str:
    """As most reels of that width have; else as the only deck that takes it; empty if neither tells.

    Most is where at least half of them tell, and more than half of these the same: an odd box that alone says
    how many says nothing of the others.
    """
    from core.quantities import read_quantity

    try:
        key = width_key(read_quantity(width, "length"))
    except ValueError:
        return ""
    same = [one.tracks for one in shelf.reels.values() if width_key(one.width) == key]
    told = [tracks for tracks in same if tracks]
    most, times = Counter(told).most_common(1)[0] if told else (0, 0)
    decks = {deck.tracks for deck in shelf.studio.decks if key in {width_key(own) for own in deck.widths}}
    many = len(told) >= _MAJORITY and 2 * len(told) >= len(same) and 2 * times > len(told)
    if many or (told and not decks):
        return str(most)
    return str(decks.pop()) if len(decks) == 1 else ""
