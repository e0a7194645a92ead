"""Looking for how two captures lie: which tracks to hold against one another, and what is told of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from core.album.levels import Levels
from core.album.place import CaptureKey
from core.album.sound.by_sound import Outcome, lay_by_sound
from core.album.sound.heard import Heard
from core.album.sound.match import Match
from core.album.sound.needle_lines import lines_of
from core.album.sound.needles import Haystack, Needles
from core.album.sound.spectra import WORK_HZ, Floats
from core.album.thin import curve_of
from core.album.ties import Tie, capture_name
from core.as_json import Record
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.capture.kept.fixity import on_disk
from core.capture.pieces.pass_sound import NotThere, PassSound
from core.errors import Refused, Unusable

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from core.album.course import Course

Pair = tuple[int, int]
Seconds: TypeAlias = "NDArray[np.float64]"
_MOST_PAIRS = 6
"""Pairs of tracks whose waveforms are held against one another."""
_MARGIN_SECONDS = 20.0
"""What is read on either side of a song's span: spans are typed by ear."""
_BLOCK_SECONDS = 20


@dataclass(slots=True)
class Capture:
    """One capture that is to be tied: its check, its course, and the stretch that counts."""

    key: CaptureKey
    check: Record
    of: str
    course: Course | None
    span: tuple[float, float] | None
    without: frozenset[int] = frozenset()
    """Tracks of timecode and tones, which lie in no place of their own."""
    sound: PassSound = field(init=False)

    def open(self) -> None:
        """Opens its files; Unusable where one is missing or is not what was checked."""
        files = self.check.get("files", ())
        paths = [on_disk(str(file["path"])) for file in files]
        try:
            self.sound = PassSound(paths, [int(track) for track in self.check.get("tracks", ())])
        except NotThere as error:
            raise Unusable(f"{error}: put it back, or check the reel anew") from error
        for path, file in zip(paths, files, strict=True):
            if path.stat().st_size != int(file["bytes"]):
                raise Unusable(f"{path}: is not what was checked: check {self.key[0]} anew")

    @property
    def stretch(self) -> tuple[int, int]:
        """Frames that count, with a margin."""
        rate, total = self.sound.sample_rate, self.sound.frames
        if self.span is None:
            return 0, total
        first, last = self.span
        low, high = int((first - _MARGIN_SECONDS) * rate), int((last + _MARGIN_SECONDS) * rate)
        return max(0, min(low, total)), max(0, min(total, high))

    @property
    def tracks(self) -> list[int]:
        """Tracks that may be held against others."""
        return [track for track in self.sound.tracks if track not in self.without]


class Looking:
    """One search, with its progress."""

    def __init__(
        self, one: Capture, two: Capture, told: Told | None, asked: Asked | None, *, buried: bool = False
    ) -> None:
        self.one, self.two, self._buried = one, two, buried
        self._told, self._asked = told, asked or never
        self._began, self._done, self._total = time.monotonic(), 0.0, 1.0
        self._rows: dict[tuple[CaptureKey, int], Floats] = {}

    def ask(self) -> None:
        """Raises Cancelled once the person wants to stop."""
        if self._asked():
            raise Cancelled

    def went(self, share: float) -> None:
        """Tells that so much of the search is done."""
        self._done += share
        if self._told is not None:
            sizes = [one.stretch[1] - one.stretch[0] for one in (self.one, self.two)]
            total = sum(
                size * one.sound.header.frame_bytes
                for size, one in zip(sizes, (self.one, self.two), strict=True)
            )
            done = min(total, int(total * self._done / self._total))
            self._told(Progress(done, total, time.monotonic() - self._began))

    def tie(self, claimed: Sequence[Pair]) -> Tie:
        """The surest way in which the one lies in the other; Refused, with the best tried, where none."""
        pairs = [pair for pair in claimed if pair[0] in self.one.tracks and pair[1] in self.two.tracks]
        best, tried, why = self._best(pairs)
        if best is None:
            more = [pair for pair in self.likely_pairs() if pair not in pairs]
            if not more and not tried and self.one.tracks and self.two.tracks:
                more = [(self.one.tracks[0], self.two.tracks[0])]  # what they are is a reason by itself
            best, worse, reason = self._best(more)
            tried, why = [*tried, *worse], reason or why
        if best is not None:
            return self._made(*best)
        raise Refused(self._nothing(tried, why))

    def _best(
        self, pairs: Sequence[Pair]
    ) -> tuple[tuple[Pair, Outcome] | None, list[tuple[Pair, Match]], str]:
        found: list[tuple[Pair, Outcome]] = []
        tried: list[tuple[Pair, Match]] = []
        why = ""
        pairs = list(pairs)[:_MOST_PAIRS]
        self.read(pairs)
        for pair in pairs:
            self.ask()
            here, there = self.heard(self.one, pair[0]), self.heard(self.two, pair[1])
            outcome = lay_by_sound(here, there, self.ask, buried=self._buried)
            self.went(1 / max(1, len(pairs)))
            why = outcome.why or why
            if outcome.match is not None:
                found.append((pair, outcome))
                if outcome.match.agree > 0.95 and outcome.match.quality > 15:
                    break
            elif outcome.tried is not None:
                tried.append((pair, outcome.tried))
        best = max(found, key=lambda one: _worth(one[1].match), default=None)
        return best, tried, why

    def likely_pairs(self) -> list[Pair]:
        """Pairs of tracks whose levels rise alike, the likeliest first."""
        lines: list[tuple[float, Pair]] = []
        here, there = self._levels(self.one), self._levels(self.two)
        hays = {track: Haystack(levels) for track, levels in there.items()}
        for track, levels in here.items():
            self.ask()
            needles = Needles(levels)
            for other, hay in hays.items():
                found = lines_of(needles.find(hay), len(needles.places))
                if found:
                    lines.append((found[0].score, (track, other)))
        return [pair for _, pair in sorted(lines, key=lambda line: -line[0])]

    def _levels(self, capture: Capture) -> dict[int, Levels]:
        """The levels of every track in the stretch, as the check kept them; else from the sound."""
        low, high = (frame / capture.sound.sample_rate for frame in capture.stretch)
        course = capture.course
        if course is None or course.levels is None:
            self._read_tracks(capture, capture.tracks)
            return {track: self.heard(capture, track).levels for track in capture.tracks}
        rows = slice(int(low * course.levels.hertz), int(high * course.levels.hertz) + 1)
        whole = course.levels
        return {
            track: Levels(whole.hertz, whole.halves[at : at + 1, rows])
            for at, track in enumerate(course.tracks) if track in capture.tracks
        }  # fmt: skip

    # Sound ------------------------------------------------------------------------------------------------

    def read(self, pairs: Sequence[Pair]) -> None:
        """The stretches of these tracks."""
        self._read_tracks(self.one, dict.fromkeys(pair[0] for pair in pairs))
        self._read_tracks(self.two, dict.fromkeys(pair[1] for pair in pairs))

    def _read_tracks(self, capture: Capture, tracks: Iterable[int]) -> None:
        """The stretch of these tracks at 8 kHz, all in one read."""
        wanted = [track for track in tracks if (capture.key, track) not in self._rows]
        read = rows_at_work_rate(capture.sound, wanted, *capture.stretch, self.ask)
        self._rows |= {(capture.key, track): row for track, row in read.items()}

    def heard(self, capture: Capture, track: int) -> Heard:
        """A track that was read, as it is compared."""
        return Heard.of(self._rows[capture.key, track], WORK_HZ)

    # What is told -----------------------------------------------------------------------------------------

    def _made(self, pair: Pair, outcome: Outcome) -> Tie:
        match = outcome.match
        assert match is not None
        starts = [capture.stretch[0] / capture.sound.sample_rate for capture in (self.one, self.two)]
        here, there = _with_ends(match, *starts)
        says = f"track {pair[0]} and track {pair[1]}: {match.says}"
        if outcome.other is not None:
            at = float(outcome.other.here[0]) + starts[0]
            to = float(outcome.other.there[0]) + starts[1]
            says += f"; a second answer is as good: {at:.1f} s there is {to:.1f} s ({outcome.other.says})"
        says += "".join(self._cut(at + starts[0], more) for at, more in match.cuts)
        gaps = tuple((a + starts[0], b + starts[0]) for a, b in match.gaps)
        span = (float(match.here[0]) + starts[0], float(match.here[-1]) + starts[0])
        error = round(max(match.misfit_ms, 0.02), 3)
        return Tie(
            self.one.key, self.two.key, "sound", curve_of(here, there, 1e-5), error, says, match.quality,
            gaps, span, pair, match.polarity, (self.one.of, self.two.of),
        )  # fmt: skip

    def _cut(self, at: float, more: float) -> str:
        """One place at which one of the two was cut, and what only the other still has."""
        has = self.one if more > 0 else self.two
        return (
            f"; cut at {at:.1f} s of {capture_name(self.one.key)}: {abs(more):.2f} s there are on "
            f"{capture_name(has.key)} only"
        )

    def _nothing(self, tried: Sequence[tuple[Pair, Match]], why: str) -> str:
        names = f"{capture_name(self.one.key)} and {capture_name(self.two.key)}"
        if not tried:
            return f"{names} share no sound that can be proved: {why or 'no track of theirs is like another'}"
        pair, best = max(tried, key=lambda one: one[1].quality * one[1].agree)
        return (
            f"{names} share no sound that can be proved; the best of {len(tried)} tried is track {pair[0]} "
            f"with track {pair[1]}: {best.says}"
        )  # fmt: skip


def rows_at_work_rate(
    sound: PassSound, tracks: Sequence[int], low: int, high: int, ask: Callable[[], None]
) -> dict[int, Floats]:
    """Frames ``low`` to ``high`` of these tracks at 8 kHz, all in one read; Unusable where a file is gone."""
    import numpy as np
    import soxr

    if not tracks:
        return {}
    rate = sound.sample_rate
    streams = [soxr.ResampleStream(rate, WORK_HZ, 1, dtype="float32", quality="MQ") for _ in tracks]
    parts: list[list[Floats]] = [[] for _ in tracks]
    step = _BLOCK_SECONDS * rate
    try:
        for at in range(low, high, step):
            ask()
            stop = min(high, at + step)
            for row, block in enumerate(sound.floats(tracks, at, stop)):
                parts[row].append(streams[row].resample_chunk(np.ascontiguousarray(block), last=stop == high))
    except NotThere as error:
        raise Unusable(str(error)) from error
    return {
        track: np.concatenate(blocks) if blocks else np.zeros(0, np.float32)
        for track, blocks in zip(tracks, parts, strict=True)
    }


def _worth(match: Match | None) -> float:
    return 0.0 if match is None else match.quality * match.agree * min(1.0, match.sounding / 60)


def _with_ends(match: Match, here_start: float, there_start: float) -> tuple[Seconds, Seconds]:
    """The nodes with one more a minute beyond either end, by the mean speed of the last minute there."""
    import numpy as np

    here, there = match.here + here_start, match.there + there_start
    ends = []
    for cut, beyond in ((slice(0, 60), here[0] - 60), (slice(-60, None), here[-1] + 60)):
        x, y = here[cut], there[cut]
        slope = float(np.polyfit(x - x[0], y, 1)[0]) if len(x) > 2 else 1.0
        near = y[0] if beyond < x[0] else y[-1]
        at = x[0] if beyond < x[0] else x[-1]
        ends.append((beyond, near + slope * (beyond - at)))
    return (
        np.concatenate(([ends[0][0]], here, [ends[1][0]])),
        np.concatenate(([ends[0][1]], there, [ends[1][1]])),
    )
