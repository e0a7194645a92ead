"""How fast the pass plays: by timecode, else by a recorded tone, else by mains hum."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from core.capture.faults.hum import Hum
from core.capture.speed.tone_tracks import ToneSpeed
from core.capture.timecode.runs import TimecodeTrack
from core.capture.weighing.places import PassMaker
from core.findings import Finding, SpeedFound

_FEWEST_FRAMES = 25


def speed_of(
    code: Mapping[int, TimecodeTrack], tones: Sequence[ToneSpeed], hums: Sequence[Hum]
) -> SpeedFound:
    """The speed by the best witness: timecode before tone before hum; nothing if there is none."""
    tracks = [track for track in code.values() if track.speed_ratio and track.frames_read >= _FEWEST_FRAMES]
    tone = max(tones, key=lambda one: one.seconds, default=None)
    if tracks:
        track = max(tracks, key=lambda one: one.frames_read)
        assert track.speed_ratio is not None
        return _found(track.speed_ratio, "timecode", _drift(track), tone)
    if tone is not None:
        return _found(tone.ratio, "tone", tone.drift_percent, tone)
    if hums:
        hum = max(hums, key=lambda one: one.level_dbfs)
        return _found(hum.measured_hz / hum.mains_hz, "hum", None, None)
    return SpeedFound()


def _found(ratio: float, source: str, drift: float | None, tone: ToneSpeed | None) -> SpeedFound:
    return SpeedFound(
        100 * (ratio - 1), float(1200 * np.log2(ratio)), source, drift,
        None if tone is None else tone.flutter_percent, "" if tone is None else tone.flutter_weighting,
    )  # fmt: skip


def _drift(track: TimecodeTrack) -> float | None:
    """Speed of the last tenth of the pass less that of the first, in percent."""
    over_time = [ratio for _, ratio in track.speed_over_time]
    if len(over_time) < 4:
        return None
    end = max(1, len(over_time) // 10)
    return 100 * float(np.mean(over_time[-end:]) - np.mean(over_time[:end]))


def speed_findings(make: PassMaker, speed: SpeedFound) -> list[Finding]:
    """A finding if the pass plays too fast or too slow."""
    if speed.percent is None or speed.cents is None or abs(speed.percent) < make.thresholds["speed"]:
        return []
    how = "fast" if speed.percent > 0 else "slow"
    says = (f"The pass plays {abs(speed.percent):.2f} % {how} by its {speed.source}, "
            f"{speed.cents:+.1f} cents; at 1/{1 + speed.percent / 100:.5f} of its speed it is "
            "right.")  # fmt: skip
    return [make.whole("speed", None, says, size=abs(speed.percent))]
