"""Mixes that came home: kept by digest, each rough, to be approved, or the one."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from core.as_json import as_json, read
from core.errors import Refused
from core.shelf import Shelf
from core.values import dataclass

MixAs = Literal["rough", "to-approve", "the-one"]
AS: tuple[MixAs, ...] = ("rough", "to-approve", "the-one")
SAID: Mapping[MixAs, str] = {"rough": "rough", "to-approve": "to be approved", "the-one": "the one"}


@dataclass(frozen=True, slots=True)
class Mix:
    """One file: seconds from its start, levels in dBFS, dBTP, LUFS; ``at`` is when it came, ISO 8601."""

    song: str
    number: int
    file: str
    sha256: str
    bytes: int
    channels: int
    sample_rate: int
    encoding: str
    first_sound: float | None
    last_sound: float | None
    peak_dbfs: float | None
    true_peak_dbtp: float | None
    loudness_lufs: float | None
    stands: MixAs
    by: str
    at: str
    note: str = ""
    sides: str = ""
    """What is odd about its two channels: equal, opposed, left alone, right alone."""

    @property
    def seconds(self) -> Fraction:
        """From first to last sound, to the hundredth."""
        if self.first_sound is None or self.last_sound is None:
            return Fraction(0)
        return Fraction(round((self.last_sound - self.first_sound) * 100), 100)

    @property
    def key(self) -> str:
        """Under which the shelf keeps it."""
        return f"{self.song} {self.number}"

    def to_json(self) -> dict[str, object]:
        """As the shelf keeps it and other programs read it."""
        return as_json(self)


def mix_from_json(kept: Mapping[str, object]) -> Mix:
    """The inverse of ``to_json``; one that stands as nothing known is rough. ValueError for no mix at all."""
    stands = kept["stands"] if kept.get("stands") in AS else "rough"
    return read(Mix, {**kept, "stands": stands})


def mixes_of(shelf: Shelf, song: str) -> tuple[Mix, ...]:
    """The mixes of a song in the order in which they came."""
    mine = [mix_from_json(one) for one in shelf.of_kind("mix").values() if one.get("song") == song]
    return tuple(sorted(mine, key=lambda mix: mix.number))


def the_one(mixes: tuple[Mix, ...]) -> Mix | None:
    """The mix that the owner decided for, if there is one."""
    return next((mix for mix in mixes if mix.stands == "the-one"), None)


def with_mix(shelf: Shelf, mix: Mix) -> Shelf:
    """The shelf with a mix that came home; the number is given here.

    Refused for a file that is there already. A mix that comes as the one takes the place of the one before,
    which is then to be approved; any other leaves it alone.
    """
    for key, kept in shelf.of_kind("mix").items():
        if kept.get("sha256") == mix.sha256:
            where = "this song" if kept["song"] == mix.song else kept["song"]
            there = f"the same file came home already, as mix {key.rpartition(' ')[2]} of {where}"
            raise Refused(f"{mix.file}: {there}; nothing was changed")
    mine = mixes_of(shelf, mix.song)
    number = 1 + max((one.number for one in mine), default=0)
    placed = mix_from_json({**mix.to_json(), "number": number})
    if placed.stands == "the-one":
        shelf = _let_go(shelf, mine)
    return shelf.with_record("mix", placed.key, placed.to_json())


def standing_as(shelf: Shelf, song: str, number: int, stands: MixAs) -> Shelf:
    """The shelf on which a mix that is there stands so from now on; Refused where there is none such."""
    found = _numbered(shelf, song, number)
    if stands == "the-one":
        shelf = _let_go(shelf, mixes_of(shelf, song))
    return shelf.with_record("mix", found.key, {**found.to_json(), "stands": stands})


def told_of(shelf: Shelf, song: str, number: int, by: str | None, note: str | None) -> Shelf:
    """The shelf with who mixed it, and a note; what is None stays. Refused where there is none such."""
    found = _numbered(shelf, song, number)
    told = {"by": found.by if by is None else by, "note": found.note if note is None else note}
    return shelf.with_record("mix", found.key, {**found.to_json(), **told})


def _numbered(shelf: Shelf, song: str, number: int) -> Mix:
    mine = mixes_of(shelf, song)
    found = next((mix for mix in mine if mix.number == number), None)
    if found is None:
        there = ", ".join(str(mix.number) for mix in mine) or "none has come home"
        raise Refused(f"{song} has no mix {number}: there is {there}")
    return found


def _let_go(shelf: Shelf, mixes: tuple[Mix, ...]) -> Shelf:
    before = the_one(mixes)
    if before is None:
        return shelf
    return shelf.with_record("mix", before.key, {**before.to_json(), "stands": "to-approve"})
