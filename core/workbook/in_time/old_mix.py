"""The joint for old mixes: what sounds in one that no captured track explains, kept as remarks."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from core.album.place import CaptureKey, Curve, SongClock
from core.album.ties import capture_name
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.clock import write_time
from core.errors import Refused, Unusable
from core.workbook.in_time.old_mix_kept import OldMix, reel_sums
from core.workbook.songs import song_named

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from core.album.sound.spectra import Floats
    from core.album.sound.unexplained import Unexplained
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.in_time.song_time import SongTime
    from core.workbook.in_time.tie_finding import Capture
    from core.workbook.songs import Songs

_CHUNK_SECONDS = 60
_MARGIN_SECONDS = 0.5


class OldMixes:
    """Old mixes held against the captured tracks."""

    def __init__(self, book: Book, songs: Songs, time: SongTime) -> None:
        self.book, self.songs, self.time = book, songs, time

    def look(
        self, song: str, reel: str | None = None, number: int | None = None, *,
        progress: Told | None = None, cancelled: Asked | None = None,
    ) -> OldMix:  # fmt: skip
        """Holds a mix against every captured track in its place, and keeps what is left over as remarks."""
        found = self.found(song, reel, number, progress=progress, cancelled=cancelled)
        self.keep(found)
        return found

    def keep(self, mix: OldMix) -> None:
        """Keeps what was told, in the place of what was told of that mix before."""
        record = mix.to_json() | {"at": write_time(self.book.now())}
        name = f"{mix.song} {mix.key[0]} pass {mix.key[1]}"
        what = f"what {capture_name(mix.key)} holds of {mix.song}"
        self.book.change(lambda shelf: shelf.with_record("old mix", name, record), what=what)

    def found(
        self, song: str, reel: str | None = None, number: int | None = None, *,
        progress: Told | None = None, cancelled: Asked | None = None,
    ) -> OldMix:  # fmt: skip
        """What a mix holds that no captured track explains; reads files and keeps nothing.

        Refused where the song has no captured mix, or the mix or all tracks lie in no sure place.
        """
        one = song_named(self.book.shelf, song)
        clock = self.songs.clock(one.key)
        checks = self.time.checks(one)
        mix = self._mix(one, clock, list(checks), reel, number)
        others = [key for key in checks if self._counts(clock, key) and key[0] != mix[0]]
        others = [key for key in others if self.book.shelf.reel(key[0]).role == "multitrack"]
        if not others:
            raise Refused(f"{one.key}: no captured track lies in a sure place to hold {mix[0]} against")
        job = _Job(self.time, one, clock, mix, others, progress, cancelled or never)
        told = job.run()
        sums = reel_sums(checks)
        return OldMix(one.key, mix, told.floor, told.tells, told.stretches, job.tracks, sums)

    def _mix(
        self, song: Song, clock: SongClock, captures: list[CaptureKey], reel: str | None, number: int | None
    ) -> CaptureKey:
        shelf = self.book.shelf
        if reel is not None:
            shelf.reel(reel)
        mine = [
            key for key in captures
            if (key[0] == reel if reel is not None else shelf.reel(key[0]).role == "mix")
            and number in (None, key[1])
        ]  # fmt: skip
        if not mine:
            which = f"{reel} is no captured tape of it" if reel else "no mix of it is captured and checked"
            raise Refused(f"{song.key}: {which}")
        sure = [key for key in mine if self._counts(clock, key)]
        if not sure:
            own = clock.zero_reel or "REEL"
            raise Refused(
                f"{song.key}: {capture_name(mine[0])} lies in no sure place: reelturn tie {own} {mine[0][0]} "
                "looks for it"
            )
        if len(sure) > 1:
            names = ", ".join(dict.fromkeys(key[0] for key in sure))
            raise Refused(f"{song.key}: {names} are mixes of it: name one")
        return sure[0]

    def _counts(self, clock: SongClock, key: CaptureKey) -> bool:
        place = clock.place(*key)
        return place.curve is not None and (key == clock.own or place.by in ("timecode", "sound"))


class _Job:
    """One mix held against the tracks, a minute at a time, so that memory stays small."""

    def __init__(
        self, songs: SongTime, song: Song, clock: SongClock, mix: CaptureKey, others: list[CaptureKey],
        told: Told | None, asked: Asked,
    ) -> None:  # fmt: skip
        self.mix = songs.capture(mix, song)
        self.others = [songs.capture(key, song) for key in others]
        self.curves: dict[CaptureKey, Curve] = {
            key: curve for key in (mix, *others) if (curve := clock.place(*key).curve) is not None
        }
        self.unsure = clock.place(*mix).unsure
        self.tracks = 0
        self._told, self._asked, self._began = told, asked, time.monotonic()

    def run(self) -> Unexplained:
        """Everything that is left over; Unusable for files, Cancelled where the person stops it."""
        import numpy as np

        from core.album.sound.unexplained import left_over, unexplained
        from core.capture.pieces.pass_sound import NotThere

        for capture in (self.mix, *self.others):
            capture.open()
        self.tracks = sum(len(one.tracks) for one in self.others)
        length = self.mix.sound.frames / self.mix.sound.sample_rate
        low, high = self.mix.span or (0.0, length)
        low, high = float(int(max(0.0, low))), min(length, high)
        sides: list[list[list[NDArray[np.float64]]]] = [[] for _ in self.mix.tracks]
        at = low
        while at < high - 1:
            if self._asked():
                raise Cancelled
            top = high if high - at < 1.5 * _CHUNK_SECONDS else at + _CHUNK_SECONDS
            try:
                mixes, tracks = self._along(self.mix, at, top), [self._along(c, at, top) for c in self.others]
            except NotThere as error:
                raise Unusable(str(error)) from error
            held = np.concatenate(tracks)
            for side, row in zip(sides, mixes, strict=True):
                parts = left_over(row, held)
                side.append([part[: round(top - at)] for part in parts])
            at = top
            self._went((at - low) / max(1.0, high - low))
        told = [
            unexplained(*(np.concatenate([chunk[which] for chunk in side]) for which in (0, 1)))
            for side in sides if side
        ]  # fmt: skip
        return _of_all_sides(told, low, self.unsure)

    def _along(self, capture: Capture, low: float, high: float) -> Floats:
        """All tracks of a capture on the mix's clock, at 8 kHz, a second longer than asked for."""
        import numpy as np
        import soxr

        from core.album.reader import ROUGH_TAPS, read_along
        from core.album.sound.spectra import WORK_HZ

        here, there = self.curves[self.mix.key], self.curves[capture.key]
        at = low + np.arange(round((high - low + 0.2) * WORK_HZ)) / WORK_HZ
        if capture is not self.mix:
            for curve in (here, there.turned()):
                at = _carried(curve, at)
        rate = capture.sound.sample_rate
        first = int((at[0] - _MARGIN_SECONDS) * rate)
        rows = capture.sound.floats(capture.tracks, first, int((at[-1] + _MARGIN_SECONDS) * rate))
        low_rate = soxr.resample(np.ascontiguousarray(rows.T), rate, WORK_HZ, quality="MQ").T
        places = (at - first / rate) * WORK_HZ
        return np.stack([read_along(np.ascontiguousarray(row), places, ROUGH_TAPS) for row in low_rate])

    def _went(self, share: float) -> None:
        if self._told is not None:
            size = sum(file["bytes"] for one in (self.mix, *self.others) for file in one.check["files"])
            self._told(Progress(int(size * share), size, time.monotonic() - self._began))


def _carried(curve: Curve, at: NDArray[np.float64]) -> NDArray[np.float64]:
    import numpy as np

    x, y = (np.array(column) for column in zip(*curve.nodes, strict=True))
    out = np.asarray(np.interp(at, x, y))
    for beyond, end, inner in ((at < x[0], 0, 1), (at > x[-1], -1, -2)):
        out[beyond] = y[end] + (at[beyond] - x[end]) * (y[end] - y[inner]) / (x[end] - x[inner])
    return out


def _of_all_sides(
    told: list[Unexplained], low: float, unsure: tuple[tuple[float, float], ...]
) -> Unexplained:
    """One answer for all tracks of the mix, in seconds of its capture; none where nothing holds its curve."""
    from core.album.sound.unexplained import Unexplained

    spans = sorted((a + low, b + low, share) for one in told for a, b, share in one.stretches)
    spans = [one for one in spans if not any(a < one[1] and one[0] < b for a, b in unsure)]
    out: list[tuple[float, float, float]] = []
    for first, last, share in spans:
        if out and first <= out[-1][1]:
            out[-1] = out[-1][0], max(last, out[-1][1]), max(share, out[-1][2])
        else:
            out.append((first, last, share))
    return Unexplained(min((one.floor for one in told), default=0.0), tuple(out))
