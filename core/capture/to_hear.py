"""Which places of a capture are worth hearing, each with what to call it."""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np
import soxr
from numpy.typing import NDArray

from core.capture.pieces.pass_sound import PassSound
from core.findings import Check, Finding
from core.values import dataclass

AROUND_SECONDS = 2.0
"""Heard before and after a place, so that the ear knows what plays: common practice."""
PLAYED_RATE = 48_000
"""Any player opens 16 bit at 44.1 or 48 kHz; what was captured faster is brought to this rate."""


@dataclass(frozen=True, slots=True)
class Place:
    """One place to hear: where in the pass, on which track (None: all, mixed), why, as a finding."""

    start: float
    end: float
    track: int | None
    other: int | None
    kind: str
    says: str
    finding: Finding


def places_to_hear(
    check: Check, notes: Iterable[tuple[float, str]] = (), count: int = 20
) -> tuple[Place, ...]:
    """The worst places of a check, worst first, then every timed note that lies at none of them.

    ``notes`` are seconds of the pass and words.
    """
    worst = check.listening_list(count)
    every = (*worst, *check.notes_apart(notes, count))
    return tuple(Place(one.start, one.end, one.track, one.other, one.kind, one.says, one) for one in every)


def heard_at(sound: PassSound, place: Place, first: int, last: int) -> tuple[NDArray[np.float32], int]:
    """Channels by frames from ``first`` on, and their rate: the tracks of the place, else the sum of all."""
    named = [track for track in (place.track, place.other) if track is not None and track in sound.tracks]
    heard = sound.floats(named or sound.tracks, first, last)
    if not named and len(heard) > 2:
        mixed = heard.sum(axis=0, keepdims=True)
        heard = mixed / max(1.0, float(np.abs(mixed).max()))
    if sound.sample_rate <= PLAYED_RATE:
        return np.clip(heard, -1, 1), sound.sample_rate
    slower = soxr.resample(heard.T, sound.sample_rate, PLAYED_RATE).T
    return np.clip(slower, -1, 1).astype(np.float32), PLAYED_RATE


def file_name(place: Place) -> str:
    """``dropout-track-3-at-12m05``."""
    track = f"-track-{place.track}" if place.track is not None else ""
    kind = re.sub(r"[^a-z]+", "-", place.kind.casefold()).strip("-") or "place"
    minutes, seconds = divmod(int(place.start), 60)
    return f"{kind}{track}-at-{minutes}m{seconds:02}"
