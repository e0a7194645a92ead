"""A capture of a calibration tape held against a line-up sheet: readings, azimuth, the record to keep."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from statistics import median

import numpy as np

from core.capture.files.layout import lay_out
from core.capture.files.pass_files import headers_of, one_line
from core.capture.files.reading import Reading, fill_planar
from core.capture.files.samples import Scale
from core.capture.lineup.lineup_recording import (
    LineUpMeter,
    RecordedAzimuth,
    RecordedLineUp,
    RecordedTone,
    azimuth_of,
)
from core.errors import Refused, Unusable
from core.lineup.line import Line
from core.lineup.record import LineupRecord, ToneReading, When
from core.lineup.sheet import LineupSheet
from core.values import dataclass

SAME_TONE = 0.05
"""A tone belongs to a line whose frequency is no further off than this; tape speed is well within."""
SINE_DB = 10 * math.log10(2)
"""A full-scale sine is 0 dB full scale here (AES17), its RMS 3.01 dB lower."""


@dataclass(frozen=True, slots=True)
class CapturedLineUp:
    """A capture held against its sheet."""

    sheet: LineupSheet
    record: LineupRecord
    when: When
    zero_dbfs: float
    """The level in dB full scale that was counted as the operating level."""
    zero_told: bool
    """False where it was taken from the middle track at 1 kHz: then only differences are measured."""
    azimuth: RecordedAzimuth | None
    apart_mm: float
    unheard: tuple[float, ...]
    """Frequencies of the sheet that were not in the capture, Hz."""


def hear_line_up(files: Sequence[Path], tracks: int) -> RecordedLineUp:
    """The tones of a capture, read once in blocks; Unusable or Refused where none can be had."""
    headers, trouble = headers_of(files)
    for at, says in trouble.items():
        raise Unusable(f"{one_line(files[at])} {says}")
    layout = lay_out(headers, tracks)
    if layout is None or layout.left_out or layout.channels != tracks:
        have = layout.channels if layout else 0
        raise Refused(
            f"{one_line(files[0])}: {have} channels fit together, the line-up is of {tracks} tracks"
        )
    first = headers[layout.pieces[0].files[0]]
    assert first is not None
    scale = Scale.of(first)
    meter = LineUpMeter(layout.sample_rate, tracks)
    reading = Reading(files, headers, layout.pieces)
    for slab in reading.slabs():
        rows = np.zeros((tracks, slab.frames), scale.dtype)
        fill_planar(slab, headers, 0, rows)
        meter.feed(np.nan_to_num(rows * np.float32(scale.unit)).astype(np.float32, copy=False))
    for path, feed in zip(files, reading.feeds, strict=True):
        if feed.trouble:
            raise Unusable(f"{one_line(path)} broke off while it was read: {feed.trouble}")
    heard = meter.finish()
    if not heard.tones:
        raise Refused(
            f"{one_line(files[0])}: no tones found: capture the calibration tape's tones on all tracks"
        )
    return heard


def captured_line_up(
    sheet: LineupSheet,
    heard: RecordedLineUp,
    at: datetime,
    *,
    apart_mm: float,
    zero_dbfs: float | None = None,
    when: When = "before",
) -> CapturedLineUp:
    """The tones as readings of the sheet's lines; Refused where no tone is at 1 kHz.

    `zero_dbfs` is what the operating level makes in the files (a full-scale sine is 0); None takes the middle
    track at 1 kHz as right. A tone that comes more than once is read where it comes first.
    """
    assert sheet.setup.speed is not None
    level = next(line for line in sheet.lines if line.key.startswith("level-") and line.unit)
    base = _tone(heard, level.hz)
    there = [one for one in base.levels_dbfs if one is not None] if base else []
    if not there:
        raise Refused("no tone at 1 kHz in the capture: levels cannot be read without it")
    zero = zero_dbfs if zero_dbfs is not None else median(there) + SINE_DB - (level.expected or 0.0)
    azimuth = azimuth_of(heard, apart_mm, float(sheet.setup.speed.number))
    readings: list[ToneReading] = []
    unheard: list[float] = []
    for line in sheet.lines:
        tone = _tone(heard, line.hz) if line.unit else None
        if tone is not None:
            readings += _readings(line, tone, zero, azimuth, when)
        elif line.unit and line.hz is not None:
            unheard.append(line.hz)
    note = "measured from a capture" + (
        "" if zero_dbfs is not None else "; level counted from the middle track"
    )
    if azimuth is not None:
        note += f"; azimuth {azimuth.minutes:+.2f}' of arc" + (
            "" if azimuth.sure else ", a turn more may fit"
        )
    record = LineupRecord(
        at,
        sheet.deck,
        sheet.setup.words(),
        sheet.choice,
        sheet.calibration,
        readings=tuple(readings),
        note=note,
    )
    missing = tuple(sorted(set(unheard)))
    return CapturedLineUp(sheet, record, when, zero, zero_dbfs is not None, azimuth, apart_mm, missing)


def _tone(heard: RecordedLineUp, hz: float | None) -> RecordedTone | None:
    """The first tone at that frequency."""
    if hz is None:
        return None
    return next((tone for tone in heard.tones if abs(math.log(tone.hz / hz)) < SAME_TONE), None)


def _readings(
    line: Line, tone: RecordedTone, zero: float, azimuth: RecordedAzimuth | None, when: When
) -> list[ToneReading]:
    if line.unit == "°":
        phase = dict(azimuth.phases).get(tone.hz, tone.phase_degrees) if azimuth else tone.phase_degrees
        return [] if phase is None or abs(phase) >= 1000 else [ToneReading(line.key, 0, phase, when)]
    return [
        ToneReading(line.key, track, level + SINE_DB - zero, when)
        for track, level in enumerate(tone.levels_dbfs, 1)
        if level is not None
    ]
