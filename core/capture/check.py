"""The check of one pass: one read, everything measured, held against the reel, and a verdict."""

from __future__ import annotations

import time
from collections.abc import Callable, Generator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from core.capture.against import (
    format_findings,
    length_findings,
    named_tracks,
    sheet_findings,
    track_findings,
    wanted_tracks,
)
from core.capture.beside import grain_findings, guide_findings, name_findings
from core.capture.course import course_of
from core.capture.files.layout import Layout, Piece, lay_out
from core.capture.files.pass_files import file_findings, file_value, headers_of
from core.capture.files.progress import Asked, Cancelled, Progress, Told, never
from core.capture.files.reading import Reading, Slab, fill_raised
from core.capture.files.samples import Planar, Scale
from core.capture.files.wave.header import Header
from core.capture.heard import heard_findings
from core.capture.measures.loud.levels import decibels
from core.capture.pieces.again import Again
from core.capture.pieces.joins import Junction, hole_finding, join_findings, join_pieces
from core.capture.scan import Scan
from core.capture.speed.pass_speed import speed_findings, speed_of
from core.capture.speed.tone_tracks import ToneTracks
from core.capture.steady.hiss import Hiss, hisses_of
from core.capture.timecode.code_tracks import CodeTracks, code_findings
from core.capture.told.along import strip_of
from core.capture.told.askew import askew_findings
from core.capture.told.clicks import click_findings
from core.capture.told.dull import dull_findings
from core.capture.told.hisses import hiss_findings
from core.capture.told.prints import print_findings
from core.capture.told.sags import sag_findings
from core.capture.told.splices import splice_findings
from core.capture.told.squeals import squeal_findings
from core.capture.told.stops import stop_findings
from core.capture.told.unmet import unmet_findings
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.capture.weighing.places import PassMaker
from core.capture.weighing.verdict import Thresholds, thresholds_with
from core.findings import ChannelMeasure, Check, Finding

__all__ = ["Cancelled", "Progress", "check_capture"]


def check_capture(reel_facts: ReelFacts, studio_facts: StudioFacts, files: Sequence[Path], *,
                  pass_number: int = 1, tracks: tuple[int, ...] | None = None,
                  thresholds: Mapping[str, float | str] | None = None, workers: int = 1,
                  progress: Told | None = None, cancelled: Asked | None = None,
                  block_frames: int | None = None) -> Check:  # fmt: skip
    """Measure the files of one pass of a reel and hold them against it.

    `progress` is told what was reached after every block, and once more at the end; `cancelled` is asked
    before every block, in either thread, and once it says yes Cancelled is raised here, every file being
    closed and nothing kept. Two workers read and hash in a thread of their own, look at what was
    measured in another, and read two places again at a time; more bring little. The result does not
    depend on workers or on `block_frames`. A file that cannot be read is part of the result; files are
    never changed.
    """
    way = _Way(progress, cancelled or never)
    table = thresholds_with(thresholds)
    paths = [Path(path) for path in files]
    headers, trouble = headers_of(paths)
    wanted = wanted_tracks(reel_facts, studio_facts, pass_number, tracks)
    layout = lay_out(headers, None if wanted is None else len(wanted))
    job = _Job(reel_facts, studio_facts, table, paths, headers, trouble, wanted, tracks is not None)
    if layout is None:
        return job.nothing(pass_number, way)
    return job.run(layout, pass_number, workers, way, block_frames)


@dataclass
class _Way:
    """How far the check has come, and whether it shall go on."""

    progress: Told | None
    cancelled: Asked
    began: float = field(default_factory=time.monotonic)
    done: float = 0.0
    total: int = 0

    def ask(self) -> None:
        """Raise Cancelled if the person wants to stop."""
        if self.cancelled():
            raise Cancelled

    def went(self, size: float) -> None:
        """So many bytes more were read and measured."""
        self.done += size
        self._tell(min(int(self.done), self.total - 1))

    def arrived(self) -> None:
        """All is measured."""
        self._tell(self.total)

    def _tell(self, done: int) -> None:
        if self.progress is not None:
            self.progress(Progress(max(0, done), self.total, time.monotonic() - self.began))


@dataclass
class _Job:
    """One check under way."""

    reel: ReelFacts
    studio: StudioFacts
    table: Thresholds
    paths: list[Path]
    headers: list[Header | None]
    trouble: dict[int, str]
    wanted: tuple[int, ...] | None
    tracks_given: bool

    def nothing(self, pass_number: int, way: _Way) -> Check:
        """The check of files of which none can be measured; they are hashed if they can be read."""
        reading = Reading(self.paths, self.headers, (), cancelled=way.cancelled)
        for _ in reading.slabs():
            pass
        make = PassMaker(self.reel, (), 1, 0, self.table)
        found = file_findings(make, self.headers, self.trouble, reading.feeds, self.paths, None)
        files = tuple(file_value(*one) for one in zip(self.paths, self.headers, reading.feeds, strict=True))
        return Check(self.reel.key, files, (), tuple(found), pass_number=pass_number)

    def run(self, layout: Layout, pass_number: int, workers: int, way: _Way,
            block_frames: int | None) -> Check:  # fmt: skip
        """Read and measure, then gather what was found."""
        way.ask()
        way.total = sum(header.bytes for header in self.headers if header is not None)
        layout, junctions = join_pieces(self.paths, self.headers, layout, self.table["join_hole"])
        skips = {junction.piece: junction.skip for junction in junctions}
        total = sum(piece.frames for piece in layout.pieces) - sum(skips.values())
        tracks = named_tracks(layout.channels, self.wanted, self.reel)
        scan, code, tones = self._listeners(layout, total, tracks, workers)
        size = block_frames or _block_frames(layout, self.headers)
        reading = Reading(self.paths, self.headers, layout.pieces, block_frames=size, workers=workers,
                          cancelled=way.cancelled)  # fmt: skip
        with closing(scan):
            self._listen(reading, scan, skips, way)
        code.finish()
        make = PassMaker(self.reel, tracks, layout.sample_rate, scan.history.written, self.table)
        found = file_findings(make, self.headers, self.trouble, reading.feeds, self.paths, layout)
        found += track_findings(make, layout.channels, self.wanted, named=self.tracks_given)
        found += format_findings(make, self.headers, self.studio)
        found += join_findings(junctions, make) + length_findings(make)
        found += sheet_findings(make, scan, code.code_channels())
        found += heard_findings(scan, make, code.code_channels()) + code_findings(code, make)
        found += _holes_by_code(code, junctions, make)
        by_code = [junction.at for junction in junctions if code.tells_at(junction.at)]
        found += unmet_findings(junctions, self.paths, self.headers, layout, make, by_code)
        joins, coded = _joined_at(junctions, make), code.code_channels()
        dull = dull_findings(scan, make, joins, coded)
        found += dull + askew_findings(scan, make, joins, coded) + splice_findings(scan, make, joins, coded)
        found += stop_findings(junctions, self.paths, self.headers, layout, make, coded, dull)
        again = Again(self.paths, self.headers, layout, junctions)
        found += print_findings(scan, make, again, coded, workers=workers)
        found += squeal_findings(scan, make, again, coded)
        hisses = hisses_of(scan.spectra.found(), coded)
        found += hiss_findings(hisses, make)
        found += click_findings(scan, make, coded, found)
        found += grain_findings(make, scan, self.headers)
        found += name_findings(make, self.paths, self.studio, pass_number)
        found += guide_findings(make, [str(path) for path in self.paths], self.studio)
        speed = speed_of(code.read, tones.found(), scan.hum.found())
        found += speed_findings(make, speed) + sag_findings(code, make)
        files = tuple(file_value(*one) for one in zip(self.paths, self.headers, reading.feeds, strict=True))
        order = sorted(found, key=lambda one: (one.start, one.end, one.kind, one.track or 0, one.other or 0))
        way.arrived()
        course = course_of(layout.sample_rate, make.seconds, tracks, code, scan)
        return Check(
            self.reel.key, files, _channels(scan, layout, tracks, hisses), tuple(order), code.found(tracks),
            speed, pass_number, tracks, make.seconds,
            strip=strip_of(scan, make, course, coded), course=course,
        )  # fmt: skip

    def _listen(self, reading: Reading, scan: Scan, skips: Mapping[int, int], way: _Way) -> None:
        """Hands the pass to the scan, block by block, without what a piece repeats of the one before."""
        sizes = [self._frame_size(piece) for piece in reading.pieces]
        with closing(_in_place(reading)) as slabs:
            for piece, start, slab in slabs:
                skip = max(0, min(slab.frames, skips.get(piece, 0) - start))
                scan.feed(slab.frames - skip, _filler(slab, self.headers, skip))
                way.went(slab.frames * sizes[piece])
                way.ask()
        scan.finish()

    def _frame_size(self, piece: Piece) -> float:
        """Bytes of its files to a frame of a piece, headers and compression shared out evenly."""
        size = sum(header.bytes for at in piece.files if (header := self.headers[at]) is not None)
        return size / max(1, piece.frames)

    def _listeners(
        self, layout: Layout, total: int, tracks: tuple[int, ...], workers: int
    ) -> tuple[Scan, CodeTracks, ToneTracks]:
        first = self.headers[layout.pieces[0].files[0]]
        assert first is not None
        scan = Scan(layout.channels, layout.sample_rate, Scale.of(first), total, workers=workers)
        code = CodeTracks(scan.history, self.reel, tracks)
        tones = ToneTracks(scan.history, self.reel, tracks)
        scan.listeners = (code, tones)
        return scan, code, tones


def _block_frames(layout: Layout, headers: Sequence[Header | None]) -> int:
    """Blocks of about 800 kB over all files that are read together stay in the processor's cache."""
    piece = layout.pieces[0]
    width = sum(header.frame_bytes for at in piece.files if (header := headers[at]) is not None)
    return int(max(2048, min(1 << 18, 1 << (800_000 // max(1, width)).bit_length() - 1)))


def _in_place(reading: Reading) -> Generator[tuple[int, int, Slab], None, None]:
    """Slabs with the number of their piece and the frame of it at which they start."""
    numbers = {id(piece): at for at, piece in enumerate(reading.pieces)}
    current, start = -1, 0
    with closing(reading.slabs()) as slabs:
        for slab in slabs:
            if numbers[id(slab.piece)] != current:
                current, start = numbers[id(slab.piece)], 0
            yield current, start, slab
            start += slab.frames


def _filler(slab: Slab, headers: Sequence[Header | None], skip: int) -> Callable[[int, Planar], None]:
    return lambda start, rows: fill_raised(slab, headers, start + skip, rows)


def _channels(
    scan: Scan, layout: Layout, tracks: tuple[int, ...], hisses: Mapping[int, Hiss]
) -> tuple[ChannelMeasure, ...]:
    levels, columns = scan.levels, layout.pieces[0].columns
    true_peaks = scan.true_peak.peak * scan.history.scale.unit
    silences = scan.loudness.silences()
    made = []
    for channel, track in enumerate(tracks):
        quietest = float(scan.loudness.quietest[channel])
        head, tail, inside = silences[channel]
        hiss = hisses.get(channel)
        made.append(ChannelMeasure(
            track, columns[channel].file, columns[channel].channel, decibels(float(levels.peak[channel])),
            decibels(max(float(true_peaks[channel]), float(levels.peak[channel]))),
            decibels(float(levels.rms[channel])), float(levels.dc[channel]), int(levels.clipped[channel]),
            int(levels.zeros[channel]), levels.frames,
            decibels(quietest) if quietest != float("inf") else None, head, tail, inside,
            None if hiss is None else round(hiss.dbfs, 2), None if hiss is None else round(hiss.tilt_db, 2),
        ))  # fmt: skip
    return tuple(made)


def _joined_at(junctions: Sequence[Junction], make: PassMaker) -> list[float]:
    """Seconds of the pass at which one piece goes on from another: heads may have been cleaned there."""
    return [junction.at / make.sample_rate for junction in junctions]


def _holes_by_code(code: CodeTracks, junctions: Sequence[Junction], make: PassMaker) -> list[Finding]:
    """Holes at junctions that no file clock told, but over which the timecode leaps ahead."""
    found: list[Finding] = []
    for junction in junctions:
        if junction.hole or (found and found[-1].start == junction.at / make.sample_rate):
            continue
        missing = code.missing_at(junction.at)
        if missing is not None:
            found.append(hole_finding(make, junction.at, missing, "the timecode"))
    return found
