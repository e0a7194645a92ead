"""A sheet of paper and a place on a tape, as far as one can be held against the other."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from core.clock import clock_text
from core.songs.song import SheetRow
from core.songs.written.dates import Dated, read_date, several_dates
from core.songs.written.part_names import is_timecode

_NO_TITLE = frozenset(
    ("no label", "no title", "unlabelled", "unlabeled", "untitled", "unmarked", "unknown", "blank", "nothing")
)
"""Words on a box, or in its place on a list, that name no song."""
_LENGTH = re.compile(r"(?<![\d:.])(\d{1,2}):([0-5]\d)(?![\d:.])")


@dataclass(frozen=True, slots=True)
class Paper:
    """One sheet: what it says. ``titles`` are those of its songs, old ones too; ``lengths`` in seconds."""

    key: str
    rows: tuple[SheetRow, ...]
    songs: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    lengths: tuple[float, ...] = ()

    @property
    def tracks(self) -> frozenset[int]:
        """The tracks that something is written on, clocks apart."""
        return frozenset(
            row.track for row in self.rows
            if row.track is not None and row.part.strip() and not is_timecode(row.part)
        )  # fmt: skip

    @property
    def highest(self) -> int:
        """The highest track that is written on at all."""
        return max((row.track or 0 for row in self.rows), default=0)

    @property
    def date(self) -> str:
        """The date as written; where its rows differ, all of them."""
        return "; ".join(self.written_dates)

    @property
    def written_dates(self) -> tuple[str, ...]:
        """Each date that stands in a row of it, once."""
        return tuple(dict.fromkeys(" ".join(row.date.split()) for row in self.rows if row.date.strip()))

    @property
    def dates(self) -> tuple[Dated, ...]:
        """Every reading of it."""
        return tuple(dict.fromkeys(one for date in self.written_dates for one in read_date(date)))

    @property
    def contradicts(self) -> str:
        """A line where its rows have several dates; empty otherwise."""
        return several_dates(self.key, self.written_dates) if len(self.written_dates) > 1 else ""

    @property
    def players(self) -> frozenset[str]:
        """Who is written on it, folded."""
        return frozenset(row.player.casefold().strip() for row in self.rows if row.player.strip())

    @property
    def found_in(self) -> str:
        """The box it lay in."""
        return next((row.found_in.strip() for row in self.rows if row.found_in.strip()), "")

    @property
    def words(self) -> str:
        """``"Lon Fen?" autumn 80, 14 parts``."""
        title = f'"{self.titles[0]}"' if self.titles else "no title"
        date = f" {self.date}" if self.date else ""
        nowhere = {row.part for row in self.rows if row.track is None and row.part.strip()}
        count = len(self.tracks) + len(nowhere)
        return f"{title}{date}, {count} part{'' if count == 1 else 's'}"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A place on a tape without a sheet; what is not known is blank and counts nothing."""

    reel: str
    start: float | None = None
    end: float | None = None
    sounding: frozenset[int] = frozenset()
    heard: frozenset[int] = frozenset()
    """Captured tracks; none where nothing is captured."""
    tracks: int | None = None
    """How many the tape has."""
    songs: tuple[str, ...] = ()
    """Songs whose span this is, or that need the tape."""
    spanned: bool = False
    """True where a song's own span says so."""
    texts: tuple[str, ...] = ()
    """What the box says, in pieces."""
    titles: tuple[str, ...] = ()
    """Titles of the songs that need it; the box need not say them."""
    dates: tuple[Dated, ...] = ()
    players: frozenset[str] = frozenset()
    take_of: str = ""
    """The song that it sounds like, where that was looked for."""
    take: str = ""
    """The same in words, with the figures."""

    @property
    def words(self) -> tuple[str, ...]:
        """What a sheet's title may be like: the box's words, then the titles of songs that need it."""
        return tuple(dict.fromkeys((*self.texts, *self.titles)))

    @property
    def seconds(self) -> float | None:
        """How long it is."""
        return self.end - self.start if self.start is not None and self.end is not None else None

    @property
    def label(self) -> str:
        """``K-106 0:04-3:12``, or the reel alone."""
        if self.start is None or self.end is None:
            return self.reel
        return f"{self.reel} {clock_text(round(self.start))}-{clock_text(round(self.end))}"

    def to_json(self) -> dict[str, object]:
        """Reel and seconds of play time."""
        return {"reel": self.reel, "from": self.start, "to": self.end}


def lengths_in(texts: Iterable[str]) -> tuple[float, ...]:
    """Lengths of time written as ``3:08`` in any of the texts, in seconds."""
    found = (match for text in texts for match in _LENGTH.finditer(text))
    return tuple(dict.fromkeys(60.0 * int(match[1]) + int(match[2]) for match in found))


def pieces(*texts: str) -> tuple[str, ...]:
    """What a box says, cut where titles are parted: ``Low Tide / Lanterns; tag (take 3)``."""
    cut = (piece.strip(" .,:\"'") for text in texts for piece in re.split(r"[;/|+]|\s-\s|\(|\)|,", text))
    return tuple(
        dict.fromkeys(piece for piece in cut if len(piece) > 2 and piece.casefold() not in _NO_TITLE)
    )


def by_sheet(rows: Iterable[SheetRow]) -> dict[str, tuple[SheetRow, ...]]:
    """Rows by their sheet, in the order of arrival."""
    found: dict[str, list[SheetRow]] = {}
    for row in rows:
        found.setdefault(row.sheet, []).append(row)
    return {key: tuple(mine) for key, mine in found.items()}


def first_dates(papers: Sequence[Paper], texts: Iterable[str]) -> tuple[Dated, ...]:
    """What dates a tape: its own sheets, else years that its box names."""
    dated = tuple(dict.fromkeys(one for paper in papers for one in paper.dates))
    if dated:
        return dated
    years = re.findall(r"(?<!\d)(?:19[3-9]\d|20[0-4]\d)(?!\d)", " ".join(texts))
    return tuple(one for year in dict.fromkeys(years) for one in read_date(year))
