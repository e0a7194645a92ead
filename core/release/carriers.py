"""The carriers of an album: how long a side may be, and whether these songs fit, in order or split freely."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from core.clock import minutes_text
from core.release.sides import in_order, shortest_longer
from core.tape.tables import Row, table
from core.values import dataclass
from core.words import counted


@dataclass(frozen=True, slots=True)
class Carrier:
    """One row of the table: seconds a side that are safe and that are the most, its source in words."""

    key: str
    name: str
    sides: int
    safe_seconds: int
    most_seconds: int
    most_tracks: int | None
    least_track_seconds: int | None
    cited: str


@dataclass(frozen=True, slots=True)
class Fit:
    """An album on a carrier: songs and seconds a side, whether it fits, and what is to be said of it."""

    carrier: Carrier
    sides: tuple[tuple[str, ...], ...]
    side_seconds: tuple[Fraction, ...]
    fits: bool
    says: str
    unknown: int = 0
    """How many songs more there are whose length nothing tells: they count nothing yet."""

    @property
    def sure(self) -> bool | None:
        """Whether it fits; None where songs of unknown length are still to come and the others fit."""
        return None if self.fits and self.unknown else self.fits

    @property
    def verdict(self) -> str:
        """``fits, 3:10 to spare``, ``fits, but ...``, ``does not fit: ...``; ``so far`` where songs lack.

        What is wrong stands first: a narrow screen shows no more.
        """
        if not self.fits:
            return f"does not fit: {self.says}"
        told = self.says if self.says.startswith("fits") else f"fits, but {self.says}"
        if not self.unknown:
            return told
        if not any(self.side_seconds):
            return "not known: no song has a length yet"
        return f"so far {told}, without {counted(self.unknown, 'song')} of unknown length"


def carriers() -> tuple[Carrier, ...]:
    """Every carrier of the table, in its order."""
    return tuple(_carrier(row) for row in table("carriers").values())


def _carrier(row: Row) -> Carrier:
    told = row.values
    return Carrier(
        row.key, told["what"], told["sides"], told["safe_seconds"], told["most_seconds"],
        told.get("most_tracks"), told.get("least_track_seconds"), row.cited,
    )  # fmt: skip


def fit(
    carrier: Carrier, songs: Sequence[tuple[str, Fraction]], gap: Fraction, *, free: bool = False,
    unknown: int = 0,
) -> Fit:  # fmt: skip
    """The songs (key, seconds) laid on the carrier with ``gap`` seconds between two on a side.

    Two sides are split so that the longer is shortest: in the given order, or with ``free`` in any.
    """
    if carrier.sides == 1:
        split: tuple[tuple[int, ...], ...] = (tuple(range(len(songs))),)
    else:
        lengths = [seconds for _, seconds in songs]
        split = shortest_longer(lengths, gap) if free else in_order(lengths, gap)
    sides = tuple(tuple(songs[n][0] for n in side) for side in split)
    seconds = tuple(side_length([songs[n][1] for n in side], gap) for side in split)
    wrong, warns = _against(carrier, songs, seconds)
    says = "; ".join((*wrong, *warns)) or f"fits, {minutes_text(_spare(carrier, seconds))} to spare"
    return Fit(carrier, sides, seconds, not wrong, says, unknown)


def side_length(lengths: Sequence[Fraction], gap: Fraction) -> Fraction:
    """Songs one after another with a gap between two."""
    return sum(lengths, Fraction(0)) + gap * max(0, len(lengths) - 1)


def _spare(carrier: Carrier, seconds: Sequence[Fraction]) -> Fraction:
    return min((Fraction(carrier.safe_seconds) - one for one in seconds), default=Fraction(0))


def _against(
    carrier: Carrier, songs: Sequence[tuple[str, Fraction]], seconds: Sequence[Fraction]
) -> tuple[list[str], list[str]]:
    wrong, warns = [], []
    for number, one in enumerate(seconds):
        where = f"side {'AB'[number]}" if carrier.sides > 1 else "it"
        if one > carrier.most_seconds:
            over = minutes_text(one - carrier.most_seconds)
            wrong.append(f"{where} is {over} over {minutes_text(Fraction(carrier.most_seconds))}")
        elif one > carrier.safe_seconds:
            over = minutes_text(one - carrier.safe_seconds)
            warns.append(f"{where} is {over} over the safe {minutes_text(Fraction(carrier.safe_seconds))}")
    if carrier.most_tracks is not None and len(songs) > carrier.most_tracks:
        wrong.append(f"{len(songs)} songs, and {carrier.most_tracks} are the most")
    least = carrier.least_track_seconds
    wrong += [f"{key} is shorter than {least} s" for key, length in songs if least and length < least]
    return wrong, warns
