"""When a load may begin, by what it costs: what it ties, what its touches take of which evening.

Of all moments in a stretch at home those are kept that no other is as good as in every respect: hours that
tie someone, minutes of touches evening by evening, evenings that have begun before it and what of the last of
them is over, evenings that can play what comes out of it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence

from core.planning.bench.draft import Watched
from core.planning.bench.enter_loads import offsets
from core.planning.facts.problem import Problem
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Where loads of so much warmth may begin: chamber, stretch at home, first and last moment."""

    chamber: int
    home: int
    heat: int
    temperature: str
    first: int
    last: int

    def serves(self, other: Place) -> bool:
        """Whether loads here are as long, as warm and where those are."""
        there = self.chamber, self.home, self.temperature
        return there == (other.chamber, other.home, other.temperature) and self.heat >= other.heat


@dataclass(frozen=True, slots=True)
class Start:
    """A kind of beginning: minutes that tie someone, minutes of touches by evening, and when it begins."""

    tied: int
    touched: tuple[tuple[int, int], ...]
    begun: int  # evenings that begin before it
    over: int  # minutes of the last of them that lie before it, no more than are asked for
    later: tuple[int, ...]  # by what it takes until a reel is cooled: the first evening that ends after that

    def over_of(self, evening: int, most: int) -> int:
        """Minutes of an evening that lie before it, of so many that are asked for at most."""
        if self.begun - 1 > evening:
            return most
        return min(most, self.over) if self.begun - 1 == evening else 0

    def in_evening(self, evening: int) -> bool:
        """Whether it has some touch in that evening."""
        return any(b == evening for b, _ in self.touched)

    def beats(self, other: Start) -> bool:
        """Whether it is as good in every respect."""
        theirs = dict(other.touched)
        return (
            self.tied <= other.tied
            and (self.begun, self.over) >= (other.begun, other.over)
            and all(mine <= there for mine, there in zip(self.later, other.later, strict=True))
            and all(minutes <= theirs.get(b, 0) for b, minutes in self.touched)
        )


def place_of(problem: Problem, chamber: int, home: int, heat: int, temperature: str) -> Place | None:
    """Where loads of so many minutes may begin there, None for nowhere."""
    edges, facts = problem.homes[home], problem.chambers[chamber]
    first = problem.scale.up(max(edges.first, facts.busy_until))
    last = problem.scale.down(min(edges.last, min(edges.end, problem.end) - heat - facts.touch))
    return Place(chamber, home, heat, temperature, first, last) if first <= last else None


def moments_of(
    problem: Problem, watched: Watched, place: Place, cooled: Sequence[int], looks: int
) -> dict[Start, list[int]]:
    """All moments at which a load may begin, by what it costs; ``cooled``: minutes from load to cooled reels.

    ``looks``: minutes of an evening that are asked for before a load, at most.
    """
    begins = [w.start for w in problem.windows]
    ends = [w.end for w in problem.windows]
    out: dict[Start, list[int]] = defaultdict(list)
    for at in range(place.first, place.last + 1, problem.scale.grid):
        kind = Start(
            watched.tying(at, place.heat),
            _touches(problem, place, at),
            bisect_left(begins, at),
            min(looks, _over(problem, bisect_left(begins, at) - 1, at)),
            tuple(bisect_right(ends, at + minutes) for minutes in cooled),
        )
        out[kind].append(at)
    return dict(out)


def starts_of(kinds: Iterable[Start]) -> list[Start]:
    """The kinds of beginning that no other beats."""
    out: list[Start] = []
    for kind in sorted(kinds, key=lambda k: (k.tied, k.touched, -k.begun, -k.over, k.later)):
        if not any(other.beats(kind) for other in out):
            out = [other for other in out if not kind.beats(other)] + [kind]
    return out


def _over(problem: Problem, evening: int, at: int) -> int:
    """Minutes of an evening that lie before a moment behind its beginning."""
    if evening < 0:
        return 0
    window = problem.windows[evening]
    return min(at, window.end) - window.start


def _touches(problem: Problem, place: Place, at: int) -> tuple[tuple[int, int], ...]:
    """By evening the minutes that the touches of a load take, in whole steps of the grid."""
    facts = problem.chambers[place.chamber]
    touch = problem.scale.up(facts.touch)  # nothing else begins or ends but on the grid
    times = offsets([place.heat], facts.turn_every) if touch else []
    out = []
    for w in problem.windows:
        if w.start < at + place.heat + touch and w.end > at:
            minutes = sum(max(0, min(at + o + touch, w.end) - max(at + o, w.start)) for o in times)
            if minutes:
                out.append((w.index, minutes))
    return tuple(out)
