"""The parts of a song: which track on which reel is the best source of each, and where it sits in time.

A part is looked for by its name on every sheet row of the song. The best source is the one of the fewest
generations of copying; among equals a capture that was checked and passed, then a reel nearer to that. The
place in time comes from the timecode that a check has read, else from the span that the song needs.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from core.reels.reel import STAGES, Reel
from core.songs.song import SheetRow, Song

Checks = Mapping[str, Mapping[str, Any]]
_DEEPEST = 50  # generations after which a chain of copies is taken for a ring


@dataclass(frozen=True, slots=True)
class Source:
    """One track that carries a part. ``generation`` 0 is the first recording; ``state`` is its reel's."""

    reel: str
    track: int | None
    generation: int
    stage: str
    verdict: str | None
    files: tuple[str, ...]
    sheet: str
    take: str
    player: str
    copied_from: str

    @property
    def label(self) -> str:
        """``R-001:3``."""
        return f"{self.reel or 'loose sheet ' + self.sheet}" + (
            f":{self.track}" if self.track is not None else ""
        )


@dataclass(frozen=True, slots=True)
class Place:
    """Where a source lies in time, in seconds. ``by`` is timecode, span or nothing.

    ``clock_at_zero`` and ``clock_per_second`` lay seconds of the captured pass on the timecode's clock, so
    that parts from reels that carry the same code can be laid side by side.
    """

    by: str
    start: float | None = None
    end: float | None = None
    clock_at_zero: float | None = None
    clock_per_second: float | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the song: its best source and where it sits; the other tracks that carry it, best first."""

    name: str
    best: Source
    place: Place
    others: tuple[Source, ...]
    why: str


@dataclass(frozen=True, slots=True)
class SongParts:
    """The parts of one song, in the order of the sheets; what the sheets leave open, in words."""

    song: str
    title: str
    parts: tuple[Part, ...]
    open: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """The document that other programs read."""
        return {
            "song": self.song,
            "title": self.title,
            "parts": [
                {
                    "part": part.name,
                    "best": _source_json(part.best),
                    "place": {name: getattr(part.place, name) for name in Place.__slots__},
                    "why": part.why,
                    "others": [_source_json(source) for source in part.others],
                }
                for part in self.parts
            ],
            "open": list(self.open),
        }


def _source_json(source: Source) -> dict[str, Any]:
    return {
        name: list(v) if isinstance(v := getattr(source, name), tuple) else v for name in Source.__slots__
    }


def song_parts(
    song: Song, sheets: Sequence[SheetRow], reels: Mapping[str, Reel], checks: Checks
) -> SongParts:
    """The best source of every part of that song, and where each sits in time."""
    at: dict[tuple[str, int | None], SheetRow]
    at = {(row.reel, row.track): row for row in sheets if row.reel and row.track is not None}
    rows = [row for row in sheets if row.song == song.key]
    by_part: dict[str, list[Source]] = {}
    names: dict[str, str] = {}
    for row in rows:
        name = row.part.strip() or "(no part named)"
        folded = " ".join(name.casefold().split())
        names.setdefault(folded, name)
        by_part.setdefault(folded, []).append(_source(row, at, reels, checks))
    parts = []
    for folded, sources in by_part.items():
        best, *others = sorted(sources, key=_rank)
        place = _place(song, best, checks)
        parts.append(Part(names[folded], best, place, tuple(others), _why(best, others)))
    return SongParts(song.key, song.title, tuple(parts), tuple(_open(song, rows, parts)))


def _rank(source: Source) -> tuple[Any, ...]:
    proved = {"pass": 0, "remarks": 1, None: 2, "fail": 3}.get(source.verdict, 2)
    stage = -STAGES.index(source.stage) if source.stage in STAGES else 1
    return (not source.reel, source.generation, proved, stage, source.reel, source.track or 0)


def _source(
    row: SheetRow, at: Mapping[tuple[str, int | None], SheetRow], reels: Mapping[str, Reel], checks: Checks
) -> Source:
    reel = reels.get(row.reel)
    check = _check_of(row.reel, row.track, checks)
    files = tuple(str(file.get("path", "")) for file in check.get("files", ())) if check else ()
    return Source(
        reel=row.reel,
        track=row.track,
        generation=_generation(row, at, 0),
        stage=reel.stage if reel is not None else "not on the shelf",
        verdict=str(check["verdict"]) if check else None,
        files=files,
        sheet=row.sheet,
        take=row.take,
        player=row.player,
        copied_from=row.copied_from,
    )


def _generation(row: SheetRow, at: Mapping[tuple[str, int | None], SheetRow], depth: int) -> int:
    """How often it was copied: one more than the most copied of its sources."""
    if not row.copied_from or depth >= _DEEPEST:
        return 0 if not row.copied_from else depth
    older = [at[key] for key in copied_tracks(row.copied_from) if key in at and at[key] is not row]
    return 1 + max((_generation(one, at, depth + 1) for one in older), default=0)


def copied_tracks(text: str) -> Iterator[tuple[str, int]]:
    """The reel and each of the tracks that ``R-001:3-8`` names."""
    match = re.fullmatch(r"(.+):(\d+)(?:-(\d+))?", text)
    if match:
        first, last = int(match[2]), int(match[3] or match[2])
        yield from ((match[1], track) for track in range(first, last + 1))


def _check_of(reel: str, track: int | None, checks: Checks) -> Mapping[str, Any] | None:
    """The newest kept check of the pass that carries that track."""
    mine = [
        check
        for check in checks.values()
        if check.get("reel") == reel
        and (track is None or not check.get("tracks") or track in check["tracks"])
    ]
    return max(mine, key=lambda check: str(check.get("at") or ""), default=None) if reel else None


def _place(song: Song, source: Source, checks: Checks) -> Place:
    need = next((need for need in song.needs if need.reel == source.reel and need.start is not None), None)
    start = float(need.start) if need is not None and need.start is not None else None
    end = float(need.end) if need is not None and need.end is not None else None
    check = _check_of(source.reel, source.track, checks)
    run = _longest_run(check) if check is not None else None
    if check is None or run is None:
        return Place("span" if need is not None else "nothing", start, end)
    rate = float(check["files"][0]["sample_rate"])
    return Place(
        "timecode",
        start,
        end,
        round(float(run["seconds_at_zero"]), 6),
        float(run["seconds_per_sample"]) * rate,
    )


def _longest_run(check: Mapping[str, Any]) -> Mapping[str, Any] | None:
    runs = [run for code in check.get("timecode", ()) for run in code.get("runs", ())]
    if not check.get("files"):
        return None
    return max(runs, key=lambda run: int(run["end_sample"]) - int(run["start_sample"]), default=None)


def _why(best: Source, others: Sequence[Source]) -> str:
    if not best.reel:
        return "only on a loose sheet: no reel is named"
    made = (
        "first recording"
        if best.generation == 0
        else f"copied {best.generation} time{'s' * (best.generation > 1)}"
    )
    if not others:
        return f"{made}; the only track that carries it"
    if others[0].generation > best.generation:
        return f"{made}; {others[0].label} is a later copy"
    if best.verdict != others[0].verdict:
        mine, next_best = best.verdict or "nothing yet", others[0].verdict or "nothing yet"
        return f"{made}; its check says {mine}, that of {others[0].label} {next_best}"
    return f"{made}; {others[0].label} is as good by what is known"


def _open(song: Song, rows: Sequence[SheetRow], parts: Iterable[Part]) -> Iterator[str]:
    told = {row.reel for row in rows if row.reel}
    for reel in dict.fromkeys(need.reel for need in song.needs):
        if reel not in told:
            yield f"{reel} is needed, and no sheet row of this song is on it"
    for part in parts:
        if part.best.reel and part.best.stage == "not on the shelf":
            yield f"{part.name}: {part.best.reel} is not on the shelf"
        elif not part.best.reel:
            yield f"{part.name}: only a loose sheet tells of it"
        elif part.best.verdict is None:
            yield f"{part.name}: {part.best.reel} is {part.best.stage}, its capture is not checked"
        elif part.best.verdict == "fail":
            yield f"{part.name}: the check of {part.best.reel} failed"
