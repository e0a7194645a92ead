"""Of what a tape is made, seen before its first heat: what each look can tell, what went in unseen.

Polyester by the box's word or by its stock's row, and polyester seen, are two things.
"""

from __future__ import annotations

from collections.abc import Iterable

from core.clock import write_time
from core.conditioning.advisor import advisor
from core.conditioning.loads.kept_loads import lain_by_word
from core.reels.needs import base_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Look:
    """One way to see the base: what to do, what it tells, what it cannot."""

    name: str
    tells: str
    but: str


#: Light through the pack: page on telling acetate from polyester (source `acetate-light`). Back coats came
#: with mastering tapes from the late 1960s on. How a scrap parts, and what wide or coated tape hides, are
#: common practice, told from memory.
LOOKS = (
    Look(
        "light",
        "edge-on before a lamp acetate lets light through, polyester looks dark",
        "little to see on 1 in and wider, or past a dark coating",
    ),
    Look(
        "scrap",
        "a scrap of the tape's own end without sound: polyester stretches, acetate snaps clean",
        "a leader spliced on tells of the leader alone",
    ),
    Look("back coat", "a matt dark back speaks for polyester", "a bare glossy back tells nothing"),
    Look("age", "a year before 1960 speaks for acetate", "a later one proves nothing: both were sold on"),
)
NOT_YET = "not yet"
#: What the owner may have seen, and how it is kept in `base_seen`; the first keeps and begins nothing.
ANSWERS = (
    (NOT_YET, "not looked yet: nothing begins"),
    ("polyester", "polyester: dark before the lamp, a scrap stretches"),
    ("acetate", "acetate: light comes through, a scrap snaps; it does not go in"),
    ("paper", "paper; it does not go in"),
    ("pvc", "PVC; it does not go in"),
    ("unknown", "I looked and cannot tell: it goes by its box's word"),
)


def look_asked(shelf: Shelf, reel: Reel) -> bool:
    """True for a reel that was never warmed, and is polyester only by a word that nobody has looked after."""
    if reel.base_seen not in ("", "no") or base_of(reel, shelf.own_stocks()) != "polyester":
        return False
    return reel.conditioned_at is None and not in_a_load(shelf, reel)


def looks_asked(shelf: Shelf, keys: Iterable[str]) -> tuple[str, ...]:
    """Those of the reels whose base is to be looked at before their first heat."""
    known = (key for key in keys if key in shelf.reels)
    return tuple(key for key in known if look_asked(shelf, shelf.reels[key]))


def warmed_against_base(shelf: Shelf, reel: Reel) -> str:
    """That it was warmed against its base, or before that was known, to follow its key; empty for others.

    However short it was in there: by its card, by any load that is kept, or told afterwards.
    """
    base = base_of(reel, shelf.own_stocks())
    if base == "polyester" or not (reel.chamber or reel.conditioned_at or in_a_load(shelf, reel)):
        return ""
    if base == "unknown":
        when = f" on {write_time(reel.conditioned_at)[:10]}" if reel.conditioned_at else ""
        return f"was warmed{when} before its base was known: hold the pack to the light now"
    return f"is {base} and was warmed: never again; look closely before it plays"


def in_a_load(shelf: Shelf, reel: Reel) -> bool:
    """True for a tape that lay in the heat by any load, or as told afterwards, however short."""
    loads = any(log.member(reel.key) is not None for log in advisor(shelf).loads if not log.trial)
    return loads or any(key == reel.key for _, _, key in lain_by_word(shelf))


def look_lines() -> tuple[str, ...]:
    """Every look in a sentence: what it tells, but what it cannot."""
    return tuple(f"{one.name.capitalize()}: {one.tells}; but {one.but}." for one in LOOKS)
