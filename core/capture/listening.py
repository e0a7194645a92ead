"""Excerpts of a checked pass at the places worth an ear: short files that any player opens, and a list."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from pathlib import Path

import soundfile

from core.capture.files.progress import Asked, Cancelled
from core.capture.pieces.pass_sound import PassSound
from core.capture.to_hear import AROUND_SECONDS, Place, file_name, heard_at
from core.findings import Check
from core.values import dataclass

MOST_SECONDS = 20.0
LIST, PLAYLIST = "list.csv", "all.m3u8"


@dataclass(frozen=True, slots=True)
class Excerpt:
    """One excerpt as a file, and where in it its place begins, in seconds."""

    path: Path
    place: Place
    begins: float


def write_excerpts(
    check: Check, files: Sequence[Path], places: Sequence[Place], folder: Path, cancelled: Asked | None = None
) -> tuple[Excerpt, ...]:
    """Writes an excerpt a place into the folder, numbered, with a table and a playlist; originals untouched.

    16 bit WAV, one channel for a place on one track, two for a place on two; a place on all tracks is their
    sum, turned down so far that it does not clip. What an earlier list of the folder names is taken away.
    NotThere where a file cannot be read any more; OSError where the folder cannot be written to.
    """
    sound = PassSound(files, check.tracks)
    folder.mkdir(parents=True, exist_ok=True)
    _take_away(folder)
    written = []
    for number, place in enumerate(places, 1):
        if cancelled is not None and cancelled():
            raise Cancelled
        first = max(0, round((place.start - AROUND_SECONDS) * sound.sample_rate))
        most = first + round(MOST_SECONDS * sound.sample_rate)
        last = min(sound.frames, most, round((place.end + AROUND_SECONDS) * sound.sample_rate))
        heard, rate = heard_at(sound, place, first, max(first + 1, last))
        path = folder / f"{number:02}-{file_name(place)}.wav"
        soundfile.write(path, heard.T, rate, subtype="PCM_16", format="WAV")
        written.append(Excerpt(path, place, place.start - first / sound.sample_rate))
    (folder / LIST).write_text(_table(written), encoding="utf-8", newline="")
    lines = ["#EXTM3U", *(line for one in written for line in (f"#EXTINF:-1,{_title(one)}", one.path.name))]
    (folder / PLAYLIST).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return tuple(written)


def _title(one: Excerpt) -> str:
    return " ".join(f"{one.path.stem}: {one.place.says}".split())


def _table(written: Sequence[Excerpt]) -> str:
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(["file", "from", "to", "track", "kind", "begins_in_file", "says"])
    for one in written:
        place = one.place
        span = (f"{place.start:.3f}", f"{place.end:.3f}")
        table.writerow([one.path.name, *span, place.track or "", place.kind, f"{one.begins:.3f}", place.says])
    return out.getvalue()


def _take_away(folder: Path) -> None:
    """Takes away the excerpts that an earlier list names, and nothing else of the folder."""
    try:
        with open(folder / LIST, encoding="utf-8", newline="") as file:
            names = [row["file"] for row in csv.DictReader(file)]
    except (OSError, KeyError, ValueError, csv.Error):
        return
    for name in names:
        if re.fullmatch(r"\d\d+-[a-z0-9-]+\.wav", name or ""):
            (folder / name).unlink(missing_ok=True)
