"""Where a capture lies on a song's clock: a curve, how it was got, and how far off it may be."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from itertools import pairwise
from math import ceil
from statistics import median
from typing import NamedTuple

from core.as_json import named
from core.values import dataclass

BY = ("timecode", "sound", "said", "nothing")
"""How a place was got: by code that runs on, by sound with waveform proof, told by the owner, not at all."""

LINE_SECONDS = 0.001
"""A straight line stands for a curve that it follows within this much."""

CaptureKey = tuple[str, int]
"""A reel and the number of a pass."""


_CUT = 0.2
"""Where the speed between two nodes is off the usual by more, no tape ran so."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Seconds of a capture to seconds of the song's clock: nodes joined by lines, the outer ones going on."""

    nodes: tuple[tuple[float, float], ...]
    """Two or more; both columns rise."""

    def cuts(self) -> tuple[int, ...]:
        """The nodes behind which one of the clocks all but stands still: the tape was cut there, or stood."""
        speeds = [(b[0] - a[0]) / (b[1] - a[1]) for a, b in pairwise(self.nodes)]
        usual = median(speeds)
        return tuple(n for n, speed in enumerate(speeds) if abs(speed / usual - 1) > _CUT)

    def __post_init__(self) -> None:
        if len(self.nodes) < 2:
            raise ValueError("a curve needs two nodes or more")
        for (here, there), (then, later) in pairwise(self.nodes):
            if not (here < then and there < later):
                raise ValueError(f"a curve must rise, and does not from {here} s to {then} s")

    @classmethod
    def line(cls, at: float, song: float, rate: float = 1.0, seconds: float = 1.0) -> Curve:
        """A straight line: `song` seconds at `at` seconds of the capture, `rate` song seconds a second."""
        return cls(((at, song), (at + seconds, song + rate * seconds)))

    def song(self, capture: float) -> float:
        """Seconds on the song's clock of a moment of the capture."""
        return _along(self.nodes, capture, 0)

    def capture(self, song: float) -> float:
        """Seconds of the capture at a moment of the song's clock."""
        return _along(self.nodes, song, 1)

    def rate(self, capture: float) -> float:
        """Song seconds to a second of the capture there; above 1 where the capture plays fast."""
        (x, y), (u, v) = _span(self.nodes, capture, 0)
        return (v - y) / (u - x)

    def turned(self) -> Curve:
        """The same, from the clock to the capture."""
        return Curve(tuple((song, capture) for capture, song in self.nodes))

    def short(self) -> Curve:
        """One line where that holds within a millisecond, else itself with a node a second at least."""
        (x, y), (u, v) = self.nodes[0], self.nodes[-1]
        rate = (v - y) / (u - x)
        off = [song - y - rate * (capture - x) for capture, song in self.nodes]
        if max(off) - min(off) > 2 * LINE_SECONDS:
            return self.spaced()
        middle = (max(off) + min(off)) / 2
        return Curve(((x, y + middle), (u, v + middle)))

    def spaced(self, apart: float = 1.0) -> Curve:
        """The same with nodes between those that lie further apart."""
        out: list[tuple[float, float]] = [self.nodes[0]]
        for (x, y), (u, v) in pairwise(self.nodes):
            steps = max(1, ceil((u - x) / apart - 1e-9))
            out += [(x + (u - x) * k / steps, y + (v - y) * k / steps) for k in range(1, steps)]
            out.append((u, v))
        return Curve(tuple(out))

    def then(self, after: Curve) -> Curve:
        """This curve followed by another: from this capture over the first clock to the second."""
        back = self.capture
        places = sorted({x for x, _ in self.nodes} | {back(y) for y, _ in after.nodes})
        return Curve(tuple(_rising((x, after.song(self.song(x))) for x in places)))

    def moved(self, seconds: float) -> Curve:
        """The same, so many seconds later on the clock."""
        return Curve(tuple((capture, song + seconds) for capture, song in self.nodes))


def _span(
    nodes: Sequence[tuple[float, float]], at: float, column: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    after = min(max(bisect_right(nodes, at, key=lambda node: node[column]), 1), len(nodes) - 1)
    return nodes[after - 1], nodes[after]


def _along(nodes: Sequence[tuple[float, float]], at: float, column: int) -> float:
    one, two = _span(nodes, at, column)
    other = 1 - column
    share = (at - one[column]) / (two[column] - one[column])
    return one[other] + share * (two[other] - one[other])


def _rising(nodes: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for x, y in nodes:
        if not out or (x - out[-1][0] > 1e-9 and y - out[-1][1] > 1e-9):
            out.append((x, y))
    return out


@dataclass(frozen=True, slots=True)
class Place:
    """Where a capture lies in time, how that was got, and how far off it may be."""

    by: str = "nothing"
    curve: Curve | None = None
    error_ms: float | None = None
    """Own estimate; none where nothing is known."""
    says: str = ""
    """One sentence: how sure, over what it was carried, or why there is nothing."""
    unsure: tuple[tuple[float, float], ...] = ()
    """Stretches of the capture, in its seconds, between whose ends nothing was found to hold the curve."""
    own_clock: bool = False
    """True of the capture whose own clock is the song's."""

    def __post_init__(self) -> None:
        if self.by not in BY:
            raise ValueError(f"a place is got by one of {', '.join(BY)}, not {self.by!r}")
        if (self.curve is None) != (self.by == "nothing"):
            raise ValueError("a place has a curve, or is got by nothing")

    def to_json(self) -> dict[str, object]:
        """As a part's ``place``: by, curve and error_ms, and what is said of it."""
        short = self.curve.short() if self.curve else None
        nodes = [[round(x, 6), round(y, 6)] for x, y in short.nodes] if short else None
        return {
            "by": self.by, "curve": nodes, "error_ms": self.error_ms, "says": self.says,
            "unsure": [list(span) for span in self.unsure],
        }  # fmt: skip


NOWHERE = Place()


@dataclass(frozen=True, slots=True)
class Loop:
    """Captures that are tied in a ring, and by how much the way round it misses."""

    reels: tuple[str, ...]
    misfit_ms: float
    says: str = ""
    """Which of its ties is to blame, by quality; empty where it closes."""

    def to_json(self) -> dict[str, object]:
        """Reels and misfit, and what is said of it."""
        return {"reels": list(self.reels), "misfit_ms": round(self.misfit_ms, 3), "says": self.says}


@dataclass(frozen=True, slots=True)
class KeptKey:
    """A capture as records name it: its reel, and which pass of it."""

    reel: str
    number: int = field(metadata=named("pass"))

    @property
    def key(self) -> CaptureKey:
        """The same as a pair."""
        return self.reel, self.number


class Zero(NamedTuple):
    """The song's zero: seconds of play time on a reel."""

    reel: str
    seconds: float


@dataclass(frozen=True, slots=True)
class SongClock:
    """One song's clock: where its zero stands, and where every capture lies on it."""

    zero_reel: str = ""
    zero_seconds: float = 0.0
    """Play time on that reel at which the clock shows zero."""
    places: Mapping[CaptureKey, Place] = field(default_factory=dict)
    loops: tuple[Loop, ...] = ()
    open: tuple[str, ...] = ()
    """What is not laid and why, a sentence each."""
    own: CaptureKey | None = None
    """The capture whose clock it is."""
    stretches: Mapping[CaptureKey, tuple[float, float]] = field(default_factory=dict)
    """From where to where on the clock each placed capture has the song."""

    def place(self, reel: str, pass_number: int) -> Place:
        """Where that capture lies; nowhere if nothing ties it to the clock."""
        return self.places.get((reel, pass_number), NOWHERE)

    @property
    def zero(self) -> Zero | None:
        """Where the song's clock begins; none for a song without reels."""
        return Zero(self.zero_reel, self.zero_seconds) if self.zero_reel else None
