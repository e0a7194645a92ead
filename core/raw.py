"""Records that are looked at raw, since a shelf has thousands: their names as the file has them, for mypy.

Each stands beside the class that reads one whole: ``tests/logbook/test_raw.py`` holds that they agree.
"""

from __future__ import annotations

from typing import Any, TypedDict

#: A step that was begun, done or left out: ``core.logbook.steps.StepTaken``.
RawStep = TypedDict(
    "RawStep",
    {
        "kind": str,
        "subject": str,
        "planned": list[str],
        "state": str,
        "reels": list[str],
        "started": str,
        "finished": str,
        "because": str,
        "joints": int,
        "setup": dict[str, str],
        "full": bool,
        "calibration": str,
        "by": str,
        "deck": str,
        "passes": int,
        "segment": str,
        "not tonight": bool,
        "unseen": bool,
    },
    total=False,
)


class RawFinding(TypedDict, total=False):
    """One place that a check found: ``core.findings.Finding``."""

    kind: str
    track: int | None
    start: float
    end: float
    weight: str
    says: str
    other: int
    file: int
    feet: float
    size: float
    notes: list[str]


class RawFile(TypedDict, total=False):
    """One file of a check: ``core.findings.AudioFile``."""

    path: str
    sha256: str
    bytes: int
    container: str | None
    encoding: str | None
    sample_rate: int
    channels: int
    frames: int
    seconds: float
    state: str
    time_reference: int | None
    bext: dict[str, object] | None
    remarks: list[str]


class RawChannel(TypedDict, total=False):
    """What was measured of one channel: ``core.findings.ChannelMeasure``."""

    track: int
    file: int
    channel: int
    peak_dbfs: float | None
    true_peak_dbtp: float | None
    rms_dbfs: float | None
    dc: float
    clipped_samples: int
    zero_samples: int
    samples: int
    noise_floor_dbfs: float | None
    silent_head_seconds: float
    silent_tail_seconds: float
    silent_inside_seconds: float
    hiss_dbfs: float | None
    hiss_tilt_db: float | None


#: The speed of a pass: ``core.findings.SpeedFound``.
RawSpeed = TypedDict(
    "RawSpeed",
    {
        "percent": float | None,
        "cents": float | None,
        "from": str,
        "drift_percent": float | None,
        "flutter_percent": float | None,
        "flutter_weighting": str,
    },
    total=False,
)

#: What a check of captured files found: ``core.findings.Check``.
RawCheck = TypedDict(
    "RawCheck",
    {
        "reel": str,
        "verdict": str,
        "pass": int,
        "tracks": list[int],
        "seconds": float,
        "at": str | None,
        "program": str,
        "thresholds": dict[str, float | str],
        "files": list[RawFile],
        "channels": list[RawChannel],
        "findings": list[RawFinding],
        "timecode": list[dict[str, Any]],
        "speed": RawSpeed,
    },
    total=False,
)
