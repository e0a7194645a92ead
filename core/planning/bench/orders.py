"""In which order reels are entered: a dozen lists by the usual ratios, and random changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random

from core.planning.bench.draft import Draft, cost
from core.planning.bench.lists import Order, plan_order
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Problem, SongFacts

NEAR, FAR = 1.0, 240.0  # minutes of waiting that a minute of line-up counts for


def smith(problem: Problem, *, share: bool) -> list[int]:
    """Jobs by Smith's ratio over songs: first the song with most priority for the minutes still missing.

    W. E. Smith, Naval Research Logistics Quarterly 3 (1956) 59-66. With ``share`` a reel that several songs
    need is paid by the first; else each song pays all of its own.
    """
    minutes = {job.index: max(1, least_minutes(job)) for job in problem.jobs}
    left = [song for song in problem.songs if not song.hopeless and song.jobs]
    out: list[int] = []
    taken: set[int] = set()

    def ratio(song: SongFacts) -> float:
        wanted = [job for job in song.jobs if not share or job not in taken]
        return (100 * song.priority + len(wanted)) / max(1, sum(minutes[job] for job in wanted))

    ratios = [ratio(song) for song in left]
    while left:
        place = ratios.index(max(ratios))
        song = left.pop(place)
        ratios.pop(place)
        for job in sorted(song.jobs, key=lambda index: (minutes[index], index)):
            if job not in taken:
                taken.add(job)
                out.append(job)
        if share:
            needing = set(song.jobs)
            for other, one in enumerate(left):
                if not needing.isdisjoint(one.jobs):
                    ratios[other] = ratio(one)
    rest = [job.index for job in problem.work if job.index not in taken]
    return out + sorted(rest, key=lambda index: (minutes[index], index))


def lapsing_first(problem: Problem, order: list[int]) -> list[int]:
    """Reels whose playable time runs out come first, soonest first."""
    jobs = problem.jobs
    urgent = [index for index in order if jobs[index].lapse is not None]
    urgent.sort(key=lambda index: jobs[index].lapse or 0)
    return urgent + [index for index in order if jobs[index].lapse is None]


def by_setup(problem: Problem, order: list[int]) -> list[int]:
    """Reels of one set-up together, set-ups in the order in which the list first asks for them."""
    first: dict[int, int] = {}
    for place, index in enumerate(order):
        parts = problem.jobs[index].parts
        first.setdefault(parts[0].setup if parts else -1, place)

    def key(index: int) -> int:
        parts = problem.jobs[index].parts
        return first[parts[0].setup if parts else -1]

    return sorted(order, key=key)


def warm_first(problem: Problem, order: list[int]) -> list[int]:
    """Reels that must be warmed are entered before the rest, so that their long way begins at once."""
    return sorted(order, key=lambda index: problem.jobs[index].warmth != "must")


def first_orders(problem: Problem) -> Iterator[Order]:
    """The dozen lists; the first is the one that is usually good.

    Line-ups count little in most: only an aversion of hours for a minute puts a reel off to another evening.
    """
    own = smith(problem, share=False)
    yield Order(tuple(own), NEAR)
    base = smith(problem, share=True)
    for order in (base, lapsing_first(problem, base), by_setup(problem, base)):
        yield Order(tuple(order), NEAR)
        yield Order(tuple(order), FAR)
    yield Order(tuple(own), FAR)
    yield Order(tuple(lapsing_first(problem, own)), FAR)
    yield Order(tuple(by_setup(problem, own)), NEAR)
    yield Order(tuple(warm_first(problem, base)), NEAR)
    yield Order(tuple(sorted(base, key=lambda i: (least_minutes(problem.jobs[i]), i))), NEAR)


def changed(problem: Problem, order: Order, random: Random) -> Order:
    """The list with one random change: two swapped, one moved, a song moved together, another aversion."""
    jobs, aversion = list(order.jobs), order.aversion
    kind = random.random()
    if len(jobs) < 2 or kind < 0.06:
        return Order(order.jobs, random.choice((0.0, NEAR, 60.0, FAR, 600.0)))
    if kind < 0.35:
        a, b = random.randrange(len(jobs)), random.randrange(len(jobs))
        jobs[a], jobs[b] = jobs[b], jobs[a]
    elif kind < 0.75 or not problem.songs:
        job = jobs.pop(random.randrange(len(jobs)))
        jobs.insert(random.randrange(len(jobs) + 1), job)
    else:
        together = set(random.choice(problem.songs).jobs)
        block = [job for job in jobs if job in together]
        jobs = [job for job in jobs if job not in together]
        place = random.randrange(len(jobs) + 1)
        jobs[place:place] = block
    return Order(tuple(jobs), aversion)


def improve(
    problem: Problem,
    best: Draft,
    order: Order,
    random: Random,
    left: Callable[[], float],
) -> tuple[Draft, Order]:
    """Random changes to the list, a worse one kept now and then, less and less often.

    ``left`` is asked before each round for the share of time that is left, 1 to 0; 0 ends it.
    """
    now, now_cost = order, cost(problem, best)
    best_cost = now_cost
    while (share := left()) > 0:
        tried = changed(problem, now, random)
        draft = plan_order(problem, tried)
        got = cost(problem, draft)
        warmth = float(best_cost) * 0.01 * share**2
        if got <= now_cost + Fraction(warmth * random.random()):
            now, now_cost = tried, got
        if got < best_cost:
            best, best_cost, order = draft, got, tried
    return best, order
