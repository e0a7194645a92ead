"""Print-through that is heard before tracks begin: a few such places of the pass are read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
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
_MOST_TRACKS, _FINER = 2, 5
"""So many tracks of a place, those that rise most; means of frames are taken down to so many times the rate
at which is looked, and a filter does the rest."""
SURE, LIKELY = 22.0, 13.0
"""Likeness from which a copy is told by itself, and from which where other places tell the same pack."""
_MANY, _TOGETHER = 3, 48.0
"""So many places, of so much likeness together, tell it where none is sure by itself."""
_SAME_SECONDS = 0.0015
_ALONE = 2
"""Where more places than that were read, one that tells it alone is chance."""
_STEP_STEADY = 0.0015
"""How well the lag of a step is told, as `pack.one_pack` takes it."""
_RINGING = 0.5
"""What likeness counts where tones that stay tell more of the quiet than any copy."""
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
    workers: int = 1,
) -> list[Printed]:
    """The places at which it is heard, of those at which most is to be heard; some are read at a time."""
    most = min(MOST_PLACES, 1 + int(seconds / A_PLACE_EVERY_SECONDS))
    worth = sorted(places, key=lambda one: -one.worth)[:most]
    lags = lags_of(pack, speed_ips)
    with ThreadPoolExecutor(max(1, workers)) as pool:
        found = pool.map(lambda place: _at(place, read, rate, lags, speed_ips), worth)
        return of_one_pack(list(found), speed_ips)


def of_one_pack(found: Sequence[Sequence[Printed]], speed_ips: float) -> list[Printed]:
    """Of what may be copies, place by place, those that are told: turns of the pack that is likeliest."""
    every = [one for there in found for one in there]
    seeds = [one for one in every if not _keeps_time(one, every, speed_ips)]
    groups = [_Group.about(seed, found, speed_ips) for seed in seeds]
    best = max((one for one in groups if one.sure(len(found), speed_ips)), key=_Group.likeness, default=None)
    return [] if best is None else [there[0] for there in best.places]


@dataclass(frozen=True, slots=True)
class _Group:
    """What may be turns of one pack: by place the one that tells most, and what agrees with it there."""

    places: tuple[tuple[Printed, ...], ...]

    @classmethod
    def about(cls, seed: Printed, found: Sequence[Sequence[Printed]], speed_ips: float) -> _Group:
        """Those that can be of the pack that one of them tells, in order of time."""
        fits = ([one for one in there if _fits(one, seed, speed_ips)] for there in found)
        places = [_told_at(there) for there in fits if there]
        return cls(tuple(sorted(places, key=lambda there: there[0].seconds)))

    def likeness(self) -> float:
        """Of all of it."""
        return sum(map(_likeness, self.places))

    def sure(self, places: int, speed_ips: float) -> bool:
        """Whether it is told, of so many places that were read."""
        turns = [there[0].turn for there in self.places if not there[0].by_bands]
        if not steady(turns):
            return False
        if len(self.places) == 1:
            # One of many that tells it alone is chance, but not where it is told by both.
            both = len(self.places[0]) == 2
            return (places <= _ALONE or both) and _likeness(self.places[0]) >= SURE
        # Places so near that a lag which stays would not show may be a loop.
        first, last = self.places[0][0].turn, self.places[-1][0].turn
        if one_pack(first, (last[0], first[1]), speed_ips):
            return False
        many = len(self.places) >= _MANY and self.likeness() >= _TOGETHER
        return many or max(map(_likeness, self.places)) >= SURE


def _told_at(fits: Sequence[Printed]) -> tuple[Printed, ...]:
    """The likeliest of each way to tell that fits, the surest first."""
    ways = ([one for one in fits if one.by_bands == bands] for bands in (False, True))
    best = [max(way, key=lambda one: one.copy.likeness) for way in ways if way]
    return tuple(sorted(best, key=lambda one: -one.copy.likeness))


def _likeness(there: Sequence[Printed]) -> float:
    return sum(one.copy.likeness for one in there)


def _fits(one: Printed, seed: Printed, speed_ips: float) -> bool:
    loose = (_STEP_STEADY,) if one.by_bands or seed.by_bands else ()
    return one_pack(one.turn, seed.turn, speed_ips, *loose)


def _keeps_time(one: Printed, found: Sequence[Printed], speed_ips: float) -> bool:
    """Whether the same lag comes back where the pack must be another: it is in the music."""
    same = (other for other in found if abs(one.copy.lag - other.copy.lag) < _SAME_SECONDS)
    return any(not one_pack(one.turn, other.turn, speed_ips) for other in same)


def _at(place: Onset, read: Read, rate: int, lags: tuple[float, float], speed_ips: float) -> list[Printed]:
    """What may be print-through before that place, the likeliest first."""
    best = sorted(place.begins, key=lambda one: -one.heard)[:_MOST_TRACKS]
    rows, quiet = [one.channel for one in best], np.array([one.quiet for one in best])
    first, longest = float(quiet[0]), lags[1]
    window, turn = float(quiet.max()) + WINDOW_SECONDS, first + longest
    heard = (
        _Around.of(place, read, rate, rows, max(window, turn), longest, longest)
        or _Around.of(place, read, rate, rows, window, longest)  # a turn more may lie across a join
    )  # fmt: skip
    if heard is None:
        return []
    phases = [
        Printed(place.seconds, replace(one, channel=rows[one.channel]))
        for one in copies(heard.plain, heard.hertz, heard.begins, quiet, lags, speed_ips)
        if one.likeness >= LIKELY and _FAINTEST_DB <= one.level_db <= _LOUDEST_DB
    ]
    if not worth_a_look(heard.plain[0], heard.hertz, heard.begins, first, speed_ips):
        return phases
    told = step(heard.plain[0], heard.hertz, heard.begins, first, lags, speed_ips)
    if told is not None and told.over_steady < 0:
        # What rings on in the quiet is music, and like the music that comes.
        less = (replace(one.copy, likeness=one.copy.likeness * _RINGING) for one in phases)
        phases = [Printed(place.seconds, one) for one in less if one.likeness >= LIKELY]
    if told is None or not told.may_tell or not _FAINTEST_DB <= told.level_db <= _LOUDEST_DB:
        return phases
    likeness, before = SURE if told.tells else LIKELY, min(told.lag, first) / 2
    copy = Copy(told.lag, before, likeness, rows[0], told.level_db)
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
