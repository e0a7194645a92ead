"""Whether a gap is a dropout or played: a rest, a note struck anew, a tremolo, a gate.

The same sound beneath a gap, or partials that go on in phase across it, tell that the sound went on. Where
neither can be told, the channel's other falls are its habits.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from operator import attrgetter

import numpy as np

from core.capture.faults.falls import FALL_DB, LIKE_DB, Fall
from core.capture.faults.gaps.beneath import ORDER, SLOW_HZ
from core.capture.faults.gaps.continuity import LIKELY, Gap, in_phase

_CLEARLY_DB, _CLEAR_NOISE_DB = 14.0, 8.5
"""A gap is lower by so much than anything beside it where nothing but the level tells: in tonal sound, and in
noise."""
_LIKELY_NOISE = 0.6
"""Likeness of noise on both sides where little else tells that it goes on."""
_STEADY = 0.03
"""Turns by which partials may wander over a gap for their phase to be proof."""
_CLOSELY_IN_PHASE, _SURELY_IN_PHASE = 0.95, 0.998
_PROOF_SECONDS = 2 * ORDER / SLOW_HZ
"""In a shorter gap the filter that cancels has too little sound to prove what lies beneath."""
_SURELY_DB = 20.0
"""A gap that is lower by so much than anything beside it is more than a level that wanders."""
_RESTLESS = 32
"""So many falls of any kind within 5 s are a level that wanders without rest."""
_RESTS, _NEAR_SECONDS = 4, 5.0
"""So many falls to a like level so near are rests, where nothing tells that the sound went on."""
_HABIT, _HABIT_SECONDS = 8, 120.0
"""So many falls as low and as long within so long are how the channel is played."""
_SHORT_REST = 0.02
"""Rests between notes are hardly ever shorter."""
_ABOVE_DB = 10.0
"""A gap is no rest if its level is so much above that of the rests about it, or below it."""
_OFTEN, _OFTEN_SECONDS = 6, 2.5
"""So many like gaps so near are a tremolo or a gate, whatever goes on beneath."""


def goes_on(gap: Gap, falls: Sequence[Fall], rate: int) -> bool:
    """Whether a gap hides a sound that went on, and is no rest between notes.

    The same sound beneath it tells that at once. A note that is struck again starts with a phase of its
    own. Where phase tells nothing, as in noise and with vibrato, a channel that falls as low or as long
    again and again has rests.
    """
    told = in_phase(gap)
    if gap.beneath and (gap.alike >= LIKELY or not gap.wild):
        return told or _shown_beneath(gap, falls, gap.start / rate)
    if told and not gap.wild and gap.phase > _CLOSELY_IN_PHASE and gap.seconds < _SHORT_REST:
        return True
    if gap.wander < _STEADY and not gap.wild and gap.phase > _SURELY_IN_PHASE:
        return True
    alike, clear = (LIKELY, _CLEARLY_DB) if gap.tonal else (_LIKELY_NOISE, _CLEAR_NOISE_DB)
    if gap.alike < alike or gap.clear_db < clear or gap.wild or (gap.predictable and not told):
        return False
    if not gap.even and (gap.seconds >= _SHORT_REST or not (told or gap.equal)):
        return False
    # Noise has no partials that beat and make a gap look shallow: it falls by all of what is asked.
    if not gap.tonal and gap.depth_db < FALL_DB:
        return False
    return not rests_around(gap, falls, gap.start / rate)


def _shown_beneath(gap: Gap, falls: Sequence[Fall], at: float) -> bool:
    """Whether a gap is long or deep enough for what lies beneath it to be proof, and no mere wandering."""
    wanders = len(_near(falls, at, _OFTEN_SECONDS)) >= _RESTLESS
    if wanders and not gap.even and gap.clear_db < _SURELY_DB:
        return False
    return gap.seconds >= _PROOF_SECONDS or gap.clear_db >= FALL_DB


def _near(falls: Sequence[Fall], at: float, reach: float) -> Sequence[Fall]:
    """The falls, which are in order, that begin within so many seconds of a moment."""
    begin = attrgetter("seconds")
    return falls[bisect_left(falls, at - reach, key=begin) : bisect_left(falls, at + reach, key=begin)]


def _others(gap: Gap, falls: Sequence[Fall], at: float, reach: float) -> list[Fall]:
    """The falls near a gap without its own."""
    return [one for one in _near(falls, at, reach) if not one.seconds - 0.02 < at < one.seconds + one.length]


def _as_low(one: Fall, gap: Gap) -> bool:
    return abs(one.bottom_db - gap.bottom_db) < LIKE_DB


def rests_around(gap: Gap, falls: Sequence[Fall], at: float) -> bool:
    """Whether the channel falls so often about a gap that this is its way: as low, as long, or just often."""
    others = _others(gap, falls, at, _HABIT_SECONDS)
    if sum(_as_low(one, gap) and 0.5 < one.length / gap.seconds < 2 for one in others) >= _HABIT:
        return True
    near = _others(gap, falls, at, _NEAR_SECONDS)
    if len(near) < _RESTS:
        return False
    floor = float(np.percentile([one.bottom_db for one in near], 25))
    # A rest ends at the channel's own noise: what lies far below that is none, nor a noise that only fell.
    if gap.bottom_db < floor - _ABOVE_DB or (gap.equal and gap.even and gap.bottom_db > floor + _ABOVE_DB):
        return False
    shortest = min(0.4 * gap.seconds, _SHORT_REST)
    longest = 3 * gap.seconds if gap.seconds < _SHORT_REST else 1.0
    low = [one for one in near if shortest < one.length < longest
           and (_as_low(one, gap) or max(one.bottom_db, gap.bottom_db) < floor + _ABOVE_DB)]  # fmt: skip
    if len(low) >= _RESTS:
        return True
    if not gap.tonal and gap.even and (gap.seconds < _SHORT_REST or gap.bottom_db > floor + FALL_DB):
        return False
    as_long = [one for one in near if 0.5 < one.length / gap.seconds < 2]
    return len(as_long) >= 2 * _RESTS or len(near) >= 4 * _RESTS


def played(gap: Gap, gaps: Sequence[Gap], falls: Sequence[Fall], rate: int) -> bool:
    """Whether a gap is one of many that are alike in length and depth: a tremolo, or a gate on a clock."""
    at = gap.start / rate
    others = _others(gap, falls, at, _OFTEN_SECONDS)
    alike = [one for one in others if _as_low(one, gap) and 0.6 < one.length / gap.seconds < 1.6]
    if len(alike) >= _OFTEN and not in_phase(gap):
        return True
    reach = _OFTEN_SECONDS * rate
    like = [
        one for one in gaps
        if one is not gap and abs(one.start - gap.start) < reach and abs(one.depth_db - gap.depth_db) < 4
        and 0.6 < one.seconds / gap.seconds < 1.6
    ]  # fmt: skip
    return len(like) >= _OFTEN
