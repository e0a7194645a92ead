"""Full line-ups that ask for the helper, as rows of what evenings can hold.

While the helper is there, a deck is lined up in full once after another, and what is played between two such
line-ups is played in the same hours. Touch-ups right behind a line-up of the same evening to the same set-up
serve nothing: a plan without them costs no more, so that the rows may leave them out.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.planning.bounds.evening_desk import Chain, Desk
from core.planning.bounds.evening_rows import Programme, Terms
from core.planning.facts.problem import Job, Stretch
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Visit:
    """An evening with one stretch in which a deck may be lined up in full, and to what it may be then."""

    deck: int
    b: int
    span: Stretch
    setups: tuple[int, ...]


def add_visits(programme: Programme) -> list[Visit]:
    """Rows for every evening and deck with a helper who is there in one stretch; after ``add_standing``."""
    visits = []
    for deck, facts in enumerate(programme.problem.decks):
        for b, stretch in enumerate(programme.stretches):
            spans = facts.full_runs[stretch.windows[0]] if len(stretch.windows) == 1 else ()
            setups = tuple(x for on, x, at in programme.aligns if (on, at) == (deck, b))
            if facts.deck.setup_needs_helper and len(spans) == 1 and len(setups) > 1:
                visits.append(_visit(programme, Visit(deck, b, spans[0], setups)))
    return visits


def _visit(programme: Programme, visit: Visit) -> Visit:
    """What is played behind a full line-up that is not the last one lies in the helper's hours with it."""
    deck, b, (first, end) = visit.deck, visit.b, visit.span
    minutes = programme.problem.decks[deck].full
    row: Terms = []
    for setup in visit.setups:
        full, touch = programme.aligns[deck, setup, b]
        row.append((full, float(minutes)))
        row += between(programme, visit, setup, [(programme.last[deck, setup, b], -1.0), (touch, -1.0)])
    programme.at_most(row, float(end - first))
    return visit


def add_before(desk: Desk, visit: Visit) -> None:
    """What comes before the last full line-up is over before the helper goes, if there is one."""
    programme = desk.programme
    window, facts = programme.problem.windows[visit.b], programme.problem.decks[visit.deck]
    most = float(window.end - window.start)
    room = float(visit.span[1] - window.start)
    lined = programme.variable()
    row: Terms = [(lined, most - room)]
    for setup in visit.setups:
        full, touch = programme.aligns[visit.deck, setup, visit.b]
        last = programme.last[visit.deck, setup, visit.b]
        programme.at_most([(full, 1.0), (lined, -programme.highs[full])], 0.0)
        row += [(full, float(facts.full)), (touch, float(facts.touch_up))]
        row += between(programme, visit, setup, [(last, -1.0)])
        for job, terms in _played_here(desk, visit, setup):
            for done, minutes in _before(desk, job, visit.b):
                both = programme.variable(whole=False)
                programme.at_most([*terms, *done, (last, -1.0), (both, -1.0)], 1.0)
                row.append((both, float(minutes)))
    programme.at_most(row, most)


def _played_here(desk: Desk, visit: Visit, setup: int) -> Iterator[tuple[Job, Terms]]:
    """The reels that can be played on no other deck, and whether they are in that evening."""
    for job in desk.programme.jobs:
        for part, what in enumerate(job.parts[:1]):
            here = [deck for deck, minutes in enumerate(what.minutes) if minutes is not None]
            played = desk.played(job, part)
            if what.setup == setup and here == [visit.deck] and visit.b in played:
                yield job, within(played, visit.b)


def _before(desk: Desk, job: Job, b: int) -> Iterator[tuple[Terms, int]]:
    """What must be done with a reel before it is played, and whether it is in that evening."""
    for chain, minutes in (
        (desk.looks.get(job.index), job.identify),
        (desk.mends.get(job.index), job.repair),
    ):
        if chain is not None and b in chain and minutes:
            yield within(chain, b), minutes


def within(chain: Chain, b: int) -> Terms:
    """Whether it is done in that very evening."""
    before = chain.get(b - 1)
    by = chain[b]
    return [(by, 1.0)] if before is None else [(by, 1.0), (before, -1.0)] if before != by else []


def between(programme: Programme, visit: Visit, setup: int, unless: Terms) -> Terms:
    """Minutes of that set-up's transfers in that evening, each unless one of those columns is one."""
    out: Terms = []
    for terms, minutes in programme.runs.get((visit.deck, visit.b, setup), ()):
        inside = programme.variable(whole=False)
        programme.at_most([*terms, *unless, (inside, -1.0)], 0.0)
        out.append((inside, float(minutes)))
    return out
