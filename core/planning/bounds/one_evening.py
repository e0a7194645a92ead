"""What one evening cannot hold in any order, though it has the minutes: rows for whole evenings.

The programme counts minutes and leaves out the order of steps. Each evening of a solution is put to the test
alone: line-ups, transfers and desk work one after another, around the touches of loads, which begin at any
moment that their kind of beginning stands for. What has no order is cut down to as little as can be, and no
later solution may hold all of it (logic-based Benders cuts, J. N. Hooker and G. Ottosson, Mathematical
Programming 96, 2003). Left out are take-outs before a load's last, first hearings, and line-ups in between.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import TYPE_CHECKING

from core.planning.bench.enter_loads import offsets
from core.planning.bounds.evening_desk import Desk
from core.planning.bounds.evening_helper import within
from core.planning.bounds.evening_loads import Loads
from core.planning.bounds.evening_rows import Terms
from core.planning.bounds.load_starts import Place, Start
from core.planning.facts.at_hand import overlaid
from core.planning.facts.problem import Stretch
from core.values import dataclass

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

WORK = 0.02  # deterministic time of the solver for one question, at most


@dataclass(frozen=True, slots=True)
class Item:
    """Something done in one evening: the columns that say so, minutes, and where it may lie.

    ``of``: a reel's job, else -1, and ``stage`` its place in the order; ``on``: deck and set-up. A line-up is
    ``full`` or not, and may be known not to be there.
    """

    terms: tuple[tuple[int, float], ...]
    minutes: int
    runs: tuple[Stretch, ...]
    of: int = -1
    stage: int = 0
    on: tuple[int, int] | None = None
    full: bool = False
    there: bool = True


@dataclass(frozen=True, slots=True)
class Warming:
    """A load that has some touch in the evening, and the moments at which it may begin."""

    place: Place
    kind: Start
    moments: tuple[int, ...]


@dataclass(slots=True)
class Orders:
    """Evenings put to the test, by so many ``questions`` so far."""

    loads: Loads
    questions: int = 0
    dearer: dict[tuple[Place, Start], int] = field(default_factory=dict)  # what such a load ties besides
    told: list[tuple[Terms, Place, Start]] = field(default_factory=list)

    def bar(self, there: frozenset[int]) -> int:
        """Adds rows against evenings that have no order, and says how many. ``there``: columns that are one.

        What has one only around a load that begins when it ties someone for longer costs that.
        """
        count = 0
        for b in self.loads.desk.evenings:
            items = list(_items(self.loads.desk, b, there))
            warmed = [
                Warming(place, kind, tuple(self.loads.moments(place, kind)))
                for place, own in self.loads.kinds.items()
                for kind, column in own
                if column in there and kind.in_evening(b)
            ]
            if items and not self._fits(b, items, warmed):
                self._bar(*self._fewer(b, items, warmed))
                count += 1
                continue
            for load in warmed if items else ():
                count += self._dearer(b, items, load)
        return count

    def _fewer(self, b: int, items: list[Item], warmed: list[Warming]) -> tuple[list[Item], list[Warming]]:
        """As few of them as can be that have no order together."""
        for one in sorted(items, key=lambda item: item.there * item.minutes):
            fewer = [other for other in items if other is not one]
            items = items if self._fits(b, fewer, warmed) else fewer
        for load in list(warmed):
            less = [other for other in warmed if other is not load]
            warmed = warmed if self._fits(b, items, less) else less
        return items, warmed

    def _dearer(self, b: int, items: list[Item], load: Warming) -> bool:
        """Adds what it costs that the load cannot begin when it ties someone least, if so."""
        levels = sorted({own.tied for own in self._own(load)})
        cheap = self._up_to(load, levels[0])
        if self._fits(b, items, [cheap]):
            return False
        items, _ = self._fewer(b, items, [cheap])
        key = (_terms(items), load.place, load.kind)
        if key in self.told or not self.loads.is_tied(load.place):
            return False  # it costs nothing, or another chamber ties someone for as long
        self.told.append(key)
        for level in levels[1:]:
            if self._fits(b, items, [self._up_to(load, level)]):
                self._more(items, load, level - load.kind.tied)
                return True
        self._bar(items, [load])
        return True

    def _own(self, load: Warming) -> list[Start]:
        begins = self.loads.begins[load.place]
        return [own for own in begins if load.kind.beats(own)]

    def _up_to(self, load: Warming, tied: int) -> Warming:
        """The same load, but it ties nobody for longer than that."""
        begins = self.loads.begins[load.place]
        early = tuple(at for own in self._own(load) if own.tied <= tied for at in begins[own])
        return Warming(load.place, load.kind, early)

    def _bar(self, items: list[Item], warmed: list[Warming]) -> None:
        """Not all of them in one evening."""
        row = [*_terms(items), *((self._some(load), 1.0) for load in warmed)]
        many = sum(item.there for item in items)
        self.loads.desk.programme.at_most(row, many + len(warmed) - 1.0)

    def _more(self, items: list[Item], load: Warming, minutes: int) -> None:
        """With all of them in one evening the load ties someone for so many minutes more, at least."""
        programme, key = self.loads.desk.programme, (load.place, load.kind)
        if key not in self.dearer:  # one column for each: what several evenings ask for does not add up
            self.dearer[key] = programme.variable(0.0, whole=False)
            self.loads.ties_more(load.place, self.dearer[key])
        more = self.dearer[key]
        programme.highs[more] = max(programme.highs[more], float(minutes))
        row = [(column, factor * minutes) for column, factor in [*_terms(items), (self._some(load), 1.0)]]
        programme.at_most([*row, (more, -1.0)], float(minutes * sum(item.there for item in items)))

    def _some(self, load: Warming) -> int:
        """A column that is one where there is such a load."""
        programme = self.loads.desk.programme
        some = programme.variable()
        column = dict(self.loads.kinds[load.place])[load.kind]
        programme.at_most([(column, 1.0), (some, -programme.highs[column])], 0.0)
        return some

    def _fits(self, b: int, items: Sequence[Item], warmed: Sequence[Warming]) -> bool:
        """Whether they have an order in the evening, or nobody knows that they have none."""
        from ortools.sat.python import cp_model

        cp, solver = cp_model.CpModel(), cp_model.CpSolver()
        taken = _running(cp, self.loads.desk, b)
        starts, behind = [], _line_ups_not_there(items)
        items = [item for item in items if item.there]
        for item in items:
            spans = [[first, end - item.minutes] for first, end in item.runs if end - first >= item.minutes]
            if not spans:
                return False
            starts.append(cp.new_int_var_from_domain(cp_model.Domain.from_intervals(spans), ""))
            taken.append(cp.new_fixed_size_interval_var(starts[-1], item.minutes, ""))
        _in_order(cp, items, starts)
        if not _behind_line_ups(cp, self.loads.desk, b, list(zip(items, starts, strict=True)), behind, taken):
            return False
        problem = self.loads.desk.programme.problem
        for load in warmed:
            facts = problem.chambers[load.place.chamber]
            grid = problem.scale.grid
            begins = cp.new_int_var_from_domain(cp_model.Domain.from_values(load.moments), "")
            for minutes in offsets([load.place.heat], facts.turn_every):
                touch = facts.touch if minutes % grid else problem.scale.up(facts.touch)
                if not touch:
                    continue
                taken.append(cp.new_fixed_size_interval_var(begins + minutes, touch, ""))
        cp.add_no_overlap(taken)
        solver.parameters.num_workers = solver.parameters.random_seed = 1
        solver.parameters.catch_sigint_signal = False
        solver.parameters.max_deterministic_time = WORK
        self.questions += 1
        return bool(solver.solve(cp) != cp_model.INFEASIBLE)


def _running(cp: cp_model.CpModel, desk: Desk, b: int) -> list[cp_model.IntervalVar]:
    """Touches of loads that run already, joined where they meet."""
    problem = desk.programme.problem
    window, scale = problem.windows[b], problem.scale
    touches: list[tuple[int, int]] = []
    for one in problem.running:
        touch = problem.chambers[one.chamber].touch
        for _, at in one.touches:
            if touch and window.start < at + touch and at < window.end:
                touches.append((scale.down(at), scale.up(at + touch)))
    return [cp.new_fixed_size_interval_var(first, end - first, "") for first, end in overlaid(touches)]


def _items(desk: Desk, b: int, known: frozenset[int]) -> Iterator[Item]:
    """What a solution has in an evening, but for touches and first hearings."""
    problem, programme = desk.programme.problem, desk.programme
    window = problem.windows[b]
    whole = ((window.start, window.end),)
    owners = programme.shares | {column: job for (job, _, _), column in programme.played.items()}
    chains = [(index, chain, problem.jobs[index].identify, 0) for index, chain in desk.looks.items()]
    chains += [(index, chain, problem.jobs[index].repair, 1) for index, chain in desk.mends.items()]
    chains += [(job.index, desk.verified(job), job.verify, 3) for job in programme.jobs]
    for index, chain, minutes, stage in chains:
        terms = within(chain, b) if b in chain else []
        if minutes and _done(terms, known):
            yield Item(tuple(terms), minutes, whole, index, stage)
    for (deck, at, setup), own in programme.runs.items():
        for terms, minutes in own if at == b else ():
            if _done(terms, known):
                runs = problem.decks[deck].runs[b]
                yield Item(tuple(terms), minutes, runs, owners.get(terms[0][0], -1), 2, (deck, setup))
    for (deck, setup, at), columns in programme.aligns.items():
        facts = problem.decks[deck]
        sizes = ((facts.full, facts.full_runs[b]), (facts.touch_up, facts.runs[b])) if at == b else ()
        for column, (minutes, runs) in zip(columns, sizes, strict=False):
            there, full = column in known, column == columns[0]
            yield Item(
                ((column, 1.0 if there else -1.0),), minutes, runs, on=(deck, setup), full=full, there=there
            )


def _terms(items: Sequence[Item]) -> Terms:
    return [term for item in items for term in item.terms]


def _done(terms: Terms, there: frozenset[int]) -> bool:
    return bool(terms) and sum(factor for column, factor in terms if column in there) > 0


def _in_order(cp: cp_model.CpModel, items: Sequence[Item], starts: Sequence[cp_model.IntVar]) -> None:
    """Of each reel look, repair, transfers and verify."""
    for one, first in zip(items, starts, strict=True):
        for other, second in zip(items, starts, strict=True):
            if one.of >= 0 and one.of == other.of and one.stage < other.stage:
                cp.add(second >= first + one.minutes)


def _line_ups_not_there(items: Sequence[Item]) -> set[tuple[tuple[int, int] | None, bool]]:
    """Decks and set-ups, full or not, to which there is no line-up in the evening."""
    return {(item.on, item.full) for item in items if not item.there}


def _behind_line_ups(
    cp: cp_model.CpModel,
    desk: Desk,
    b: int,
    placed: Sequence[tuple[Item, cp_model.IntVar]],
    none: set[tuple[tuple[int, int] | None, bool]],
    taken: list[cp_model.IntervalVar],
) -> bool:
    """Each transfer behind a line-up to its set-up, one of the items or one of which nothing is said."""
    for on in sorted({item.on for item, _ in placed if item.on and item.stage}):
        facts = desk.programme.problem.decks[on[0]]
        ways = []
        for full, minutes, runs in (
            (True, facts.full, facts.full_runs[b]),
            (False, facts.touch_up, facts.runs[b]),
        ):
            literal = cp.new_bool_var("")
            own = [at for item, at in placed if item.on == on and not item.stage and item.full == full]
            spans = [[first, end - minutes] for first, end in runs if end - first >= minutes]
            if own:
                ways.append((literal, own[0] + minutes))
            elif spans and (on, full) not in none:
                from ortools.sat.python import cp_model

                at = cp.new_int_var_from_domain(cp_model.Domain.from_intervals(spans), "")
                taken.append(cp.new_optional_fixed_size_interval_var(at, minutes, literal, ""))
                ways.append((literal, at + minutes))
        if not ways:
            return False
        cp.add_exactly_one([literal for literal, _ in ways])
        for literal, end in ways:
            for item, play in placed:
                if item.on == on and item.stage:
                    cp.add(play >= end).only_enforce_if(literal)
    return True
