"""Improving a plan piece by piece: a few evenings are set free and planned anew, the rest stays."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from core.planning.bench.draft import Draft, ends_of
from core.planning.facts.problem import Problem
from core.planning.solver.region import Region

BEFORE = 3 * 1440  # minutes before a free evening in which loads are free too
NEWCOMERS = 8


@dataclass(slots=True)
class Pieces:
    """Chooses pieces: a run of evenings, two, those of a song or of reels; sizes follow what is solved."""

    problem: Problem
    random: Random
    size: float = 4.0
    kinds: tuple[str, ...] = ("run", "run", "two", "song", "late")
    turn: int = field(default=0)

    def next(self, draft: Draft) -> Region:
        """The next piece of this draft to set free."""
        kind = self.random.choice(self.kinds)
        count = len(self.problem.windows)
        size = max(2, min(count, round(self.size)))
        if kind == "song" and self.problem.songs:
            windows = self._of_song(draft, size)
        elif kind == "two" and count > size:
            windows = self._run(size // 2) | self._run(size - size // 2)
        elif kind == "late":
            windows = self._of_reels(draft, size)
        else:
            windows = self._run(size)
        return Region(frozenset(windows), self._homes(windows), newcomers=self._newcomers(draft))

    def settled(self, *, solved: bool) -> None:
        """Learns from a piece: larger next time if it was solved to the end, smaller if not."""
        self.size = min(len(self.problem.windows), max(2.0, self.size * (1.1 if solved else 0.85)))

    def _run(self, size: int) -> set[int]:
        count = len(self.problem.windows)
        first = self.random.randrange(max(1, count - size + 1))
        return set(range(first, min(count, first + size)))

    def _of_song(self, draft: Draft, size: int) -> set[int]:
        song = self.random.choice(self.problem.songs)
        starts = [step.start for step in draft.steps if step.job in song.jobs]
        return self._some(starts, size) or self._run(size)

    def _of_reels(self, draft: Draft, size: int) -> set[int]:
        """The evenings of a few reels drawn at random."""
        placed = sorted(ends_of(draft))
        if not placed:
            return self._run(size)
        drawn = set(self.random.sample(placed, min(len(placed), 3)))
        return self._some([step.start for step in draft.steps if step.job in drawn], size)

    def _some(self, starts: list[int], size: int) -> set[int]:
        windows = [w.index for w in self.problem.windows for s in starts if w.start <= s <= w.end]
        chosen = sorted(set(windows))
        while len(chosen) > size:
            chosen.pop(self.random.randrange(len(chosen)))
        if chosen and len(chosen) < size:
            middle = self.random.choice(chosen)
            near = sorted(range(len(self.problem.windows)), key=lambda w: (abs(w - middle), w))
            chosen += [w for w in near if w not in chosen][: size - len(chosen)]
        return set(chosen)

    def _homes(self, windows: set[int]) -> frozenset[int]:
        edges = [(self.problem.windows[w].start - BEFORE, self.problem.windows[w].end) for w in windows]
        return frozenset(
            index
            for index, home in enumerate(self.problem.homes)
            if any(first <= home.first <= last for first, last in edges)
        )

    def _newcomers(self, draft: Draft) -> frozenset[int]:
        placed = ends_of(draft)
        absent = [job.index for job in self.problem.work if job.index not in placed]
        return frozenset(self.random.sample(absent, min(len(absent), NEWCOMERS)))
