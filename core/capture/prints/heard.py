"""Print-through that is heard before tracks begin: a few such places of the pass are read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from core.capture.prints.bands import step, worth_a_look
from core.capture.prints.echo import PLAIN_HZ, WINDOW_SECONDS, Copy, copies
from core.capture.prints.onsets import Onset
from core.capture.prints.pack import lags_of, one_pack, steady
from core.values import dataclass

Read = Callable[[int, int, int, Sequence[int]], np.ndarray | None]
"""Of two frames of the pass: means of so many frames between them, on those channels; none across a join."""
MOST_PLACES, A_PLACE_EVERY_SECONDS = 12, 8.0
"""So many places at most are read, and no more than one for so many seconds of the pass."""
_MOST_TRACKS, _FINER = 4, 5
"""So many tracks of a place, those that rise most; means of frames are taken down to so many times the rate
at which is looked, and a filter does the rest."""
SURE, LIKELY = 22.0, 13.0
"""Likeness from which a copy is told by itself, and from which where other places tell the same pack."""
_MANY, _TOGETHER = 3, 48.0
"""So many places, of so much likeness together, tell it where none is sure by itself."""
_SAME_SECONDS = 0.0015
_ALONE = 2
"""Where more places than that were read, one that tells it alone is chance."""
_STEP_STEADY = 0.003
"""How well the lag of a step is told, as `pack.one_pack` takes it."""
_LOUDEST_DB, _FAINTEST_DB = -38.0, -54.0
"""A louder copy is in the music; a fainter one hardly anybody hears, and it is chance too often."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A place before which print-through is heard."""

    seconds: float
    """Where the sound begins."""
    copy: Copy
    by_bands: bool = False
    """Told by the strength of the quiet in every band, and not by phases."""

    @property
    def turn(self) -> tuple[float, float]:
        """The place, and the length of a turn there, in seconds."""
        return self.seconds - self.copy.before, self.copy.lag


def printed(
    places: Sequence[Onset],
    read: Read,
    rate: int,
    seconds: float,
    pack: tuple[float, float],
    speed_ips: float,
) -> list[Printed]:
    """The places at which it is heard, of those at which most is to be heard."""
    most = min(MOST_PLACES, 1 + int(seconds / A_PLACE_EVERY_SECONDS))
    worth = sorted(places, key=lambda one: -one.worth)[:most]
    lags = lags_of(pack, speed_ips)
    found = [_at(place, read, rate, lags, speed_ips) for place in worth]
    by_phases, by_bands = (
        _groups([[one for one in there if one.by_bands == bands] for there in found], speed_ips)
        for bands in (False, True)
    )
    best = max((one for one in by_phases if _sure(one, len(worth))), key=_likeness, default=[])
    packs = (one for one in by_bands if not _alone(one, len(worth)) and _no_beat(one, speed_ips))
    steps = max(packs, key=_likeness, default=[])
    told = {one.seconds for one in steps}
    also = [one for one in best if one.seconds not in told and _fits(one, steps, speed_ips)]
    return sorted([*steps, *also], key=lambda one: one.seconds)


def _groups(found: Sequence[Sequence[Printed]], speed_ips: float) -> list[list[Printed]]:
    """For each that does not keep time, those of all places that can be turns of its pack."""
    every = [one for there in found for one in there]
    return [_of_one_pack(one, found, speed_ips) for one in every if not _keeps_time(one, every, speed_ips)]


def _fits(one: Printed, group: Sequence[Printed], speed_ips: float) -> bool:
    return all(one_pack(one.turn, other.turn, speed_ips, _STEP_STEADY) for other in group)


def _alone(group: Sequence[Printed], places: int) -> bool:
    """Whether only one of many places tells it."""
    return len(group) == 1 and places > _ALONE


def _no_beat(group: Sequence[Printed], speed_ips: float) -> bool:
    """Whether places lie so far apart that a lag which stays would show: nearer ones may be a loop."""
    first, last = group[0].turn, group[-1].turn
    return len(group) == 1 or not one_pack(first, (last[0], first[1]), speed_ips)


def _likeness(group: Sequence[Printed]) -> float:
    return sum(one.copy.likeness for one in group)


def _sure(group: Sequence[Printed], places: int) -> bool:
    if not steady([one.turn for one in group]) or _alone(group, places):
        return False
    many = len(group) >= _MANY and _likeness(group) >= _TOGETHER
    return many or max(one.copy.likeness for one in group) >= SURE


def _of_one_pack(one: Printed, found: Sequence[Sequence[Printed]], speed_ips: float) -> list[Printed]:
    """The likeliest of every place that can be a turn of the pack that one of them tells, in order."""
    loose = (_STEP_STEADY,) if one.by_bands else ()
    fits = (
        [other for other in there if one_pack(one.turn, other.turn, speed_ips, *loose)] for there in found
    )
    return sorted((there[0] for there in fits if there), key=lambda other: other.seconds)


def _keeps_time(one: Printed, found: Sequence[Printed], speed_ips: float) -> bool:
    """Whether the same lag comes back where the pack must be another: it is in the music."""
    same = (other for other in found if abs(one.copy.lag - other.copy.lag) < _SAME_SECONDS)
    return any(not one_pack(one.turn, other.turn, speed_ips) for other in same)


def _at(place: Onset, read: Read, rate: int, lags: tuple[float, float], speed_ips: float) -> list[Printed]:
    """What may be print-through before that place, the likeliest first."""
    best = sorted(place.begins, key=lambda one: -one.rise_db)[:_MOST_TRACKS]
    rows, quiet = [one.channel for one in best], np.array([one.quiet for one in best])
    heard = _Around.of(place, read, rate, rows, float(quiet.max()) + WINDOW_SECONDS, lags[1])
    if heard is None:
        return []
    phases = [
        Printed(place.seconds, replace(one, channel=rows[one.channel]))
        for one in copies(heard.plain, heard.hertz, heard.begins, quiet, lags, speed_ips)
        if one.likeness >= LIKELY and _FAINTEST_DB <= one.level_db <= _LOUDEST_DB
    ]
    if not worth_a_look(heard.plain[0], heard.hertz, heard.begins, float(quiet[0]), speed_ips):
        return phases
    longer = _Around.of(place, read, rate, rows[:1], float(quiet[0]) + lags[1], lags[1], lags[1])
    told = None if longer is None else step(
        longer.plain[0], longer.hertz, longer.begins, float(quiet[0]), lags, speed_ips
    )  # fmt: skip
    if told is None or not told.tells or not _FAINTEST_DB <= told.level_db <= _LOUDEST_DB:
        return phases
    copy = Copy(told.lag, min(told.lag, float(quiet[0])) / 2, told.gain, rows[0], told.level_db)
    return [*phases, Printed(place.seconds, copy, by_bands=True)]


@dataclass(frozen=True, slots=True)
class _Around:
    """What lies about a place, at the rate at which is looked."""

    plain: np.ndarray
    hertz: float
    begins: int

    @classmethod
    def of(cls, place: Onset, read: Read, rate: int, rows: Sequence[int], before: float, longest: float,
           more: float = 0.0) -> _Around | None:  # fmt: skip
        """So many seconds before the sound, as far as a turn reaches and `more`; none across a join."""
        means, reach = max(1, rate // (_FINER * PLAIN_HZ)), longest + 2 * WINDOW_SECONDS
        finer = max(1, rate // means // PLAIN_HZ)
        begins = round(place.seconds * rate)
        first = max(0, begins - round(min(reach + more, before) * rate))
        sound = read(first, begins + round(reach * rate), means, rows)
        if sound is None:
            return None
        down = means * finer
        return cls(_slower(sound, finer), rate / down, (begins - first) // down)


def _slower(sound: np.ndarray, down: int) -> np.ndarray:
    """Every `down`-th value of rows, after a low pass that ends where half of that rate does."""
    from scipy.fft import irfft, next_fast_len, rfft

    count = -(-sound.shape[1] // down)
    size = next_fast_len(count, real=True)
    lines = rfft(sound.astype(np.float32, copy=False), size * down, axis=1)[:, : size // 2 + 1]
    fades = size // 20
    lines[:, -fades:] *= np.linspace(1 / down, 0, fades, dtype=np.float32)
    lines[:, :-fades] /= np.float32(down)
    slow: np.ndarray = irfft(lines, size, axis=1)[:, :count]
    return slow
