"""What cannot be of one tape: figures of a reel that contradict one another."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from core.quantities import Quantity, in_unit
from core.reels.reel import Reel
from core.reels.unlikely import heads_in_words, heads_told
from core.studio.studio import Studio


class Impossible(NamedTuple):
    """The column that cannot be as it is beside the others, what stands there, and why not."""

    column: str
    text: str
    why: str

    @property
    def told(self) -> str:
        """All of it in words, for a form: ``tracks 17 cannot be: 1 in tape has ...``."""
        return f"{self.column.replace('_', ' ')} {self.text} cannot be: {self.why}"


def impossible(reel: Reel, studio: Studio) -> Iterator[Impossible]:
    """Everything about that tape that cannot be; what heads the studio's decks have there were."""
    yield from _pack(reel)
    yield from _tracks(reel, studio)
    if reel.length is not None and reel.reel_size is not None:
        yield from _too_long(reel.length, reel.reel_size)
    if reel.timecode_track is not None and reel.tracks is not None and reel.timecode_track > reel.tracks:
        yield Impossible("timecode_track", str(reel.timecode_track), f"the tape has {reel.tracks} tracks")
    if "ok" in reel.condition and len(reel.condition) > 1:
        others = [one for one in reel.condition if one != "ok"]
        yield Impossible(
            "condition", ";".join(reel.condition), f"ok is none of the others: not {others[0]} too"
        )


def made_impossible(before: Reel, after: Reel, studio: Studio) -> Iterator[Impossible]:
    """What of that tape cannot be after a change, and stood otherwise before it."""
    wrong = tuple(impossible(after, studio))
    stood = tuple(impossible(before, studio)) if wrong else ()
    yield from (one for one in wrong if one not in stood)


def _tracks(reel: Reel, studio: Studio) -> Iterator[Impossible]:
    """More tracks than any head has on that width: neither the table's nor a deck's of the studio."""
    were = heads_told(reel, studio)
    if were and reel.tracks is not None and reel.tracks > max(were):
        most = f"{reel.width} has {max(were)} tracks at most ({heads_in_words(reel, studio)})"
        yield Impossible("tracks", str(reel.tracks), f"{most}, where no deck of the studio has more")


def _pack(reel: Reel) -> Iterator[Impossible]:
    pack, hub, size = reel.pack_diameter, reel.hub_diameter, reel.reel_size
    if pack is not None and hub is not None and pack.number <= hub.number:
        yield Impossible("pack_diameter", pack.text, f"a pack is wider than its hub of {hub.text}")
    if size is None:
        return
    limit = size.number * (1 + _near())
    if pack is not None and pack.number > limit:
        yield Impossible("pack_diameter", pack.text, f"a reel of {size.text} is not so wide")
    if hub is not None and hub.number >= limit:
        yield Impossible("hub_diameter", hub.text, f"a reel of {size.text} is not so wide")


def _too_long(length: Quantity, size: Quantity) -> Iterator[Impossible]:
    from core.tape.physics.length import longest_within

    most = longest_within(size.number)
    if most is not None and length.number > most:
        feet, metres = round(most / 12), round(in_unit(Quantity("", most), "length", "m"))
        holds = f"a {size.text} reel holds {feet} ft ({metres} m) at most, of the thinnest tape"
        yield Impossible("length", length.text, holds)


def _near() -> Fraction:
    from core.tape.where import figure

    return Fraction(str(figure("length.near_size_share")))
