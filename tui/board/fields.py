"""The fields of a card: their groups, what they are called, how they read and how they are shown.

What a field may hold is told by the same columns that files are read with, so that a card and a file agree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Any, TypeVar

from core.quantities import Kind, Quantity, in_unit, plain, read_quantity
from core.reels.photographs import photograph_names
from core.reels.possible import made_impossible
from core.reels.reel import BASES, CONDITIONS, ROLES, TIMECODE_RATES, Reel
from core.reels.unlikely import odd_tracks
from core.songs.song import SheetRow, Song
from core.store.rows.columns import Column, Reading
from core.store.rows.figures import meant
from core.store.rows.tables import REELS, SHEETS, SONGS
from core.studio.studio import Studio
from core.values import dataclass

#: What can be shown in other units: the unit words to choose from; the first is "as typed".
UNITS: dict[str, tuple[str, ...]] = {
    "length": ("as typed", "ft", "m", "in", "mm"),
    "speed": ("as typed", "ips", "cm/s"),
    "temperature": ("as typed", "degC", "degF"),
}
KINDS: dict[str, Kind] = {"length": "length", "speed": "speed", "treatment_hours": "time"}

REEL_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("The box", ("box_label", "contents", "role", "location", "notes", "photographs")),
    ("The tape", (
        "width", "tracks", "stock", "base", "thickness", "reel_size", "length", "pack_diameter",
        "hub_diameter", "wind", "splices", "condition", "signs", "base_seen", "back_coat", "year", "storage",
        "tried",
    )),
    ("The recording, assumed until it was heard", (
        "speed", "eq", "level", "noise_reduction", "tones", "varispeed", "timecode_track", "timecode_rate",
        "heard", "decoded",
    )),
    ("Treatment", (
        "treatment_hours", "conditioned_at", "playable_until", "chamber", "loaded_at", "set_aside",
    )),
)  # fmt: skip
SONG_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("The song", ("title", "artist", "album", "order", "priority", "target_length")),
    ("What it needs", ("needs", "clock_reel", "clock_speed", "todo", "notes")),
    ("For the album", ("writers", "isrc", "iswc")),
)
TRACK_FIELDS = ("part", "player", "take", "copied_from", "song", "date", "notes", "wiped", "found_in")

#: Fields to which more is added, of several or of words of one's own: typing goes on at their end.
LONG = ("contents", "notes", "tones", "photographs", "needs", "todo", "writers", "copied_from")

_CHOICES: dict[str, tuple[str, ...]] = {
    "role": ROLES, "base": BASES, "condition": CONDITIONS, "wind": ("tails", "heads"),
    "timecode_rate": TIMECODE_RATES,
}  # fmt: skip

#: How several are written in one field.
_JOINED = {
    "photographs": "several with ; between, a path counts from the shelf's folder",
    "needs": "several with ; between, part of a tape as R-001@12:30-16:45",
}

Told = Reel | Song | SheetRow
T = TypeVar("T", Reel, Song, SheetRow)


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a card. ``extra`` fields are columns that files brought and that we only carry."""

    name: str
    column: Column | None = None

    @property
    def label(self) -> str:
        """What the field is called."""
        return self.name.replace("_", " ")

    @property
    def hint(self) -> str:
        """The words that it may hold, where they are a closed list; how several are written in it."""
        return _JOINED.get(self.name, "") or ", ".join(_CHOICES.get(self.name, ()))

    def text(self, value: Told) -> str:
        """The field of a reel, song or track as text that reads back to the same."""
        if self.column is None:
            return str(dict(value.extra).get(self.name, ""))
        there = getattr(value, self.column.attribute)
        return "" if there in (None, (), "") else self.column.write(there)

    def shown(self, value: Told, units: Mapping[str, str]) -> str:
        """The same in the units that the owner chose."""
        if self.name == "photographs" and isinstance(value, Reel):
            return "; ".join(photograph_names(value))
        there = getattr(value, self.column.attribute) if self.column is not None else None
        kind = KINDS.get(self.name)
        word = units.get(kind or "", "as typed")
        if kind is None or not isinstance(there, Quantity) or word == "as typed":
            return self.text(value)
        return f"{in_words(there, kind, word)}"

    @property
    def short(self) -> bool:
        """True for a word or a figure: what is typed stands in its place; words of one's own are added to."""
        return self.name not in LONG and self.column is not None

    def meant(self, text: str, studio: Studio) -> str | None:
        """A bare number with the one unit that it can have here; None where it has one, or could have two."""
        return (
            meant(self.name, text, Reading(studio.zone, read_quantity)) if self.column is not None else None
        )

    def read(self, text: str, studio: Studio) -> object:
        """What that text says, a bare number with its unit; ValueError with what would be right."""
        if self.column is None or not text.strip():
            return text
        reading = Reading(studio.zone, read_quantity, this_year=datetime.now(studio.zone).year)
        return self.column.read(self.meant(text, studio) or text, reading)

    def put(self, value: T, text: str, studio: Studio) -> T:
        """The reel, song or track with this field set from the text; blank empties it."""
        if self.column is None:
            return replace(value, extra=tuple((n, text if n == self.name else old) for n, old in value.extra))
        blank = type(value).__dataclass_fields__[self.column.attribute].default
        empty = blank if not callable(blank) else None
        changed: dict[str, Any] = {self.column.attribute: self.read(text, studio) if text.strip() else empty}
        return replace(value, **changed)


def in_words(quantity: Quantity, kind: Kind, word: str) -> str:
    """A quantity in another unit, to a hundredth."""
    there = in_unit(quantity, kind, word)
    return f"{plain(Fraction(round(there * 100), 100))} {word}"


def groups(value: Reel | Song) -> list[tuple[str, tuple[Field, ...]]]:
    """The fields of that card by group, and those that files brought beside ours."""
    table, named = (REELS, REEL_GROUPS) if isinstance(value, Reel) else (SONGS, SONG_GROUPS)
    out = [(title, tuple(Field(n, table.columns[n]) for n in names)) for title, names in named]
    if value.extra:
        out.append(("From your files", tuple(Field(name) for name, _ in value.extra)))
    return out


def track_fields() -> tuple[Field, ...]:
    """The fields of one cell of a track sheet."""
    return tuple(Field(name, SHEETS.columns[name]) for name in TRACK_FIELDS)


def reading(field: Field, text: str, studio: Studio, of: Told | None = None) -> tuple[str, bool]:
    """How a text reads in that field, in words, and whether it is wrong, also beside what it is ``of``."""
    if not text.strip():
        return (_JOINED.get(field.name, "empty"), False)
    try:
        value = field.read(text, studio)
    except ValueError as error:
        return (f"wants {error}", True)
    after = field.put(of, text, studio) if isinstance(of, Reel) else None
    cannot = next(made_impossible(of, after, studio), None) if isinstance(of, Reel) and after else None
    if cannot is not None:
        other = "" if cannot.column == field.name else f"{cannot.column.replace('_', ' ')} {cannot.text} "
        return (f"{other}cannot be: {cannot.why}", True)
    if after is not None and field.name in ("tracks", "width") and (odd := odd_tracks(after, studio)):
        return (odd, False)
    meant = field.meant(text, studio)
    if meant is not None:
        return (f"{meant}? Enter takes it so", False)
    if isinstance(value, Quantity) and value.text != text:
        return (f"reads as {value}", False)
    return (field.hint, False)
