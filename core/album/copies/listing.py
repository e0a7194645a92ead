"""What goes with copies: the list of parts, markers as CSV and as a Standard MIDI File, coding history."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from core.album.copies.plan import ALONG, AS_CAPTURED, RATIO, Copy
from core.album.ties import capture_name
from core.values import dataclass

_TICKS = 960
_TEMPO = 500_000
"""Microseconds a beat, 120 beats a minute: 1920 ticks a second."""

COLUMNS = (
    "file", "song", "part", "take", "player", "reel", "tracks", "pass", "generation", "how",
    "starts_at_seconds", "seconds", "sample_rate", "time_reference", "place_by", "error_ms",
    "runs_apart_ms", "sha256", "says",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Marker:
    """A moment of the song with its words; seconds of the song's clock."""

    seconds: float
    words: str
    kind: str = ""
    reel: str = ""


def parts_csv(song: str, copies: Iterable[tuple[Copy, str]]) -> bytes:
    """One row a file, each with its SHA-256; read by any spreadsheet (RFC 4180, UTF-8)."""
    rows: list[Sequence[object]] = [COLUMNS]
    for copy, digest in copies:
        used = copy.used
        rows.append((
            f"{copy.name}.wav", song, used.part, used.take, used.player, used.key[0],
            "+".join(map(str, used.tracks)), used.key[1], used.generation, copy.method,
            f"{copy.from_seconds:.6f}", f"{copy.frames / copy.rate:.6f}", copy.rate, copy.time_reference,
            used.place.by, "" if used.place.error_ms is None else used.place.error_ms,
            f"{copy.runs_apart_ms:.3f}", digest, used.place.says,
        ))  # fmt: skip
    return csv_bytes(rows)


def markers_csv(markers: Sequence[Marker], zero: float) -> bytes:
    """Markers in seconds from the start of the files, and of the song's clock."""
    rows: list[Sequence[object]] = [("seconds", "song_seconds", "kind", "words", "reel")]
    rows += [(f"{m.seconds - zero:.3f}", f"{m.seconds:.3f}", m.kind, m.words, m.reel) for m in markers]
    return csv_bytes(rows)


def csv_bytes(rows: Iterable[Sequence[object]]) -> bytes:
    """Rows for any spreadsheet (RFC 4180, UTF-8); none of their cells is taken for a formula."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([[_plain(cell) for cell in row] for row in rows])
    return text.getvalue().encode("utf-8")


def _plain(cell: object) -> object:
    """What a spreadsheet would take for a formula is led in by an apostrophe."""
    if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return cell if _is_number(cell) else f"'{cell}"
    return cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def markers_midi(song: str, markers: Sequence[Marker], zero: float) -> bytes:
    """Markers as a Standard MIDI File of one track, 960 ticks a beat at 120 beats a minute.

    Moments before the start of the files stand at the start. What Latin-1 has not becomes `?`.
    """
    from mido import MetaMessage, MidiFile, MidiTrack

    track = MidiTrack()
    track.append(MetaMessage("track_name", name=_latin(song), time=0))
    track.append(MetaMessage("set_tempo", tempo=_TEMPO, time=0))
    reached = 0
    for marker in sorted(markers, key=lambda one: one.seconds):
        tick = max(reached, round((marker.seconds - zero) * _TICKS * 1_000_000 / _TEMPO))
        track.append(MetaMessage("marker", text=_latin(marker.words), time=tick - reached))
        reached = tick
    track.append(MetaMessage("end_of_track", time=0))
    out = io.BytesIO()
    MidiFile(type=0, ticks_per_beat=_TICKS, tracks=[track]).save(file=out)
    return out.getvalue()


def _latin(text: str) -> str:
    return text.encode("latin-1", "replace").decode("latin-1")


def history_line(copy: Copy, bits: int, *, is_float: bool, channels: int, before: str, program: str) -> str:
    """The coding history with a line for this copy (EBU R 98: A, F, W, M and T, separated by commas)."""
    mode = "mono" if channels == 1 else "stereo"
    word = f"W={bits}{' float' if is_float else ''}"
    what = {
        AS_CAPTURED: "copied as captured",
        ALONG: "read along a curve by a windowed sinc of 32 taps",
        RATIO: "read at a constant ratio by soxr",
    }[copy.method]
    told = f"{program} {capture_name(copy.used.key)} track {'+'.join(map(str, copy.used.tracks))} {what}"
    line = f"A=PCM,F={copy.rate},{word},M={mode},T={told.replace(',', ' ')}"
    lines = [one for one in before.splitlines() if one.strip()]
    return "\r\n".join([*lines, line]) + "\r\n"
