"""Tracks of which the sheet says that a tone plays, and what the tone tells about speed."""

from __future__ import annotations

import re

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import Windows
from core.capture.speed.flutter import WEIGHTED
from core.capture.speed.tone import ToneMeter
from core.capture.weighing.facts import ReelFacts
from core.values import dataclass

_TONE = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?)\s*(k?)\s*hz\b", re.IGNORECASE)


def tone_hertz(part: str) -> float | None:
    """The frequency that a part such as `1 kHz tone` names; none if it names none."""
    found = _TONE.search(part)
    if found is None or not re.search(r"\btones?\b", part, re.IGNORECASE):
        return None
    hertz = float(found.group(1).replace(",", ".")) * (1000 if found.group(2) else 1)
    return hertz if 20 <= hertz <= 20000 else None


@dataclass(frozen=True, slots=True)
class ToneSpeed:
    """What one track's tone tells."""

    ratio: float
    """Measured over nominal frequency."""
    seconds: float
    """How much of the pass it was heard."""
    drift_percent: float | None = None
    flutter_percent: float | None = None
    flutter_weighting: str = ""


class ToneTracks:
    """Listens to the tracks that carry a tone."""

    def __init__(self, history: History, reel: ReelFacts, tracks: tuple[int, ...]) -> None:
        self._unit = np.float32(history.scale.unit)
        self._hertz = {
            at: hertz for at, track in enumerate(tracks) if (hertz := tone_hertz(reel.sheet.get(track, "")))
        }
        self._meters = {at: ToneMeter(history.sample_rate, hertz) for at, hertz in self._hertz.items()}

    def __call__(self, windows: Windows) -> None:
        """Take the next group of the pass."""
        chunk = windows.chunk
        for channel, meter in self._meters.items():
            meter.feed(chunk.samples[channel, : chunk.frames] * self._unit)

    def found(self) -> list[ToneSpeed]:
        """One entry for each track on which its tone was heard; asked once, at the end of the pass."""
        found = []
        for channel, meter in self._meters.items():
            tone = meter.finish()
            if tone is not None:
                flutter = None if tone.flutter is None else tone.flutter.weighted_percent
                found.append(ToneSpeed(
                    tone.ratio(self._hertz[channel]), tone.seconds, tone.drift_percent,
                    flutter, "" if flutter is None else WEIGHTED,
                ))  # fmt: skip
        return found
