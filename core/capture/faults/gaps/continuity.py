"""A gap in the sound of one channel, looked at sample by sample: does the same sound go on after it?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.capture.faults.falls import FALL_DB
from core.capture.faults.gaps.beneath import left_over_db
from core.capture.faults.gaps.edges import Edges, find_edges
from core.capture.faults.gaps.partials import falls_by_itself, phase_across
from core.capture.measures.history import History
from core.capture.measures.likeness import equal_fall, is_tonal, means, spectra_alike
from core.values import dataclass

RATE = 24000
"""Sample rate at which a gap is looked at, about."""
SHORTEST_SECONDS, LONGEST_SECONDS = 0.005, 0.5
SIDE_SECONDS = 0.12
"""Sound that is looked at on either side."""
SAME_DB = 6.0
"""So much more than beside a gap may be left of the sound in it, by the filter that cancels it beside it."""
ALIKE, LIKELY = 0.5, 0.8
"""Likeness of the spectra on both sides from which it can be, and is likely, the same sound; 1 is equal."""
BEAT_SECONDS, BEAT_DB = 0.05, 9.0
"""Partials that beat leave gaps shorter than this, in which they would be hardly louder if they went on."""
CLEAR_DB = 6.0
"""A gap is lower by so much than anything beside it, unless the sound goes on in phase."""
_PREDICTABLE, _IN_PHASE = 0.12, 0.88
"""Turns by which partials may wander over a gap for their phase to tell anything; the phase that tells."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap with like sound on both sides, in frames of the pass."""

    channel: int
    start: int
    stop: int
    seconds: float
    depth_db: float
    bottom_db: float
    """Level of its quietest stretch, dB of full scale."""
    clear_db: float
    """By how much that is lower than any such stretch beside it."""
    even: bool
    """The level inside keeps within half of how deep it fell, and comes back no higher than it stays."""
    wild: bool
    """The level inside swings by as much as it fell, as where partials beat."""
    equal: bool
    """Noise that fell by as much in every band."""
    alike: float
    """Likeness of the spectra before and after, 0 to 1."""
    tonal: bool
    """A few partials hold most of the sound; otherwise it is noise and has no phase to go on in."""
    beneath: bool
    """The same sound goes on in the gap, only weaker."""
    phase: float
    """How well the partials after the gap are where those before it would have come to; 1 is in phase."""
    wander: float
    """Turns by which the partials may wander over the gap: if few, a break of phase is a note struck anew."""

    @property
    def predictable(self) -> bool:
        """Whether the partials before tell where those after should be."""
        return self.wander < _PREDICTABLE


def in_phase(gap: Gap) -> bool:
    """Whether the partials after a gap are where those before it would have come to."""
    return gap.predictable and gap.phase > _IN_PHASE and gap.alike > LIKELY


def examine(history: History, channel: int, first: int, last: int, offset: float, bottom_db: float,
            clear_db: float) -> Gap | None:  # fmt: skip
    """The gap between two windows of a channel; none if it is no fall and return of a like sound.

    `bottom_db` is the level of its quietest stretch, and `clear_db` how far that is below its surroundings.
    """
    down = max(1, history.sample_rate // RATE)
    rate, unit = history.sample_rate // down, history.scale.unit
    side, window = int(SIDE_SECONDS * rate), history.window // down
    origin = first * history.window - (side + window) * down
    sound = means(history.stretch(channel, origin, last * history.window + (side + window) * down), down)
    sound = (sound - offset) * unit

    def fits(seconds: float, depth_db: float) -> bool:
        return _fits(seconds, depth_db, clear_db)

    edges = find_edges(sound, side, len(sound) - side - window, rate, fits)
    if edges is None or (edges.wild and clear_db < FALL_DB):
        return None
    noise = unit**2 / 12 / down if unit < 1 else 0.0
    return _gap(sound, edges, _Place(channel, origin, down, rate, bottom_db, clear_db, noise))


def _fits(seconds: float, depth_db: float, clear_db: float) -> bool:
    """Whether a gap is as long and as deep as a dropout is."""
    if not SHORTEST_SECONDS - 0.0007 <= seconds <= LONGEST_SECONDS + 0.01:
        return False
    return depth_db >= FALL_DB - 2.0 and max(depth_db, clear_db) >= FALL_DB - 0.2


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a stretch of sound is from, and what is known of the gap in it."""

    channel: int
    origin: int
    """Frame of the pass at which it begins."""
    down: int
    """Frames of the pass in one of its samples."""
    rate: int
    bottom_db: float
    clear_db: float
    noise: float
    """Power that rounding to whole samples has left in it."""


def _gap(sound: np.ndarray, edges: Edges, place: _Place) -> Gap | None:
    """The gap with what its surroundings have in common; none if it belongs to the sound."""
    start, stop, side = edges.start, edges.stop, int(SIDE_SECONDS * place.rate)
    length = min(side, start, len(sound) - stop)
    if length < 0.4 * side:
        return None
    before, after, inside = sound[start - length : start], sound[stop : stop + length], sound[start:stop]
    alike = spectra_alike(before, after)
    if alike < ALIKE:
        return None
    tonal, beneath, equal, phase, wander = is_tonal(before), False, False, 0.0, 1.0
    if tonal:
        phase, wander = phase_across(before, after, stop - start)
    at = place.origin + start * place.down, place.origin + stop * place.down
    seconds = (stop - start) / place.rate
    gap = Gap(place.channel, *at, seconds, edges.depth_db, place.bottom_db, place.clear_db, edges.even,
              edges.wild, equal, alike, tonal, beneath, phase, wander)  # fmt: skip
    if place.clear_db < CLEAR_DB and not in_phase(gap):
        return None
    if not tonal:
        return replace(gap, equal=equal_fall(before, inside, after, place.rate))
    left, beside = left_over_db(sound, start, stop, place.rate, place.noise)
    gap = replace(gap, beneath=beside < -6 and left - beside <= SAME_DB)
    if (gap.beneath or phase > 0.8) and seconds < BEAT_SECONDS:
        by_itself = falls_by_itself(before, inside), falls_by_itself(after[::-1], inside[::-1])
        if min(by_itself) < BEAT_DB:
            return None
    return gap
