"""Seeded captures written to a file, checked, and what was found held against what was put in."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
from capturedfaults import Fault, put_faults
from capturedmaterial import MATERIAL

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Check, Finding

NEAR_SECONDS = 0.02
"""A finding is at a fault's place if it comes within this of it."""


@dataclass(frozen=True, slots=True)
class Capture:
    """A capture to be made: which tracks, how long, in which format, and how often a fault."""

    seed: int
    tracks: tuple[str, ...]
    seconds: float
    rate: int = 48000
    subtype: str = "PCM_24"
    every_seconds: float = 0.0
    """Seconds from fault to fault on a track; 0 for none."""
    hiss_db: float = -66.0

    @property
    def channel_hours(self) -> float:
        """Hours of sound over all tracks."""
        return len(self.tracks) * self.seconds / 3600


def make(capture: Capture) -> tuple[np.ndarray, list[Fault]]:
    """The sound, tracks by frames, and the faults in it."""
    frames = int(capture.seconds * capture.rate)
    sound = np.zeros((len(capture.tracks), frames), np.float32)
    faults: list[Fault] = []
    for number, name in enumerate(capture.tracks, 1):
        dice = np.random.default_rng((capture.seed, number))
        track = sound[number - 1]
        track += MATERIAL[name](dice, capture.rate, frames).astype(np.float32)
        track += np.float32(10 ** (capture.hiss_db / 20)) * dice.standard_normal(frames, dtype=np.float32)
        np.clip(track, -0.95, 0.95, out=track)
        if capture.every_seconds:
            faults += put_faults(track, number, capture.rate, capture.every_seconds, dice)
    return sound, faults


def write(path: Path, sound: np.ndarray, rate: int, subtype: str) -> Path:
    """The sound as a WAV file."""
    soundfile.write(path, sound.T, rate, subtype=subtype, format="WAV")
    return path


def checked(path: Path) -> Check:
    """The check of one file, of which the shelf knows nothing."""
    return check_capture(ReelFacts("R"), StudioFacts(), [path])


@dataclass(slots=True)
class Score:
    """Counts by kind, over any number of captures."""

    put: dict[str, int] = field(default_factory=partial(defaultdict, int))
    found: dict[str, int] = field(default_factory=partial(defaultdict, int))
    true: dict[str, int] = field(default_factory=partial(defaultdict, int))
    """Findings of a kind at the place of such a fault."""
    false: dict[str, int] = field(default_factory=partial(defaultdict, int))
    false_on: dict[tuple[str, str], int] = field(default_factory=partial(defaultdict, int))
    """By material and kind."""
    hours: float = 0.0
    hours_on: dict[str, float] = field(default_factory=partial(defaultdict, float))
    notes: int = 0
    """Dropouts and clicks at no fault's place that were told as notes."""
    lines: list[str] = field(default_factory=list)
    """A line for every fault that was missed and every false finding."""

    def add(self, capture: Capture, faults: Sequence[Fault], findings: Iterable[Finding]) -> None:
        """Count one capture in."""
        findings = list(findings)
        self.hours += capture.channel_hours
        for name in capture.tracks:
            self.hours_on[name] += capture.seconds / 3600
        real = [fault for fault in faults if not fault.decoy]
        for fault in real:
            self.put[fault.kind] += 1
            hit = any(one.kind == fault.kind and meets(one, fault) for one in findings)
            self.found[fault.kind] += hit
            if not hit:
                name = capture.tracks[fault.track - 1]
                self.lines.append(f"missed {fault.kind} on {name} (seed {capture.seed}, track {fault.track}) "
                                  f"at {fault.start:.3f} s: {fault.what}")  # fmt: skip
        for one in findings:
            if any(_explains(fault, one) and meets(one, fault) for fault in real):
                self.true[one.kind] += 1
                continue
            if one.kind in ("dropout", "click") and one.weight == "note":  # it costs nobody anything
                self.notes += 1
                continue
            self.false[one.kind] += 1
            name = "pass" if one.track is None else capture.tracks[one.track - 1]
            self.false_on[name, one.kind] += 1
            near = [fault for fault in faults if meets(one, fault)]
            beside = f"; there: {near[0].kind} {near[0].what}" if near else ""
            self.lines.append(f"false {one.kind} on {name} (seed {capture.seed}, track {one.track}) "
                              f"{one.start:.3f}-{one.end:.3f} s: {one.says}{beside}")  # fmt: skip

    def join(self, other: "Score") -> None:
        """Count another's in."""
        for name in ("put", "found", "true", "false", "false_on", "hours_on"):
            for key, count in getattr(other, name).items():
                getattr(self, name)[key] += count
        self.hours += other.hours
        self.notes += other.notes
        self.lines += other.lines

    @property
    def false_an_hour(self) -> float:
        """False findings of any kind per channel-hour."""
        return sum(self.false.values()) / max(self.hours, 1e-9)

    def table(self) -> str:
        """Recall, precision and false findings by kind, as a table of text."""
        rows = [
            "| kind | put in | found | recall | precision | false per channel-hour |",
            "|---|---|---|---|---|---|",
        ]
        for kind in sorted({*self.put, *self.false}):
            told = self.true[kind] + self.false[kind]
            recall = f"{100 * self.found[kind] / self.put[kind]:.1f} %" if self.put[kind] else "–"
            precision = f"{100 * self.true[kind] / told:.1f} %" if told else "–"
            rate = self.false[kind] / max(self.hours, 1e-9)
            rows.append(
                f"| {kind} | {self.put[kind]} | {self.found[kind]} | {recall} | {precision} | {rate:.2f} |"
            )
        return "\n".join(rows)


def meets(finding: Finding, fault: Fault) -> bool:
    """Whether a finding stands at a fault's place on its track."""
    near = finding.start < fault.end + NEAR_SECONDS and finding.end > fault.start - NEAR_SECONDS
    return near and finding.track in (fault.track, None)


def _explains(fault: Fault, finding: Finding) -> bool:
    """A zero run may be a dropout too; otherwise the kind must be the fault's own."""
    return finding.kind == fault.kind or (fault.kind, finding.kind) == ("zero run", "dropout")
