"""A sheet of paper, as far as a place on a tape can be held against it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from core.songs.song import SheetRow
from core.songs.written.dates import read_date, several_dates
from core.songs.written.edtf import Dated
from core.songs.written.part_names import is_timecode
from core.values import dataclass
from core.words import counted

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
        nowhere = {row.part for row in self.rows if row.track is None and row.part.strip()}
        parts = counted(len(self.tracks) + len(nowhere), "part")
        return f"{' '.join(filter(None, (title, self.date)))}, {parts}"


def lengths_in(texts: Iterable[str]) -> tuple[float, ...]:
    """Lengths of time written as ``3:08`` in any of the texts, in seconds."""
    found = (match for text in texts for match in _LENGTH.finditer(text))
    return tuple(dict.fromkeys(60.0 * int(match[1]) + int(match[2]) for match in found))


def by_sheet(rows: Iterable[SheetRow]) -> dict[str, tuple[SheetRow, ...]]:
    """Rows by their sheet, in the order of arrival."""
    found: dict[str, list[SheetRow]] = {}
    for row in rows:
        found.setdefault(row.sheet, []).append(row)
    return {key: tuple(mine) for key, mine in found.items()}
