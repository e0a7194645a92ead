"""A problem with the owner's wishes in it: slack, windows that a reel may use, dates closed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from fractions import Fraction

from core.clock import at_wall
from core.planning.bench.diary import Diary
from core.planning.bench.enter_transfers import MISSING, calibrated
from core.planning.bench.lists import enter_job, prelude
from core.planning.facts.problem import DeckFacts, Home, Job, Made, Problem, SongFacts, Stretch
from core.planning.facts.reading import read_problem
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.words import day_text


def read_plain(shelf: Shelf, start: datetime, days: int, wishes: Wishes) -> Problem:
    """The problem of a shelf with the slack that is wished for, and none of the other wishes."""
    slack = None if wishes.slack is None else Fraction(str(wishes.slack))
    return read_problem(shelf, start, days, slack)


def read_wished(shelf: Shelf, start: datetime, days: int, wishes: Wishes) -> Problem:
    """The problem of a shelf with the wishes in it."""
    return wished(read_plain(shelf, start, days, wishes), wishes)


def wished(problem: Problem, wishes: Wishes) -> Problem:
    """The problem in which the wishes hold as far as they can be met; the same one where nothing is.

    What is kept off stays off, also where a reel is then left over; what is to be on a date, or by one, holds
    only where the reel can be planned so, alone and beside the others that are wished for.
    """
    if not wishes.bind:
        return problem
    open_ = begun_with(closed(problem, wishes), wishes.made)
    off = replace(wishes, pins=tuple(pin for pin in wishes.pins if pin.never), song_by=(), warm=())
    open_ = with_jobs(open_, {job.index: held(open_, job, off) for job in open_.jobs})
    wishes = _reels_first(open_, wishes)
    asked = {job.index: new for job in open_.jobs if (new := held(open_, job, wishes)) is not job}
    met = {index: job for index, job in asked.items() if alone(with_jobs(open_, {index: job}), job)}
    met = _together(open_, met)
    songs = (*open_.songs, *_weights(open_, met, wishes))
    return replace(with_jobs(open_, met), songs=songs)


def begun_with(problem: Problem, decks: Sequence[str]) -> Problem:
    """The problem that begins with touch-ups of those decks, one after the other, which were made by then."""
    made: list[Made] = []
    for place, facts in enumerate(problem.decks):
        if facts.deck.id not in decks or facts.stands_on < 0 or not problem.windows:
            continue
        start = made[-1].end if made else 0
        end = start + facts.touch_up
        calibration = calibrated(Diary(problem), facts, facts.stands_on, start, end)
        touched = any(start <= minute < end for load in problem.running for _, minute in load.touches)
        loud = any(first <= start and end <= last for first, last in facts.runs[0])
        if calibration != MISSING and loud and not touched:
            made.append(Made(place, facts.stands_on, start, end, max(calibration, -1)))
    return replace(problem, made=tuple(made))


def _reels_first(problem: Problem, wishes: Wishes) -> Wishes:
    """The wishes without songs by a date that what is wished of one of their reels keeps them from.

    A reel on its date counts more than a song by one; the song's other reels then need not hurry for nothing.
    """
    late: set[str] = set()
    for job in problem.jobs if wishes.song_by else ():
        own, in_time = held(problem, job, replace(wishes, song_by=())), held(problem, job, wishes)
        if own is job or in_time is own or alone(with_jobs(problem, {job.index: in_time}), job):
            continue
        if alone(with_jobs(problem, {job.index: own}), job):
            late |= {song for song, _ in _songs_by(problem, job, wishes)}
    return (
        replace(wishes, song_by=tuple(one for one in wishes.song_by if one[0] not in late))
        if late
        else wishes
    )


def closed(problem: Problem, wishes: Wishes) -> Problem:
    """The problem with the dates on which chamber or decks rest."""
    homes = tuple(h for home in problem.homes for h in _open_parts(problem, home, wishes.no_chamber))
    resting = [_resting(problem, facts, wishes) for facts in problem.decks]
    decks = tuple(_rest(facts, off) for facts, off in zip(problem.decks, resting, strict=True))
    silent = set.union(*resting) if resting else set()
    hearing = tuple(() if w in silent else run for w, run in enumerate(problem.hearing_runs))
    return replace(problem, homes=homes, decks=decks, hearing_runs=hearing)


def held(problem: Problem, job: Job, wishes: Wishes) -> Job:
    """The job as the wishes about its reel have it; the same one where there are none."""
    allowed = {w.index for w in problem.windows}
    for pin in wishes.pins:
        if pin.reel == job.key and pin.day >= day_of(problem, 0):
            there = {w.index for w in problem.windows if day_of(problem, w.start) == pin.day}
            allowed = allowed - there if pin.never else allowed & there
    for day in _by(problem, job, wishes):
        allowed &= {w.index for w in problem.windows if day_of(problem, w.start) <= day}
    ready = max([job.ready, *(minute_at(problem, day) for day in _not_before(job, wishes))])
    from_then = [minute_at(problem, day) for reel, day in wishes.not_before if reel == job.key]
    look = max([job.look_from, *from_then])  # what is not worked on is not looked at either
    windows = job.windows if len(allowed) == len(problem.windows) else frozenset(allowed)
    if (ready, look, windows) == (job.ready, job.look_from, job.windows):
        return job
    return replace(job, ready=ready, look_from=look, windows=windows)


def _by(problem: Problem, job: Job, wishes: Wishes) -> list[date]:
    """The dates by which songs are wished for that still need the reel."""
    return [day for _, day in _songs_by(problem, job, wishes)]


def _songs_by(problem: Problem, job: Job, wishes: Wishes) -> list[tuple[str, date]]:
    """The songs that are wished for by a date and still need the reel, with that date."""
    needed = {song.key for song in problem.songs if job.index in song.jobs}
    return [one for one in wishes.song_by if one[0] in needed or job.key in wishes.of_song.get(one[0], ())]


def _not_before(job: Job, wishes: Wishes) -> Iterator[date]:
    if job.warmth != "no":
        yield from (day for reel, day in wishes.warm if reel == job.key)
    yield from (day for reel, day in wishes.not_before if reel == job.key)


def alone(problem: Problem, job: Job) -> bool:
    """True if the reel, with nothing else planned, finds its whole way through the evenings."""
    diary = Diary(problem)
    prelude(diary)
    return enter_job(diary, problem.jobs[job.index], 0.0)


def with_jobs(problem: Problem, jobs: dict[int, Job]) -> Problem:
    """The problem with these jobs in the places of those of their numbers."""
    return replace(problem, jobs=tuple(jobs.get(job.index, job) for job in problem.jobs))


def _together(problem: Problem, asked: dict[int, Job]) -> dict[int, Job]:
    """Those of the jobs that find a place beside one another, in the better of two orders."""

    def choices(job: Job) -> tuple[int, int]:
        return (len(problem.windows) if job.windows is None else len(job.windows), job.index)

    orders: tuple[Callable[[Job], tuple[int, int]], ...] = (choices, lambda job: (job.index, 0))
    best: dict[int, Job] = {}
    for order in orders:
        diary = Diary(with_jobs(problem, asked))
        prelude(diary)
        met: dict[int, Job] = {}
        for job in sorted(asked.values(), key=order):
            mark = diary.mark()
            if enter_job(diary, job, 0.0):
                met[job.index] = job
            else:
                diary.back(mark)
        if len(met) > len(best):
            best = met
    return best


def _weights(problem: Problem, met: dict[int, Job], wishes: Wishes) -> Iterator[SongFacts]:
    """A reel held on a date counts more than all songs, one wished by a date as much as any of them."""
    most = 1 + sum(song.priority for song in problem.songs)
    some = max((song.priority for song in problem.songs), default=1)
    held_on = {pin.reel for pin in wishes.pins if not pin.never}
    for index, job in met.items():
        priority = most if job.key in held_on else some if _by(problem, job, wishes) else 0
        if priority and job.ends and not job.calibration:
            yield SongFacts(f"wish {job.key}", priority, (index,), hopeless=False, wish=True)


def day_of(problem: Problem, minute: int) -> date:
    """The date on the studio's clock."""
    return problem.scale.moment(minute).date()


def minute_at(problem: Problem, day: date, minutes: int = 0) -> int:
    """The first grid minute at that clock time of that date; 0 where that is before the plan."""
    where = problem.scale.start.tzinfo
    assert where is not None
    return max(0, problem.scale.up(problem.scale.not_before(at_wall(day, minutes, where))))


def _open_parts(problem: Problem, home: Home, days: tuple[date, ...]) -> Iterator[Home]:
    """What is left of a stretch at home between the dates on which no load is to start or run."""
    spans: list[Stretch] = [(home.first, home.end)]
    for day in days:
        first, last = minute_at(problem, day), minute_at(problem, date.fromordinal(day.toordinal() + 1))
        cut = [((a, min(b, first)), (max(a, last), b)) for a, b in spans]
        spans = [(a, b) for pair in cut for a, b in pair if a < b] if last > 0 else spans
    for a, b in sorted(set(spans)):
        if a <= home.last:
            yield home if (a, b) == (home.first, home.end) else Home(a, min(home.last, b), b)


def _resting(problem: Problem, facts: DeckFacts, wishes: Wishes) -> set[int]:
    days = {day for deck, day in wishes.no_deck if deck in ("", facts.deck.id)}
    return {w.index for w in problem.windows if day_of(problem, w.start) in days}


def _rest(facts: DeckFacts, off: set[int]) -> DeckFacts:
    def kept(runs: tuple[tuple[Stretch, ...], ...]) -> tuple[tuple[Stretch, ...], ...]:
        return tuple(() if w in off else run for w, run in enumerate(runs))

    return replace(facts, runs=kept(facts.runs), full_runs=kept(facts.full_runs)) if off else facts


def unmet(
    problem: Problem, wishes: Wishes, transfers: dict[str, list[int]], ends: dict[int, int]
) -> list[str]:
    """A sentence for each pin or date that the plan does not keep. ``transfers``: starts by reel."""
    out = []
    for pin in wishes.pins:
        days = {day_of(problem, start) for start in transfers.get(pin.reel, ())}
        over = pin.day < day_of(problem, 0) or not any(job.key == pin.reel for job in problem.work)
        if not over and pin.never == (pin.day in days):
            how = "stays on" if pin.never else "is not on"
            out.append(f"wish not met: {pin.reel} {how} {day_text(pin.day)}")
    for song, day in wishes.song_by:
        facts = next((one for one in problem.songs if one.key == song), None)
        if facts is None:
            continue
        done = [ends.get(job) for job in facts.jobs]
        if facts.hopeless or any(end is None or day_of(problem, end) > day for end in done):
            out.append(f"wish not met: {song} is not ready by {day_text(day)}")
    return out
