"""What a check keeps of a pass's time: frames of timecode, speed along the way, levels in bands."""

from __future__ import annotations

import numpy as np

from core.album.course import CodeCourse, Course, SpeedCourse
from core.capture.scan import Scan
from core.capture.timecode.code_tracks import CodeTracks
from core.capture.timecode.labels import rate_named

_SPEED_SECONDS = 1.0
"""Speed along the pass is told once a second."""


def course_of(
    sample_rate: int, seconds: float, tracks: tuple[int, ...], code: CodeTracks, scan: Scan
) -> Course:
    """The course of the pass that these have heard to its end."""
    codes = code_courses(code, tracks)
    speeds = tuple(speed for one in codes if (speed := speed_of_code(one, sample_rate)) is not None)
    return Course(sample_rate, seconds, tracks, codes, speeds, scan.band_levels.found())


def code_courses(code: CodeTracks, tracks: tuple[int, ...]) -> tuple[CodeCourse, ...]:
    """Every track of timecode of which frames were read."""
    found = []
    for channel, read in sorted(code.read.items()):
        if read.places is None or read.counted is None or read.run_of is None or not read.frames_read:
            continue
        rate = rate_named(read.rate)
        found.append(CodeCourse(
            tracks[channel], rate.name, rate.frames_per_second, read.places, read.counted, read.run_of
        ))  # fmt: skip
    return tuple(found)


def speed_of_code(code: CodeCourse, sample_rate: int) -> SpeedCourse | None:
    """Clock time over time of the pass, about once a second, wherever the clock went on."""
    steps, same = np.diff(code.places), np.diff(code.run) == 0
    clock = np.where(same, np.abs(np.diff(code.clock())), 0.0)
    lengths = np.where(same, steps, 0.0) / sample_rate
    if not same.any():
        return None
    window = np.maximum(code.places[:-1] / sample_rate // _SPEED_SECONDS, 0).astype(np.int64)
    told, took = np.bincount(window, clock), np.bincount(window, lengths)
    middle = np.bincount(window, lengths * (code.places[1:] + code.places[:-1]) / 2 / sample_rate)
    good = np.flatnonzero(took > _SPEED_SECONDS / 5)
    return SpeedCourse("timecode", code.track, middle[good] / took[good], told[good] / took[good])
