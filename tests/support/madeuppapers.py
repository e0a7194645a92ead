"""Made-up shelves of tapes and papers, with the truth beside: which loose sheet is of which stretch.

All chances below are this file's own, told here and nowhere in the program: what people write, forget,
misspell, mislay, and what a capture then shows. Names, titles and tapes are invented.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from core.findings import Strip
from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Need, SheetRow, Song
from core.studio.studio import Capture, Studio

_FIRST = (
    "Low", "High", "Salt", "Grey", "Long", "Far", "Cold", "Bright", "Old", "Lost", "Slow", "Tall",
    "Deep", "White", "Winter", "Evening", "Harbour", "Lantern",
)  # fmt: skip
_SECOND = (
    "Tide", "Gate", "Heron", "Fen", "Marsh", "Road", "Light", "Bell", "Weir", "Mole", "Rope", "Ferry",
    "Stone", "Reed", "Sluice", "Barge", "Lock", "Tower",
)  # fmt: skip
_PEOPLE = [
    "Bo Merrow", "Ida Quill", "Tam Sorrel", "Nell Harrow", "Ines Moura", "Ada Lind", "Rolf Tarn", "Mia Voss",
    "Otto Brake", "Vera Elm", "Jon Croft", "Lise Dale", "Arn Wynd", "Una Sedge",
]  # fmt: skip
_PARTS = ["kick", "snare", "kit left", "kit right", "bass", "guitar left", "guitar right", "piano", "voice",
          "harmony", "organ", "fiddle", "whistle", "brass", "strings", "bells"]  # fmt: skip


@dataclass(frozen=True)
class MadeUp:
    """A shelf, the old titles of its songs, and for every loose sheet its true stretch or None."""

    shelf: Shelf
    truth: dict[str, tuple[str, float, float] | None]
    titles: dict[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass
class _Recorded:
    reel: str
    tracks: int
    start: float
    end: float
    title: str
    played: frozenset[int]
    day: date
    band: list[str]


def made_up(seed: int, reels: int = 14) -> MadeUp:
    """One shelf of about that many tapes."""
    return _Making(seed, reels).run()


class _Making:
    def __init__(self, seed: int, reels: int) -> None:
        self.luck = random.Random(seed)
        self.count = reels
        self.titles = [f"{a} {b}" for a in _FIRST for b in _SECOND]
        self.luck.shuffle(self.titles)
        self.reels: dict[str, Reel] = {}
        self.sheets: list[SheetRow] = []
        self.songs: dict[str, Song] = {}
        self.records: dict[str, dict[str, Any]] = {"check": {}, "strip": {}}
        self.truth: dict[str, tuple[str, float, float] | None] = {}
        self.old: dict[str, tuple[str, ...]] = {}
        self.number = 0

    def chance(self, share: float) -> bool:
        return self.luck.random() < share

    def run(self) -> MadeUp:
        """The whole shelf."""
        band = self.luck.sample(_PEOPLE, 7)
        for number in range(self.count):
            recorded = self.tape(f"K-{101 + number}", band)
            for one in recorded:
                self.paper(one, recorded)
        for _ in range(max(1, self.count // 5)):  # of tapes that are lost
            gone = self.tape("gone", band, keep=False)
            for one in gone[:1]:
                self.loose(one, None)
        studio = Studio("Made-up", "Europe/Lisbon", (), Capture(16, read_quantity("96 kHz", "frequency"), 24))
        shelf = Shelf(studio, "made up", self.reels, self.songs, tuple(self.sheets), records=self.records)
        return MadeUp(shelf, self.truth, self.old)

    def tape(self, key: str, band: list[str], keep: bool = True) -> list[_Recorded]:
        """One tape with one to four songs on it, captured or not."""
        tracks = self.luck.choice([8, 16, 16, 24])
        day = date(1979, 1, 1) + timedelta(days=self.luck.randrange(1500))
        people = self.luck.sample(band, 4)
        at, out = self.luck.uniform(2, 30), []
        for _ in range(self.luck.choice([1, 2, 2, 3, 4])):
            length, full = max(70.0, self.luck.gauss(225, 60)), self.luck.choice([0.35, 0.6, 0.8])
            played = frozenset(t for t in range(1, tracks + 1) if self.chance(full))
            taken = day + timedelta(days=self.luck.choice([0, 0, 1, 3, 12, 40]))
            title = self.titles.pop()
            out.append(
                _Recorded(key, tracks, at, at + length, title, played or frozenset([1]), taken, people)
            )
            at += length + self.luck.uniform(6, 30)
        if keep:
            said = [one.title for one in out]
            box = self.luck.choices([" / ".join(map(self.misspelt, said)), "rough, various", ""], [6, 2, 2])[
                0
            ]
            self.reels[key] = Reel(key, box, role="multitrack", tracks=tracks, stage="transferred")
            if self.chance(0.85):
                self.capture(key, tracks, out, at)
        return out

    def misspelt(self, title: str) -> str:
        """As someone wrote it: a letter lost or changed now and then, half of a title at times."""
        if self.chance(0.12):
            return title.split()[-1]
        letters = list(title)
        for _ in range(self.luck.choice([0, 0, 0, 1, 1, 2])):
            letters[self.luck.randrange(len(letters))] = self.luck.choice("aeiourst ")
        return "".join(letters).strip() or title

    def capture(self, key: str, tracks: int, recorded: list[_Recorded], end: float) -> None:
        """The kept levels: what was played sounds; now and then a track is dead, bleeds, or has a guide."""
        columns = min(2400, int(end / 0.2))
        rows = [bytearray([200] * columns) for _ in range(tracks)]
        for one in recorded:
            first, last = (int(moment / end * columns) for moment in (one.start, one.end))
            for track in range(1, tracks + 1):
                sounds = self.chance(0.98) if track in one.played else self.chance(0.05)
                for at in range(first, last) if sounds else ():
                    rows[track - 1][at] = 40 if self.luck.random() < 0.9 else 150
        packed = tuple(bytes(row) for row in rows)
        strip = Strip(end, tuple(range(1, tracks + 1)), columns, packed, packed)
        self.records["strip"][f"{key} pass 1"] = strip.to_json()
        self.records["check"][f"{key} pass 1"] = {
            "reel": key, "pass": 1, "verdict": "pass", "tracks": list(range(1, tracks + 1)), "seconds": end,
            "at": "2026-11-01", "files": [], "channels": [], "findings": [], "timecode": [], "speed": {},
        }  # fmt: skip

    def paper(self, one: _Recorded, tape: list[_Recorded]) -> None:
        """The sheet of a recording: in its box, loose, or lost for good."""
        fate = self.luck.choices(["there", "loose", "lost"], [4, 5, 1])[0]
        if fate == "there":
            self.number += 1
            song = self.song(one, spanned=True)
            self.sheets += self.written(f"T-{self.number:03}", one, song, "")
        elif fate == "loose":
            self.loose(one, (one.reel, one.start, one.end))

    def loose(self, one: _Recorded, truth: tuple[str, float, float] | None) -> None:
        """A loose sheet, with or without a title and the box that it lay in."""
        self.number += 1
        key = f"L-{self.number:03}"
        self.truth[key] = truth
        box = one.reel if truth and self.chance(0.4) else ""
        if not box and self.chance(0.15):
            box = f"K-{101 + self.luck.randrange(self.count)}"
        song = self.song(one, spanned=False) if self.chance(0.7) else ""
        self.sheets += [replace(row, reel="", found_in=box) for row in self.written(key, one, song, box)]

    def song(self, one: _Recorded, spanned: bool) -> str:
        """The song under a key of its own; its length is noted at times, its title was another at times."""
        key = f"S-{len(self.songs) + 1:03}"
        length = None
        if self.chance(0.5):
            true = one.end - one.start
            told = self.luck.uniform(90, 330) if self.chance(0.12) else self.luck.gauss(true, 4)
            length = Fraction(round(told))
        title = self.misspelt(one.title)
        if self.chance(0.15):
            self.old[key] = (title,)
            title = self.titles.pop()
        need = (Need(one.reel, Fraction(round(one.start)), Fraction(round(one.end))),) if spanned else ()
        self.songs[key] = Song(key, title, target_length=length, needs=need)
        return key

    def written(self, key: str, one: _Recorded, song: str, box: str) -> Iterator[SheetRow]:
        """What was written: a track forgotten or wrongly filled now and then."""
        when = self.dated(one.day) if self.chance(0.75) else ""
        names = self.chance(0.7)
        for track in range(1, one.tracks + 1):
            if self.chance(0.96) if track in one.played else self.chance(0.03):
                part = _PARTS[(track - 1) % len(_PARTS)]
                player = self.luck.choice(one.band) if names else ""
                yield SheetRow(key, track, one.reel, song, when, part, player)

    def dated(self, day: date) -> str:
        """A date as people write one, now and then of the year before."""
        day = day.replace(year=day.year - 1, day=1) if self.chance(0.04) else day
        season = ("winter", "spring", "summer", "autumn")[(day.month % 12) // 3]
        return self.luck.choice([
            f"{day.day}.{day.month}.{day.year % 100}", f"{day:%B} {day.year}", f"{season} {day.year}",
            str(day.year),
        ])  # fmt: skip


def right(truth: tuple[str, float, float] | None, choice: Any) -> bool:
    """True where a proposal is the true stretch: the reel, and most of the span where one is told."""
    if truth is None or choice is None:
        return truth is None and choice is None
    reel, start, end = truth
    if choice.reel != reel:
        return False
    if choice.start is None:
        return True
    return min(end, choice.end) - max(start, choice.start) > 0.6 * (end - start)
