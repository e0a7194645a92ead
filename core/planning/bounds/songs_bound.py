"""What songs alone cost at least: whole evenings as a linear programme, with reels and evenings in parts.

Each row of ``whole_programme`` holds for every plan, so the least cost is a bound, proven by the weights of
the rows. Far quicker than in whole numbers, and stronger than the evenings of ``evening_rows``.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from core.planning.bounds.bounds import lost_songs
from core.planning.bounds.evening_bound import MARGIN, least_of
from core.planning.bounds.evening_rows import Programme
from core.planning.bounds.soonest import Soonest, soonest
from core.planning.bounds.whole_evenings import whole_programme
from core.planning.facts.problem import Problem


def songs_programme(problem: Problem) -> tuple[Programme, Fraction]:
    """The evenings of the reels that songs need, and what is lost of songs whatever is planned."""
    plain = replace(problem, comfort=replace(problem.comfort, line_up=Fraction(0), tied=Fraction(0)))
    found: Soonest = soonest(plain)
    return whole_programme(plain, found, Fraction(0), alone=True), lost_songs(plain, found)


def relaxed_songs(problem: Problem, seconds: float) -> Fraction | None:
    """A proven bound on the songs' part of the score, None if it takes longer."""
    programme, lost = songs_programme(problem)
    if not programme.jobs or not programme.entries:
        return lost / 6000
    least = least_of(programme, seconds)
    return None if least is None else (lost + max(Fraction(0), least - MARGIN * abs(least))) / 6000
