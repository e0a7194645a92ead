"""What a check of captured files found: plain values, their JSON, and the verdict they add up to."""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, replace
from datetime import datetime
from itertools import islice
from typing import TYPE_CHECKING, Any

from core.as_json import as_json, named, read
from core.values import dataclass

if TYPE_CHECKING:
    from core.album.course import Course

WEIGHTS = ("note", "remark", "fail")
"""From light to heavy: nobody need act; look or listen; capture again."""

VERDICTS = {"note": "pass", "remark": "remarks", "fail": "fail"}

STATES = ("whole", "cut short", "size field wrong", "unreadable")

KINDS = (
    "clipping", "dropout", "zero run", "repeat", "silence", "sound", "hum", "dc", "copy", "polarity",
    "short", "long", "channels", "format", "join", "cut short", "size field", "timecode gap",
    "timecode jump", "speed",
    "dull", "one side", "sag", "splice", "click", "stop", "askew", "print-through", "wow",
    "squeal", "whine", "hiss",
    "unreadable", "flat tops", "reversed", "same file", "depth", "timecode", "name", "guide", "header",
)  # fmt: skip
"""Kinds of finding; the first twenty are the usual ones, the rest come up now and then."""


@dataclass(frozen=True, slots=True)
class AudioFile:
    """One captured file as it was on the disk when it was read."""

    path: str
    sha256: str | None
    """Hex digest of all its bytes; none if it could not be read to the end."""
    bytes: int
    container: str | None
    """WAV, RF64, BW64, FLAC or AIFF; none if unreadable."""
    encoding: str | None
    """PCM_16, PCM_24, PCM_32, FLOAT, DOUBLE ..."""
    sample_rate: int
    channels: int
    frames: int
    """Whole frames that are really there."""
    seconds: float
    state: str
    time_reference: int | None = None
    """Samples since midnight from `bext`; none without that chunk."""
    bext: Mapping[str, object] | None = None
    """The other fields of `bext` that hold something, by their usual names."""
    remarks: tuple[str, ...] = ()
    """What else is odd about the file, a sentence each."""

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"state of {self.path!r} must be one of {', '.join(STATES)}, not {self.state!r}")


@dataclass(frozen=True, slots=True)
class ChannelMeasure:
    """Levels of one track over the whole pass; decibels are none where the level is minus infinity."""

    track: int
    file: int
    """Index of the first file that carries the track."""
    channel: int
    peak_dbfs: float | None
    true_peak_dbtp: float | None
    rms_dbfs: float | None
    dc: float
    clipped_samples: int
    zero_samples: int
    samples: int = 0
    noise_floor_dbfs: float | None = None
    """RMS of the quietest stretches that are not digital silence; none if there is none."""
    silent_head_seconds: float = 0.0
    silent_tail_seconds: float = 0.0
    silent_inside_seconds: float = 0.0
    hiss_dbfs: float | None = None
    """RMS from 1.44 to 16 kHz where nothing is played; none if the track never rests."""
    hiss_tilt_db: float | None = None
    """Its treble (7 to 16 kHz) against its middle (1.44 to 3.6 kHz), a hertz; white noise has 0."""


NOTE_SECONDS = 2.0
"""A note so near to a place is about it."""
_GOES_ON = ("dull", "one side", "squeal")
"""What all that comes after suffers from: it is listened to before what is over in a moment."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found, with its place in the pass and what it weighs."""

    kind: str
    track: int | None
    """Counted from 1; none for a finding about the whole pass."""
    start: float
    """Seconds from the start of the pass."""
    end: float
    """Seconds, exclusive."""
    weight: str
    says: str
    """One sentence for the person at the machine."""
    other: int | None = field(default=None, metadata=named(quiet=True))
    """The second track of a finding about two."""
    file: int | None = field(default=None, metadata=named(quiet=True))
    """Index of the file it is about, where it is about one."""
    feet: float | None = None
    """Feet of tape from the start of the pass to `start`, where the tape speed is known."""
    size: float = 0.0
    """How bad within its kind, for the order of the listening list; bigger is worse."""
    notes: tuple[str, ...] = field(default=(), metadata=named(quiet=True))
    """Timed notes that were dropped while this place played."""

    def __post_init__(self) -> None:
        if self.weight not in WEIGHTS:
            raise ValueError(f"weight must be one of {', '.join(WEIGHTS)}, not {self.weight!r}")
        if self.end < self.start:
            raise ValueError(f"{self.kind} ends at {self.end} s, before its start at {self.start} s")

    def with_notes(self, notes: tuple[str, ...]) -> Finding:
        """The same finding, with the notes that were dropped at its place."""
        return replace(self, notes=notes)


@dataclass(frozen=True, slots=True)
class TimecodeRunFound:
    """A stretch of timecode on one straight line: seconds = at zero + per sample x sample."""

    start_sample: int
    end_sample: int
    first: str
    last: str
    seconds_at_zero: float
    """Clock time that the line gives for sample 0 of the pass, modulo one day."""
    seconds_per_sample: float
    """Negative where the code runs backwards."""
    residual_samples: float


@dataclass(frozen=True, slots=True)
class TimecodeFound:
    """Linear timecode that was read on one track."""

    track: int
    rate: str
    """24, 25, 29.97, 29.97 DF or 30."""
    direction: str
    """forward or reverse."""
    frames_read: int
    frames_inferred: int
    runs: tuple[TimecodeRunFound, ...] = ()


@dataclass(frozen=True, slots=True)
class SpeedFound:
    """How fast the pass plays against what is recorded on the tape; positive is fast."""

    percent: float | None = None
    cents: float | None = None
    source: str = field(default="nothing", metadata=named("from"))
    """tone, hum, timecode or nothing."""
    drift_percent: float | None = None
    """Speed at the end less speed at the start."""
    flutter_percent: float | None = None
    """Wow and flutter of a tone, two-sigma, as plus or minus this much."""
    flutter_weighting: str = ""
    """weighted or unweighted; empty without a tone."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Level of every track along the pass, for pictures: a peak and an RMS byte a column."""

    seconds: float
    """Length of the pass."""
    tracks: tuple[int, ...]
    columns: int
    peaks: tuple[bytes, ...]
    """A row a track; each byte is the half decibels below full scale, 255 for silence."""
    rms: tuple[bytes, ...]
    """As `peaks`, of the RMS."""
    treble: tuple[bytes, ...] = ()
    """Treble against the middle of the same track: 128 is what is usual of that track, a step half a decibel,
    255 where nothing tells; none where a check of an older kind kept none."""
    along: tuple[tuple[float, float | None, float | None], ...] = ()
    """Equal parts of the pass: seconds of its middle, percent of speed, and the spacing in micrometres that
    treble stands for against the first of them; none where nothing tells."""

    def __post_init__(self) -> None:
        rows, sets = (*self.peaks, *self.rms, *self.treble), 3 if self.treble else 2
        if len(rows) != sets * len(self.tracks) or any(len(row) != self.columns for row in rows):
            raise ValueError("a strip needs one peak and one rms row a track, all of the same columns")

    @property
    def speeds(self) -> dict[float, float]:
        """Percent of speed by the middle of a part of the pass, where it is told."""
        return {at: percent for at, percent, _ in self.along if percent is not None}

    @property
    def spacings(self) -> dict[float, float]:
        """Micrometres that treble stands for by the middle of a part of the pass, where it tells anything."""
        return {at: lost for at, _, lost in self.along if lost is not None}

    def levels(self, row: bytes) -> list[float | None]:
        """Decibels (full scale 0) of one row of `peaks` or `rms`; none is silence."""
        return [None if byte == 255 else -byte / 2 for byte in row]

    def to_json(self) -> dict[str, object]:
        """As a JSON object; the rows are deflated and in base 64."""
        rows = b"".join((*self.peaks, *self.rms, *self.treble))
        packed = base64.b64encode(zlib.compress(rows, 6)).decode("ascii")
        made = {"seconds": self.seconds, "tracks": list(self.tracks), "columns": self.columns, "rows": packed}
        more = {"along": [list(one) for one in self.along]} if self.along else {}
        return {**made, **({"treble": True} if self.treble else {}), **more}

    @classmethod
    def from_json(cls, value: Mapping[str, Any]) -> Strip:
        """The inverse of `to_json`."""
        tracks = tuple(int(track) for track in value["tracks"])
        columns, sets = int(value["columns"]), 3 if value.get("treble") else 2
        size = sets * columns * len(tracks)
        rows = zlib.decompressobj().decompress(base64.b64decode(value["rows"]), size + 1)
        if len(rows) != size:
            raise ValueError(f"strip holds {len(rows)} bytes, not {size}")
        cut = [rows[at * columns : (at + 1) * columns] for at in range(sets * len(tracks))]
        peaks, rms, treble = (tuple(cut[at * len(tracks) : (at + 1) * len(tracks)]) for at in range(3))
        along = tuple((float(at), speed, spacing) for at, speed, spacing in value.get("along", ()))
        return cls(float(value["seconds"]), tracks, columns, peaks, rms, treble, along)


def heaviest(findings: Iterable[Finding]) -> str:
    """The weight of the heaviest finding; `note` if there is none."""
    return max((finding.weight for finding in findings), key=WEIGHTS.index, default="note")


def verdict_of(findings: Iterable[Finding]) -> str:
    """pass, remarks or fail: that of the heaviest finding."""
    return VERDICTS[heaviest(findings)]


@dataclass(frozen=True, slots=True)
class Check:
    """Everything that one check of one pass of one reel found."""

    reel: str
    files: tuple[AudioFile, ...]
    channels: tuple[ChannelMeasure, ...] = ()
    findings: tuple[Finding, ...] = ()
    timecode: tuple[TimecodeFound, ...] = ()
    speed: SpeedFound = field(default_factory=SpeedFound)
    pass_number: int = 1
    tracks: tuple[int, ...] = ()
    """The tracks that this pass carries, counted from 1."""
    seconds: float = 0.0
    """Length of the pass; an overlap of pieces counts once."""
    at: datetime | None = None
    """When it was checked; set by whoever keeps the check."""
    program: str = ""
    """The version of this program that measured; set as `at` is."""
    thresholds: Mapping[str, float | str] = field(default_factory=dict)
    """Every threshold and weight that it was judged by, so that it can be reckoned again; set as `at` is."""
    strip: Strip | None = field(default=None, compare=False)
    """For pictures; kept in a file of its own and not part of the JSON."""
    course: Course | None = field(default=None, compare=False, repr=False)
    """Frames of timecode, speed and levels along the pass; kept as `strip` is, and not part of the JSON."""

    @property
    def verdict(self) -> str:
        """pass, remarks or fail; a check that could measure nothing fails."""
        return verdict_of(self.findings) if self.measured else "fail"

    @property
    def measured(self) -> bool:
        """Whether anything at all could be measured."""
        return bool(self.channels)

    def listening_list(self, count: int = 20) -> tuple[Finding, ...]:
        """The worst places to listen to, worst first: heavier before lighter, what goes on from there before
        what is over at once, then by size.

        Findings about the whole pass or a whole track are no places and are left out, and of places
        closer than half a second to one another on a track only the worst is listed.
        """
        return tuple(islice(places_worst_first(self.findings, self.seconds), count))

    def notes_apart(self, notes: Iterable[tuple[float, str]], count: int = 20) -> tuple[Finding, ...]:
        """Your notes (seconds, words) that lie at none of those places, as places of their own, in order.

        A note is dropped a moment after what it is about was heard.
        """
        worst = self.listening_list(count)
        return tuple(
            Finding("note", None, at, at, "note", words)
            for at, words in notes
            if 0 <= at <= self.seconds
            and not any(one.start - NOTE_SECONDS <= at <= one.end + NOTE_SECONDS for one in worst)
        )

    def kept(self, at: datetime, strip: Strip | None = None) -> Check:
        """The same check as it is kept: with its moment, without its course, with another strip or none."""
        return replace(self, at=at, strip=strip, course=None)

    def to_json(self) -> dict[str, object]:
        """As the JSON document of `check --json`, plus `pass`, `tracks`, `seconds` and `at`."""
        return {
            "reel": self.reel, "verdict": self.verdict,
            "pass": self.pass_number, "tracks": list(self.tracks), "seconds": self.seconds,
            "at": None if self.at is None else self.at.isoformat(),
            "program": self.program, "thresholds": dict(self.thresholds),
            "files": [as_json(file) for file in self.files],
            "channels": [as_json(channel) for channel in self.channels],
            "findings": [as_json(finding) for finding in self.findings],
            "timecode": [as_json(timecode) for timecode in self.timecode],
            "speed": as_json(self.speed),
        }  # fmt: skip

    @classmethod
    def from_json(cls, value: Mapping[str, Any]) -> Check:
        """The inverse of `to_json`; ValueError, TypeError or KeyError on anything else."""
        at = value.get("at")
        return cls(
            reel=read(str, value["reel"]),
            files=read(tuple[AudioFile, ...], value["files"]),
            channels=read(tuple[ChannelMeasure, ...], value["channels"]),
            findings=read(tuple[Finding, ...], value["findings"]),
            timecode=read(tuple[TimecodeFound, ...], value["timecode"]),
            speed=read(SpeedFound, value["speed"]),
            pass_number=int(value.get("pass", 1)), tracks=tuple(int(one) for one in value.get("tracks", ())),
            seconds=float(value.get("seconds", 0.0)),
            at=None if at is None else datetime.fromisoformat(at),
            program=str(value.get("program", "")), thresholds=dict(value.get("thresholds", {})),
        )  # fmt: skip


def places_worst_first(findings: Iterable[Finding], seconds: float) -> Iterator[Finding]:
    """The places of a pass of so many seconds that ask for an ear, as `Check.listening_list` has them."""
    places = (one for one in findings if one.end > one.start and not (one.start <= 0 and one.end >= seconds))
    order = sorted(
        places, key=lambda one: (-WEIGHTS.index(one.weight), one.kind not in _GOES_ON, -one.size, one.start)
    )
    listed: list[Finding] = []
    for finding in order:
        if not any(heard_in_one(finding, other) for other in listed):
            listed.append(finding)
            yield finding


def heard_in_one(one: Finding, other: Finding) -> bool:
    """True for two places of one track that are heard in one go."""
    return one.track == other.track and abs(one.start - other.start) < 0.5
