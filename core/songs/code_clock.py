"""A song's clock by timecode alone: captures that carry the same code lie where the code says.

Zero is the start of the song's span on the reel whose speed is right; a second of it is a second at that
reel's own speed, corrected by what its check measured. Only a run that lies in the song's span counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.album.place import CaptureKey, Curve, Place, SongClock
from core.songs.heard import Hearing
from core.songs.song import Need, Song

_DAY = 86_400.0
_READ_MS = 0.1  # a run's straight line is good to a few samples


def clock_by_code(song: Song, hearing: Hearing) -> SongClock:
    """Where every capture of the song's reels lies on its clock, as far as timecode tells."""
    first = song.clock_reel or next((need.reel for need in song.needs), "")
    need = song.span_on(first)
    if need is None:
        return SongClock()
    zero = float(need.start or 0)
    own = hearing.check(first, None, need)
    if own is None:
        return SongClock(first, zero)
    at, fast = zero - hearing.begin(own), 1 + float((own.get("speed") or {}).get("percent") or 0) / 100
    line = Curve.line(at, 0.0, fast, 60.0)
    places: dict[CaptureKey, Place] = {_key(own): Place("said", line, 0.0, "the song's own clock")}
    code = run_in(own, need, hearing)
    if code is not None:
        places[_key(own)] = Place("timecode", line, _READ_MS, "the song's own clock")
        for other in dict.fromkeys(one.reel for one in song.needs if one.reel != first):
            there = hearing.check(other, None, song.span_on(other))
            laid = _laid(song, there, hearing, code, at, fast) if there is not None else None
            if there is not None and laid is not None:
                places[_key(there)] = laid
    return SongClock(first, zero, places)


def _key(check: Mapping[str, Any]) -> CaptureKey:
    return str(check.get("reel")), int(check.get("pass", 1))


def _laid(
    song: Song, check: Mapping[str, Any], hearing: Hearing, code: tuple[float, float], at: float, fast: float
) -> Place | None:
    run = run_in(check, song.span_on(str(check.get("reel"))), hearing)
    if run is None:
        return None
    (zero, slope), (start, rate) = code, run
    ahead = (zero + slope * at - start + _DAY / 2) % _DAY - _DAY / 2
    return Place("timecode", Curve.line(ahead / rate, 0.0, rate * fast / slope, 60.0), 2 * _READ_MS)


def run_in(check: Mapping[str, Any], need: Need | None, hearing: Hearing) -> tuple[float, float] | None:
    """Code at the pass's start and code seconds a second, of the run with most of the span; forward only."""
    if not check.get("files"):
        return None
    rate, begins = float(check["files"][0]["sample_rate"]), hearing.begin(check)
    start = float(need.start) - begins if need is not None and need.start is not None else 0.0
    end = float(need.end) - begins if need is not None and need.end is not None else float("inf")
    best, most = None, 0.0
    for run in (run for code in check.get("timecode", ()) for run in code.get("runs", ())):
        shared = min(end, run["end_sample"] / rate) - max(start, run["start_sample"] / rate)
        if shared > most and float(run["seconds_per_sample"]) > 0:
            best, most = run, shared
    if best is None:
        return None
    return float(best["seconds_at_zero"]), float(best["seconds_per_sample"]) * rate
