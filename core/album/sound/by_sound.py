"""How two captures that share sound lie to one another: found, followed, and proved by their waveforms."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from core.album.paths import smoothed
from core.album.reader import read_by_lines
from core.album.sound.buried import STEP, buried_places
from core.album.sound.correlated import correlate
from core.album.sound.cuts import with_pieces
from core.album.sound.follow import Pairs, coarse_curve, overlap
from core.album.sound.heard import Heard, at_rate
from core.album.sound.judged import judged, nodes_of
from core.album.sound.lags import Lags, choose_lags
from core.album.sound.match import STANDS, Column, Match
from core.album.sound.needle_lines import Line, lines_of
from core.album.sound.needles import Haystack, Needles, rises, speeds
from core.album.sound.probes import probed_lines
from core.album.sound.sieve import likely_speeds
from core.album.sound.spectra import WORK_HZ, Floats, Never, spectra
from core.values import dataclass

_ROUNDS = ((480, 4, 0.004, 1), (240, 1, 0.0008, 2))
"""Reach and grid in samples at 8 kHz, share of speed that is still open, how much finer it is read."""
_WIDELY = ((2000, 16, 0.004, 1), *_ROUNDS)
"""With a first look a quarter of a second to either side: a line through needles alone is no better known."""
_BURIED_NEAR = 0.1
"""Seconds beside a line at which needles of a part that is looked for by its waveform still lie on it."""
_STIFF = 0.6
_MOST_OF = 0.5
"""A match over so much of what both captures hold is not looked for in another way."""
_AS_GOOD = 0.6
"""A second answer counts that is so nearly as good as the first."""

Rounds: TypeAlias = tuple[tuple[int, int, float, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What became of looking for one capture in another."""

    match: Match | None
    """The proved match; none where nothing is proved."""
    other: Match | None = None
    """A second place that is proved as well, as of a loop."""
    tried: Match | None = None
    """The best that was tried where nothing is proved."""
    why: str = ""
    """Why there is nothing, in one sentence."""


def lay_by_sound(here: Heard, there: Heard, ask: Never = lambda: None, *, buried: bool = False) -> Outcome:
    """Where the one capture lies in the other; taken only where waveforms prove it.

    With `buried` a part is looked for in a mix by its waveform, too, where features find nothing.
    """
    outcome = _by_features(here, there, ask)
    if outcome.match is not None:

        def find(one: Heard, two: Heard) -> Match | None:
            return _by_features(one, two, ask).match

        def lay(one: Heard, two: Heard, curve: Pairs) -> Match | None:
            return match_on_curve(one, two, curve, ask)

        match, other = with_pieces(here, there, outcome.match, find, lay, ask), outcome.other
        return Outcome(match, other if other is not None and _elsewhere(match, other) else None)
    if not buried:
        return outcome
    proved, tried = _buried(here, there, ask)
    if not proved:
        return Outcome(None, tried=outcome.tried or next(iter(tried), None), why=outcome.why)
    return Outcome(max(proved, key=lambda match: match.agree * match.quality))


def _buried(here: Heard, there: Heard, ask: Never) -> tuple[list[Match], list[Match]]:
    """A part in a mix: first along a line that several needles tell, then along what single ones do."""
    found = buried_places(here.sound, there.sound, ask)
    proved: list[Match] = []
    tried: list[Match] = []
    joint = [line for line in lines_of(found, 3, _BURIED_NEAR, STEP) if line.needles > 1]
    for line in [*joint[:1], *probed_lines(here.sound, there.sound, found, ask)[:2]]:
        match = _along_line(here, there, line, ask)
        if match is not None:
            (proved if match.proved else tried).append(match)
        if proved:
            break
    return proved, tried


def _by_features(here: Heard, there: Heard, ask: Never) -> Outcome:
    """At the speeds that a coarse look takes for likely; at all of them where these prove nothing."""
    likely = likely_speeds(here.levels, there.levels)
    outcome = None if likely is None else _at_speeds(here, there, likely, ask)
    if outcome is not None and outcome.match is not None:
        return outcome
    return _at_speeds(here, there, speeds(), ask)


def _at_speeds(here: Heard, there: Heard, rates: Column, ask: Never) -> Outcome:
    needles, hay = Needles(here.levels, rates), Haystack(there.levels)
    found = needles.find(hay)
    if not found:
        return Outcome(None, why=nothing_to_go_by(here, there))
    lines = lines_of(found, len(needles.places))
    tries = [line for line in lines if line.score > _AS_GOOD * lines[0].score][:2]
    proved, tried = _try(here, there, tries, ask)
    if not proved:
        more = [line for line in probed_lines(here.sound, there.sound, found, ask) if line not in tries]
        proved, worse = _try(here, there, more[:2], ask)
        tried += worse
    if not proved:
        best = max(tried, key=lambda match: match.quality * match.agree, default=None)
        return Outcome(None, tried=best, why="no stretch of the one sounds like the other")
    first, *rest = sorted(proved, key=lambda match: -match.sounding * match.agree * match.quality)
    return Outcome(first, next((one for one in rest if _elsewhere(first, one)), None))


def _try(here: Heard, there: Heard, lines: Sequence[Line], ask: Never) -> tuple[list[Match], list[Match]]:
    made = [match_along(here, there, line, ask) for line in lines]
    return ([match for match in made if match is not None and match.proved],
            [match for match in made if match is not None and not match.proved])  # fmt: skip


def _elsewhere(one: Match, two: Match) -> bool:
    """Whether two matches put the same second at different places, and the second is nearly as good.

    What lies beside the first on both captures is no second answer: there the tape was cut.
    """
    if _apart(one.here, two.here) and _apart(one.there, two.there):
        return False
    at = float(np.median(two.here))
    apart = abs(float(np.interp(at, one.here, one.there) - np.interp(at, two.here, two.there)))
    return apart > 0.05 and two.quality * two.agree > _AS_GOOD * one.quality * one.agree


def _apart(one: Column, two: Column) -> bool:
    """Whether two stretches have hardly more than their ends in common."""
    return bool(min(one[-1], two[-1]) - max(one[0], two[0]) < 3)


def nothing_to_go_by(here: Heard, there: Heard) -> str:
    """Why no needle could be found: silence, a steady sound, or too short a capture."""
    for one, which in ((here, "the first"), (there, "the second")):
        if one.seconds < 4:
            return f"{which} is only {one.seconds:.1f} s long"
        if float(np.abs(one.sound).max(initial=0.0)) < 1e-4:
            return f"{which} is silent"
        if not rises(one.levels).any():
            return f"nothing begins or ends in {which}: a steady sound has no place of its own"
    return "no stretch of the one rises and falls like the other"


def match_along(here: Heard, there: Heard, line: Line, ask: Never = lambda: None) -> Match | None:
    """The curve near a line, second for second; none where the two have hardly anything in common.

    Features are followed first; where that leads nowhere, as in a mix, waveforms are on the line itself.
    """
    first, last = overlap(line, here.seconds, there.seconds)
    seconds = int(last - first)
    if seconds < 4:
        return None
    match = _match_on(here, there, coarse_curve(here.levels, there.levels, line), first, seconds, ask)
    if match.proved and len(match.here) > _MOST_OF * seconds:
        return match
    straight = _along_line(here, there, line, ask, rounds=_ROUNDS)
    return max(
        [match] if straight is None else [match, straight], key=lambda one: (one.proved, int(one.sure.sum()))
    )


def _along_line(here: Heard, there: Heard, line: Line, ask: Never, rounds: Rounds = _WIDELY) -> Match | None:
    """The curve near a line by waveforms alone."""
    first, last = overlap(line, here.seconds, there.seconds)
    if last - first < 4:
        return None
    ends = np.array([first, last], np.float64)
    return _match_on(
        here, there, (ends, line.start + line.rate * ends), first, int(last - first), ask, rounds
    )


def match_on_curve(here: Heard, there: Heard, curve: Pairs, ask: Never = lambda: None) -> Match | None:
    """The match along a known curve, good to some hundredths of a second; none where hardly any is shared.

    What is known of other tracks of both captures finds a part far down in a mix.
    """
    at = np.arange(int(here.seconds), dtype=np.float64)
    inside = np.flatnonzero((_carried(curve, at) > 0) & (_carried(curve, at + 1) < there.seconds))
    if len(inside) < 4:
        return None
    return _match_on(here, there, curve, float(at[inside[0]]), int(inside[-1] - inside[0] + 1), ask)


def _match_on(
    here: Heard, there: Heard, curve: Pairs, first: float, seconds: int, ask: Never, rounds: Rounds = _ROUNDS
) -> Match:
    """The match around a curve that is good to a few hundredths of a second."""
    own = spectra(here.sound[round(first * WORK_HZ) :], seconds, ask)
    first = round(first * WORK_HZ) / WORK_HZ
    middles: Column = first + np.arange(seconds, dtype=np.float64) + 0.5
    there_at = _carried(curve, middles)
    polarity = 0
    for reach, grid, steepest, finer in rounds:
        warped = _read(there, middles, there_at, finer)
        found = correlate(own, spectra(warped, seconds, ask), reach, ask)
        lags = choose_lags(found, grid, steepest, polarity)
        polarity = lags.polarity
        smooth = _smooth(lags, found.sounding & (lags.stands > STANDS))
        rate, before = np.gradient(there_at), there_at
        there_at = np.asarray(before + smooth / WORK_HZ * rate, np.float64)
    smooth = _smooth(lags, nodes_of(found.sounding, lags, smooth))
    there_at = np.asarray(before + smooth / WORK_HZ * rate, np.float64)
    return judged(middles, there_at, found.sounding, lags, smooth)


def _smooth(lags: Lags, held: NDArray[np.bool_]) -> Column:
    """The lags of those seconds that hold the curve, smoothed; carried over where none does."""
    weights = np.where(held, np.clip(lags.stands, 0, 30) ** 2 / 100, 0)
    return smoothed(lags.samples, weights, _STIFF)


def _carried(curve: Pairs, at: Column) -> Column:
    """The curve at places, going on straight beyond its ends."""
    here, there = curve
    out = np.interp(at, here, there)
    for end, inner, beyond in (
        (0, min(8, len(here) - 1), at < here[0]),
        (-1, max(-9, -len(here)), at > here[-1]),
    ):
        rate = (there[end] - there[inner]) / (here[end] - here[inner])
        out[beyond] = there[end] + rate * (at[beyond] - here[end])
    return out


def _read(there: Heard, middles: Column, there_at: Column, finer: int) -> Floats:
    """The other capture read along the curve, on the clock of the first: all seconds around the middles."""
    ends = _carried((middles, there_at), np.array([middles[0] - 1, middles[-1] + 1]))
    nodes = np.concatenate((ends[:1], there_at, ends[1:])) * WORK_HZ * finer
    share = np.arange(WORK_HZ) / WORK_HZ
    at = (nodes[:-1, None] + np.diff(nodes)[:, None] * share).ravel()[WORK_HZ // 2 : -WORK_HZ // 2]
    return read_by_lines(at_rate(there.sound, WORK_HZ, WORK_HZ * finer), at)
