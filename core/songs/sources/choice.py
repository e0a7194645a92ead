"""Which carriers to use so that every recording is held once: nothing missing, nothing twice.

A bounce and its sources are never both in. Of all such choices the one that leaves least out is taken, then
the cheapest. This is weighted set packing; a song's family is small and nearly nested, so that a search over
what is still open, each state met once, is exact at once; larger ones go to a solver for whole numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

_STATES = 20_000  # after that many the solver takes over
_MISSING = 10**18  # leaving one atom out weighs more than any choice


def choose(masks: Sequence[int], costs: Sequence[int], everything: int) -> tuple[int, ...]:
    """Numbers of the sets to use: disjoint, least left out, then least cost.

    ``masks`` and ``everything`` are sets of atoms as bits; costs are whole numbers from 0.
    """
    best: dict[int, int] = {}
    for number, mask in enumerate(masks):
        if mask and (mask not in best or costs[number] < costs[best[mask]]):
            best[mask] = number
    chosen: list[int] = []
    for part in _components(list(best), everything):
        mine = [mask for mask in best if mask & part]
        if len(mine) < 2:  # nothing stands against it
            chosen += [best[mask] for mask in mine]
            continue
        try:
            picked = _Search(mine, [costs[best[mask]] for mask in mine], part).run()
        except _TooMany:
            picked = _solved(mine, [costs[best[mask]] for mask in mine], part)
        chosen += [best[mask] for mask in picked]
    return tuple(sorted(chosen))


def _components(masks: Sequence[int], everything: int) -> list[int]:
    parts: list[int] = []
    for mask in (*masks, *(1 << bit for bit in range(everything.bit_length()) if everything >> bit & 1)):
        touching = [part for part in parts if part & mask]
        joined = mask
        for part in touching:
            joined |= part
        parts = [part for part in parts if not part & mask] + [joined]
    return parts


class _TooMany(Exception):
    """More states than the search should look at."""


class _Search:
    def __init__(self, masks: Sequence[int], costs: Sequence[int], part: int) -> None:
        self.sets = sorted(zip(masks, costs, strict=True), key=lambda one: (one[1], one[0]))
        self.part = part
        self.known: dict[int, tuple[int, tuple[int, ...]]] = {}

    def run(self) -> tuple[int, ...]:
        """The chosen masks."""
        return self._rest(0)[1]

    def _rest(self, done: int) -> tuple[int, tuple[int, ...]]:
        """Least cost of what is not done yet, and how; each state is worked out once."""
        if done == self.part:
            return 0, ()
        if done in self.known:
            return self.known[done]
        if len(self.known) > _STATES:
            raise _TooMany
        atom = self._tightest(done)
        cost, how = self._rest(done | atom)
        best = (cost + _MISSING, how)
        for mask, weight in self.sets:
            if mask & atom and not mask & done:
                cost, how = self._rest(done | mask)
                if cost + weight < best[0]:
                    best = (cost + weight, (mask, *how))
        self.known[done] = best
        return best

    def _tightest(self, done: int) -> int:
        """The open atom that the fewest sets can still hold."""
        left, fewest, atom = self.part & ~done, len(self.sets) + 1, 0
        while left:
            bit = left & -left
            left ^= bit
            count = sum(1 for mask, _ in self.sets if mask & bit and not mask & done)
            if count < fewest:
                fewest, atom = count, bit
        return atom


def _solved(masks: Sequence[int], costs: Sequence[int], part: int) -> tuple[int, ...]:
    """The same by mixed-integer programming, in two rounds: first how much can be held, then at what cost."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    bits = [bit for bit in range(part.bit_length()) if part >> bit & 1]
    holds = np.array([[mask >> bit & 1 for mask in masks] for bit in bits], float)
    sizes = holds.sum(axis=0)
    once = LinearConstraint(holds, -np.inf, 1)
    whole, yes_no = np.ones(len(masks)), Bounds(0, 1)
    most = milp(-sizes, constraints=[once], integrality=whole, bounds=yes_no)
    held = round(-most.fun)
    scale = max(costs) or 1
    enough = LinearConstraint(sizes[None, :], held - 0.5, np.inf)
    least = milp(np.array(costs) / scale, constraints=[once, enough], integrality=whole, bounds=yes_no)
    answer = least.x if least.x is not None else most.x
    return tuple(mask for mask, taken in zip(masks, answer, strict=True) if taken > 0.5)
