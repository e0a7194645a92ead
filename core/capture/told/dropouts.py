"""Dropouts as findings: the sure ones remarks, the likely ones notes that cost nobody anything."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from math import exp, sqrt

import numpy as np

from core.capture.faults.dips.again import TWINS, keeps_time
from core.capture.faults.dips.dip import Dip
from core.capture.faults.dips.grade import Graded
from core.capture.faults.dropouts import Dropout
from core.capture.scan import Scan
from core.capture.weighing.places import PassMaker
from core.findings import Finding
from core.values import dataclass
from core.words import counted

_EDGES_DB = 2.0
"""The level inside a short dropout is measured too high by so much, for its edges."""
_SHORTEST_SECONDS = 0.005
_QUIETEST_DBFS = -50.0
"""What drops out of a softer sound is hardly heard, and weighs a note."""
_TREBLE_DB = 6.0
"""By so much more the treble fell: it is told, since spacing does that."""
_TWIN_DB, _TWIN_LENGTH = 1.5, 0.1
"""Dropouts so alike in depth and in length are one thing that comes again."""
_NEIGHBOURS = 2
"""Tracks so far apart lie beside one another on the tape."""
_DOZENS, _A_MINUTE, _HARDLY_SURE, _LIKELIEST = 24, 1.0, 0.25, 3
"""More places than that which may be dropouts, so many a minute of their tracks, and no larger part as many
that surely are: there it cannot be told, and all but the likeliest are one line."""


@dataclass(frozen=True, slots=True)
class _Place:
    """One dropout with how surely it is one."""

    channel: int
    start: int
    stop: int
    depth_db: float
    grade: float
    """Logarithm of the odds."""
    treble_db: float = 0.0
    sure: bool = False


def dropout_findings(scan: Scan, make: PassMaker, code: Collection[int]) -> list[Finding]:
    """All dropouts that are deep and short enough; `code` are channels that carry timecode."""
    graded, sure = scan.dropouts.graded(), make.thresholds["dropout_sure"]
    every = scan.dropouts.places()
    rhythm = _in_rhythm(every, make.sample_rate)
    falls = [one for one, beats in zip(every, rhythm, strict=True) if not (beats or _bar_by_bar(one, graded))]
    places = [_proved(one, graded, sure) for one in falls]
    places += _others(places, graded, make)
    least, longest = make.thresholds["dropout_fall"] - _EDGES_DB, make.thresholds["dropout_longest"] + 0.01
    kept = [
        one for one in places
        if one.channel not in code and one.depth_db >= least
        and _seconds(one, make) + 0.0007 >= _SHORTEST_SECONDS and _seconds(one, make) <= longest
    ]  # fmt: skip
    told, rest = _told_apart(kept, make)
    return [_finding(one, kept, make) for one in told] + ([_untold(rest, make)] if rest else [])


def _told_apart(kept: Sequence[_Place], make: PassMaker) -> tuple[list[_Place], list[_Place]]:
    """Places that are told each, and those of which one line says that it cannot be told."""
    doubtful = sorted((one for one in kept if not one.sure), key=lambda one: -one.grade)
    minutes = len({one.channel for one in doubtful}) * make.seconds / 60
    few = len(doubtful) <= max(_DOZENS, _A_MINUTE * minutes)
    if few or len(kept) - len(doubtful) > _HARDLY_SURE * len(doubtful):
        return list(kept), []
    rest = doubtful[_LIKELIEST:]
    return [one for one in kept if one not in rest], rest


def _untold(rest: Sequence[_Place], make: PassMaker) -> Finding:
    """The line about what cannot be told, at the likeliest of these places."""
    first, tracks = rest[0], len({one.channel for one in rest})
    says = (f"{make.begin(first.channel)} may drop out at {make.clock(first.start)}, as may "
            f"{len(rest) - 1} more places on {counted(tracks, 'track')}: the sound comes and goes by itself "
            "there, as in applause, and what of it is a dropout cannot be told.")  # fmt: skip
    return make.at("dropout", first.channel, first.start, first.stop, says, weight="note")


def _proved(drop: Dropout, graded: Sequence[Graded], sure: float) -> _Place:
    """A place beneath which the sound goes on; where its like keep time it is a rhythm all the same."""
    mine = next((one for one in graded if _over(one.dip, drop)), None)
    treble = 0.0 if mine is None else mine.dip.treble_db
    beats = mine is not None and mine.keeps_time
    return _Place(drop.channel, drop.start, drop.stop, drop.depth_db, sure, treble, sure=not beats)


def _bar_by_bar(drop: Dropout, graded: Sequence[Graded]) -> bool:
    """Whether many dips that are the same in every band come in time: that is played."""
    return any(one.many and one.keeps_time and _over(one.dip, drop) for one in graded)


def _in_rhythm(every: Sequence[Dropout], rate: int) -> list[bool]:
    """Whether each comes again as deep and as long, in time: a loop, which no spectrum need tell."""
    likes = [np.array([at for at, other in enumerate(every) if _twins(one, other)]) for one in every]
    starts = np.array([one.start for one in every]) / rate
    in_time = np.array([keeps_time(starts[like] - starts[at]) for at, like in enumerate(likes)])
    return [len(like) > TWINS and bool(in_time[like].mean() >= 0.5) for like in likes]


def _twins(one: Dropout, other: Dropout) -> bool:
    length = one.stop - one.start
    return (one.channel == other.channel and abs(one.depth_db - other.depth_db) < _TWIN_DB
            and abs(other.stop - other.start - length) < _TWIN_LENGTH * length)  # fmt: skip


def _over(one: Dip | Dropout | _Place, other: Dip | Dropout | _Place) -> bool:
    return one.channel == other.channel and one.start < other.stop and one.stop > other.start


def _others(proved: Sequence[_Place], found: Sequence[Graded], make: PassMaker) -> Iterator[_Place]:
    """What the grades tell besides the places that are proved already."""
    likely, certain = make.thresholds["dropout_likely"], make.thresholds["dropout_sure"]
    for one in found:
        dip = one.dip
        if one.keeps_time or one.many or one.grade < likely:
            continue
        if any(_over(dip, other) for other in proved):
            continue
        heard = dip.sound_db >= _QUIETEST_DBFS
        yield _Place(dip.channel, dip.start, dip.stop, dip.depth_db, one.grade, dip.treble_db,
                     heard and one.grade >= certain)  # fmt: skip


def _seconds(one: _Place, make: PassMaker) -> float:
    return (one.stop - one.start) / make.sample_rate


def _finding(one: _Place, every: Sequence[_Place], make: PassMaker) -> Finding:
    milliseconds = 1000 * _seconds(one, make)
    does = "drops out" if one.sure else "may drop out"
    says = (f"{make.begin(one.channel)} {does} at {make.clock(one.start)} "
            f"by {one.depth_db:.0f} dB for {milliseconds:.0f} ms")  # fmt: skip
    if one.treble_db >= _TREBLE_DB:
        says += f", its treble by {one.treble_db:.0f} dB more than its bass"
    beside = sorted({make.tracks[other.channel] for other in every if _with(one, other)})
    if beside:
        says += f", together with track{'s' * (len(beside) > 1)} {', '.join(map(str, beside))}"
    chance = 1.0 if one.sure else 1 / (1 + exp(-one.grade / 2))
    size = one.depth_db * sqrt(milliseconds / 10) * chance
    return make.at("dropout", one.channel, one.start, one.stop, says + ".",
                   weight=None if one.sure else "note", size=size)  # fmt: skip


def _with(one: _Place, other: _Place) -> bool:
    """Whether another dropout lies at the same place of a track beside."""
    apart = abs(one.channel - other.channel)
    return 0 < apart <= _NEIGHBOURS and one.start < other.stop and other.start < one.stop
