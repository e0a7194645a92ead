"""A place on a tape, as a sheet of paper is held against it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from core.clock import clock_text
from core.sheets.papers import Paper
from core.songs.written.dates import read_date
from core.songs.written.edtf import Dated
from core.values import dataclass

_NO_TITLE = frozenset(
    ("no label", "no title", "unlabelled", "unlabeled", "untitled", "unmarked", "unknown", "blank", "nothing")
)
"""Words on a box, or in its place on a list, that name no song."""


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


def pieces(*texts: str) -> tuple[str, ...]:
    """What a box says, cut where titles are parted: ``Low Tide / Lanterns; tag (take 3)``."""
    cut = (piece.strip(" .,:\"'") for text in texts for piece in re.split(r"[;/|+]|\s-\s|\(|\)|,", text))
    return tuple(
        dict.fromkeys(piece for piece in cut if len(piece) > 2 and piece.casefold() not in _NO_TITLE)
    )


def first_dates(papers: Sequence[Paper], texts: Iterable[str]) -> tuple[Dated, ...]:
    """What dates a tape: its own sheets, else years that its box names."""
    dated = tuple(dict.fromkeys(one for paper in papers for one in paper.dates))
    if dated:
        return dated
    years = re.findall(r"(?<!\d)(?:19[3-9]\d|20[0-4]\d)(?!\d)", " ".join(texts))
    return tuple(one for year in dict.fromkeys(years) for one in read_date(year))
