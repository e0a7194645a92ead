"""Every bound that the program proves of a shelf's plans, to be held against a score that some plan has."""

from datetime import datetime
from fractions import Fraction
from pathlib import Path

import reelplanner

from core.planning.bounds.bounds import quick_bound
from core.planning.bounds.evening_bound import evening_bound
from core.planning.bounds.songs_bound import relaxed_songs
from core.planning.bounds.whole_bound import Allowed, Evenings, songs_bound, whole_bound
from core.planning.incumbent import Incumbent
from core.planning.proving_songs import proven_songs
from core.planning.solver.solver import Budget
from core.planning.solving import prove_songs
from core.planning.time_left import Clock
from core.planning.wishes.wishes import Wishes
from core.workbook.workbook import Workbook

ROUNDED = Fraction(1, 10**6)
"""What a proven figure may be off by where it went through floating point."""


def beginning(folder: Path, start: str, days: int) -> Incumbent:
    """A search that has not begun: the folder's shelf, and its first plan."""
    book = Workbook.open(reelplanner.fill(folder), now=lambda: datetime.fromisoformat("2026-01-05T12:00Z"))
    moment = datetime.fromisoformat(start).replace(tzinfo=book.shelf.studio.zone)
    return Incumbent(book.shelf, moment, days, Wishes())


def songs_of_first_evenings(so_far: Incumbent, alone: Fraction) -> list[Fraction]:
    """What songs cost at least by the first evenings, one to all; ``alone``: by branch and bound over all.

    Each is solved to its end; over all evenings it is no lower, as what is barred for its order comes on top.
    """
    out, dear, whole = [], Fraction(10**9), len(so_far.base.windows)
    for evenings in sorted({1, 2, (whole + 1) // 2, whole} & set(range(whole + 1))):
        proof = proven_songs(so_far.base, evenings, Budget(60.0, 5.0), dear)
        assert proof.solved and proof.least.bound is not None
        out.append(proof.least.bound)
    assert out[-1] >= alone - ROUNDED
    return out


def bounds_of(so_far: Incumbent) -> list[Fraction]:
    """At once; few stretches, evening by evening, songs over the whole plan, and whole evenings."""
    problem = so_far.base
    out = [quick_bound(problem)]
    if problem.work and problem.windows:
        for cells in (20, 2000):
            bound = evening_bound(problem, 60.0, cells=cells)
            assert bound is not None
            out.append(bound)
        alone = songs_bound(problem, Allowed(None, 20)).bound
        so_far.clock = Clock(1.0, True, None)
        prove_songs(so_far, 1.0, alone)
        out.append(so_far.bound)
        whole = whole_bound(problem, Fraction(0), Allowed(None, 20)).bound
        parts = relaxed_songs(problem, 60.0)
        assert whole is not None and alone is not None and parts is not None and parts <= alone
        out += songs_of_first_evenings(so_far, alone)
        in_parts = Evenings.of(problem, alone).in_parts(60.0)
        assert in_parts is not None
        out += [whole, alone, in_parts]
    return out
