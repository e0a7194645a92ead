"""What songs alone cost at least: whole evenings as a linear programme, with reels and evenings in parts.

Each row of ``whole_loads`` holds for every plan, so the least cost is a bound, proven by the weights of
the rows. Far quicker than in whole numbers, and stronger than the evenings of ``evening_rows``.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from core.planning.bounds.bounds import lost_songs
from core.planning.bounds.evening_bound import MARGIN, least_of
from core.planning.bounds.evening_loads import Loads
from core.planning.bounds.evening_rows import Programme
from core.planning.bounds.soonest import Soonest, soonest
from core.planning.bounds.whole_evenings import whole_loads
from core.planning.facts.problem import Problem


def songs_programme(problem: Problem) -> tuple[Programme, Fraction]:
    """The evenings of the reels that songs need, and what is lost of songs whatever is planned."""
    loads, lost = songs_loads(problem, len(problem.windows))
    return loads.desk.programme, lost


def songs_loads(problem: Problem, evenings: int) -> tuple[Loads, Fraction]:
    """The same of the first evenings alone, with the loads: what is ready later waits until the next one."""
    plain = replace(problem, comfort=replace(problem.comfort, line_up=Fraction(0), tied=Fraction(0)))
    found: Soonest = soonest(plain)
    lost = lost_songs(plain, found)
    if evenings >= len(plain.windows):
        return whole_loads(plain, found, Fraction(0), alone=True), lost
    behind = plain.windows[evenings].start
    homes = tuple(home for home in plain.homes if home.first < behind)
    first = replace(plain, windows=plain.windows[:evenings], homes=homes)
    late = min(plain.comfort.counted(behind) + plain.scale.lead, plain.penalty)
    return whole_loads(first, found, Fraction(0), alone=True, late=late), lost


def relaxed_songs(problem: Problem, seconds: float) -> Fraction | None:
    """A proven bound on the songs' part of the score, None if it takes longer."""
    programme, lost = songs_programme(problem)
    if not programme.jobs or not programme.entries:
        return lost / 6000
    least = least_of(programme, seconds)
    return None if least is None else (lost + max(Fraction(0), least - MARGIN * abs(least))) / 6000
