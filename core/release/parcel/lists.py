"""The lists that go with a song when it is handed over: rows of cells, the names of the columns first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from core.album.place import CaptureKey, Place, SongClock
from core.as_json import Record
from core.clock import write_time
from core.logbook.noted import in_force
from core.logbook.passes import noted
from core.shelf import Shelf
from core.songs.parts import SongParts, place_words, track_labels

Rows = list[Sequence[object]]


def parts_rows(found: SongParts, files: Mapping[tuple[str, int], str]) -> Rows:
    """Every recording: what is used for it, and the file in which it is handed over, by reel and track."""
    rows: Rows = [(
        "part", "take", "player", "state", "track", "pass", "generation", "sheet", "copied_from", "place",
        "error_ms", "file", "why",
    )]  # fmt: skip
    for part in found.parts:
        near = "" if part.place.error_ms is None else part.place.error_ms
        words = place_words(part.place)
        if not part.use:
            rows.append((part.name, part.take, "", part.state, "", "", "", "", "", words, near, "", part.why))
        for one in part.sounding:
            file = files.get((one.reel, one.track or 0), "")
            rows.append((
                one.part or part.name, part.take, one.player, part.state, one.label, one.pass_number or "",
                one.generation, one.sheet, one.copied_from, words, near, file, part.why,
            ))  # fmt: skip
    for other in found.not_used:
        where = track_labels([(other.reel, other.track)])
        rows.append(("", "", "", "not used", where, "", "", "", "", "", "", "", other.why))
    return rows


def curve_rows(place: Place) -> Rows:
    """The nodes of a capture's curve; between two of them a straight line holds."""
    nodes = place.curve.short().nodes if place.curve is not None else ()
    return [("capture_seconds", "song_seconds"), *((f"{x:.6f}", f"{y:.6f}") for x, y in nodes)]


def capture_rows(places: Mapping[CaptureKey, Place], files: Mapping[CaptureKey, str]) -> Rows:
    """Every capture of the song: how its place was got, how far off it may be, and the file of its curve."""
    rows: Rows = [("reel", "pass", "place_by", "error_ms", "curve", "says")]
    for (reel, number), place in places.items():
        near = "" if place.error_ms is None else place.error_ms
        rows.append((reel, number, place.by, near, files.get((reel, number), ""), place.says))
    return rows


def finding_rows(
    checks: Mapping[CaptureKey, Record],
    spans: Mapping[CaptureKey, tuple[float, float]],
    clock: SongClock,
) -> Rows:
    """What the checks found in the song's stretch of every capture, in its own and in the song's seconds."""
    rows: Rows = [
        ("reel", "pass", "track", "other", "start", "end", "song_seconds", "kind", "weight", "says")
    ]
    for key, check in checks.items():
        low, high = spans[key]
        for one in check.get("findings", ()):
            start, end = float(one.get("start") or 0), float(one.get("end") or 0)
            if end < low or start > high:
                continue
            rows.append((
                *key, one.get("track") or "", one.get("other") or "", start, end, _song(clock, key, start),
                one["kind"], one["weight"], one.get("says", ""),
            ))  # fmt: skip
    return rows


def note_rows(shelf: Shelf, reels: Iterable[str], clock: SongClock) -> Rows:
    """What was written down of these reels: timed notes of their passes, then notes in their history."""
    mine = set(reels)
    rows: Rows = [("reel", "pass", "seconds", "song_seconds", "at", "words")]
    for note in noted(shelf).values():
        if note.reel in mine:
            key, at = (note.reel, note.number), note.seconds
            rows.append((*key, at, _song(clock, key, at), "", note.told))
    for event in in_force(shelf.history):
        if event.kind == "reel" and event.key in mine and event.note:
            rows.append((event.key, "", "", "", write_time(event.at), event.note))
    return rows


def _song(clock: SongClock, key: CaptureKey, at: float) -> object:
    curve = clock.place(*key).curve
    return "" if curve is None else f"{curve.song(at):.3f}"
