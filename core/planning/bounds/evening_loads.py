"""Loads of the chambers as rows of the programme of whole evenings.

For each chamber and stretch at home: how many loads of which hours, temperature and kind of beginning, which
reels in them, what they tie and how many minutes of which evening their touches take. Left out: at which
minute.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import pairwise

from core.planning.bench.calibration import wanted_calibrations
from core.planning.bench.draft import Watched
from core.planning.bounds.evening_desk import Desk
from core.planning.bounds.evening_rows import Terms
from core.planning.bounds.load_starts import Place, Start, moments_of, place_of, starts_of
from core.planning.facts.problem import Job


@dataclass(slots=True)
class Loads:
    """Columns of loads by place and kind of beginning, of reels in them, and what ties someone."""

    desk: Desk
    warm: list[Job]
    cooled: list[int]  # minutes from a load to when reels are cooled, each once
    kinds: dict[Place, list[tuple[Start, int]]] = field(default_factory=dict)
    longest: dict[tuple[int, int], int] = field(default_factory=dict)  # the row of each
    begins: dict[Place, dict[Start, list[int]]] = field(default_factory=dict)  # every moment
    members: dict[int, list[tuple[Place, int]]] = field(default_factory=lambda: defaultdict(list))
    tied: dict[tuple[int, int], Terms] = field(default_factory=lambda: defaultdict(list))

    def able(self, place: Place) -> list[tuple[Start, int]]:
        """The loads there that are long enough, and as warm, for what needs so much warmth."""
        return [one for other, own in self.kinds.items() if other.serves(place) for one in own]

    def moments(self, place: Place, kind: Start) -> list[int]:
        """The moments at which a load there may begin that this kind of beginning stands for."""
        return [at for own, moments in self.begins[place].items() if kind.beats(own) for at in moments]

    def is_tied(self, place: Place) -> bool:
        """Whether it costs anything that loads there tie someone."""
        return (place.home, place.chamber) in self.longest

    def ties_more(self, place: Place, column: int) -> None:
        """Counts the minutes of a column among those that loads there tie someone for."""
        self.desk.programme.entries.append((self.longest[place.home, place.chamber], column, 1.0))


def add_loads(desk: Desk) -> Loads:
    """All loads and what they tie."""
    problem = desk.programme.problem
    asking = [*desk.programme.jobs, *(problem.jobs[c] for c in wanted_calibrations(problem))]
    warm = [job for job in asking if job.warmth != "no"]
    loads = Loads(desk, warm, sorted({job.heat + job.cool for job in warm}))
    watched = Watched(problem)
    for chamber in range(len(problem.chambers)):
        own = [job for job in warm if job.trays[chamber]]
        for home in range(len(problem.homes)):
            heats = sorted({(job.heat, job.temperature) for job in own})
            found = (place_of(problem, chamber, home, *heat) for heat in heats)
            places = [place for place in found if place is not None]
            if places:
                looks = sum(job.identify for job in own if job.look)
                _loads(loads, watched, places, looks)
                _members(loads, places, own)
    _tied(loads)
    return loads


def _loads(loads: Loads, watched: Watched, places: list[Place], looks: int) -> None:
    """Loads of a chamber in a stretch at home, one at a time: each is over before the next begins."""
    programme = loads.desk.programme
    problem, longer = programme.problem, list[Terms]()
    touch, scale = problem.chambers[places[0].chamber].touch, problem.scale
    spans = [max(scale.grid, scale.up(place.heat + touch)) for place in places]
    for place, span in zip(places, spans, strict=True):
        most = float(1 + (place.last - place.first) // span)
        begins = loads.begins[place] = moments_of(problem, watched, place, loads.cooled, looks)
        own = loads.kinds[place] = [(kind, programme.variable(most)) for kind in starts_of(begins)]
        longer = [*longer, []]
        for terms in longer:  # a load that is longer counts among those that are at least so long
            terms += [(count, 1.0) for _, count in own]
        for kind, count in own:
            loads.tied[place.home, place.chamber].append((count, float(kind.tied)))
            for b, minutes in kind.touched:
                loads.desk.used[b].append((count, float(minutes)))
    for place, span, terms in zip(places, spans, longer, strict=True):
        programme.at_most(terms, float(1 + (place.last - place.first) // span))
    if len(places) > 1:
        ends = max(place.last + span for place, span in zip(places, spans, strict=True))
        taken = zip(places, spans, strict=True)
        row = [(count, float(span)) for place, span in taken for _, count in loads.kinds[place]]
        programme.at_most(row, float(ends - places[0].first))


def _members(loads: Loads, places: list[Place], jobs: list[Job]) -> None:
    """Reels in loads that are long enough for them and as warm, on no more trays than there are."""
    programme, chamber = loads.desk.programme, places[0].chamber
    trays = float(programme.problem.chambers[chamber].trays)
    joined: list[tuple[Job, int]] = []
    for place in places:
        for job in jobs:
            if (job.heat, job.temperature) == (place.heat, place.temperature):
                column = programme.variable()
                joined.append((job, column))
                loads.members[job.index].append((place, column))
                room = [(count, -1.0) for _, count in loads.able(place)]
                programme.at_most([(column, 1.0), *room], 0.0)
    for place in places:
        taken = [
            (column, float(job.trays[chamber]))
            for job, column in joined
            if job.heat >= place.heat and job.temperature == place.temperature
        ]
        programme.at_most([*taken, *((count, -trays) for _, count in loads.able(place))], 0.0)


def _tied(loads: Loads) -> None:
    """What loads cost that tie someone: in each stretch at home those of the chamber that ties longest."""
    programme = loads.desk.programme
    points = float(programme.problem.comfort.tied)
    if not points:
        return
    apart = all(one.end <= other.first for one, other in pairwise(programme.problem.homes))
    groups: dict[int, dict[int, Terms]] = defaultdict(lambda: defaultdict(list))
    for (home, chamber), terms in loads.tied.items():
        groups[home if apart else 0][chamber] += [(column, minutes) for column, minutes in terms if minutes]
    rows: dict[tuple[int, int], int] = {}
    for group, own in groups.items():
        longest = programme.variable(1e6, whole=False)
        programme.cost.append((longest, points))
        for chamber, terms in own.items():
            rows[group, chamber] = len(programme.limits)
            programme.at_most([*terms, (longest, -1.0)], 0.0)
    for home, chamber in loads.tied:
        loads.longest[home, chamber] = rows[home if apart else 0, chamber]
