"""Reading a shelf into the problem: every rule of the trade asked once, every time made a whole minute."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from math import ceil, floor

from core.clock import at_wall, minutes_between
from core.conditioning.advisor import advisor
from core.conditioning.alarms import out_now, rests_until
from core.conditioning.loads.began_with import log_from, set_point_as_begun, turned_as_begun
from core.conditioning.loads.touch_moments import touch_moments
from core.planning.facts.jobs import Bench, Setups, job_of
from core.planning.facts.problem import (
    ChamberFacts,
    Comfort,
    DeckFacts,
    Home,
    Job,
    Problem,
    RunningLoad,
    SongFacts,
    Stretch,
    Window,
)
from core.planning.facts.timescale import Timescale, whole
from core.reels import needs
from core.reels.assumed import as_known
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.calibration import fits, nearness
from core.standing.of_plan.by_the_rules import barred_by_the_rules
from core.studio.opening import Flag, opening
from core.studio.setup import Setup
from core.studio.studio import Deck, Studio

DAY = 1440
NIGHT = 4 * 60  # minutes past midnight up to which the evening before counts
LONG = 1800  # a stretch at home above this is cut into days


def read_problem(shelf: Shelf, start: datetime, days: int, slack: Fraction | None = None) -> Problem:
    """The problem of planning this shelf from ``start`` for so many days.

    ``slack`` stands in place of the studio's share of every bench window that stays free.
    """
    studio = shelf.studio
    scale = Timescale.of(start.astimezone(studio.zone), days, studio.minutes.grid)
    slack = studio.comfort.slack if slack is None else slack
    own = shelf.own_stocks()
    now = out_now(shelf)
    begun = loads_begun(shelf, scale, frozenset(now))
    running = tuple(load for load in begun if _under_way(load, studio, scale))
    outs = {key: out for load in begun for key, out, _, _ in load.members if key not in now}
    late = outs.keys() - {key for load in running for key, *_ in load.members}
    bench = Bench(shelf, scale, own, outs, now, frozenset(late))
    setups = Setups()
    jobs, barred, inspect = _sorted(bench, setups)
    out = out_of_score(bench, barred)
    for deck in studio.decks:
        if deck.lined_up is not None:
            setups.index(deck.lined_up)
    read = Problem(
        studio=studio,
        scale=scale,
        windows=(),
        hearing_runs=(),
        homes=(),
        decks=(),
        chambers=_chambers(shelf, scale, running),
        setups=tuple(setups.known),
        jobs=jobs,
        songs=_songs(shelf, jobs, out),
        running=running,
        barred=barred,
        inspect=tuple(inspect),
        fillers=_fillers(shelf, barred, inspect),
        never=len(inspect) + len(barred.keys() - out),
        end=scale.not_after(scale.until),
        comfort=Comfort(),
        slack=slack,
    )
    return with_hours(read, studio)


def with_hours(problem: Problem, studio: Studio) -> Problem:
    """The same problem, without wishes, where of the studio only the hours are others.

    Nothing that was read of a reel rests on the hours, so none is read anew.
    """
    scale = problem.scale
    windows = _windows(studio, scale, problem.slack)
    loud, helper = _stretches(studio, scale, "loud"), _stretches(studio, scale, "helper")
    setups = Setups(list(problem.setups), {one.key: place for place, one in enumerate(problem.setups)})
    return replace(
        problem,
        studio=studio,
        windows=windows,
        hearing_runs=tuple(_within(scale, ((w.start, w.end),), loud) for w in windows),
        homes=_homes(studio, scale),
        decks=tuple(
            _deck(place, deck, scale, windows, setups, problem.jobs, (loud, helper))
            for place, deck in enumerate(studio.decks)
        ),
        comfort=_comfort(studio, scale),
    )


def _sorted(bench: Bench, setups: Setups) -> tuple[tuple[Job, ...], dict[str, str], list[str]]:
    """What there is to do, by reel; which reels are barred, and why; which are first to be looked at."""
    jobs: list[Job] = []
    barred: dict[str, str] = {}
    inspect: list[str] = []
    for key, reel in sorted(bench.shelf.reels.items()):
        why = None if reel.calibration else bench.barred(reel)
        if why:
            barred[key] = why
        elif not reel.calibration and needs.inspect_first(reel) and bench.barred(bench.likely(reel)):
            inspect.append(key)
        elif (job := job_of(bench, setups, len(jobs), reel)) is not None:
            jobs.append(job)
    return tuple(jobs), barred, inspect


def _windows(studio: Studio, scale: Timescale, slack: Fraction) -> tuple[Window, ...]:
    """Bench windows, each without the last share of its whole run; those that the plan's edges leave open."""
    out: list[Window] = []
    for span in opening(studio, "bench", scale.start, scale.until):
        free = scale.up(ceil(minutes_between(span.start, span.end) * slack))
        over = scale.not_before(span.end)
        first = scale.up(max(0, scale.not_before(span.start)))
        last = scale.down(min(scale.not_after(span.end) - free, scale.not_after(scale.until)))
        if first < last:
            out.append(Window(len(out), first, last, f"{scale.moment(first):%a %d %b}", over))
    return tuple(out)


def _comfort(studio: Studio, scale: Timescale) -> Comfort:
    comfort = studio.comfort
    nights: list[int] = []
    if comfort.count == "evenings":
        days = (scale.until.date() - scale.start.date()).days + 3
        dates = (scale.start.date() + timedelta(days=n) for n in range(days))
        nights = [ceil(scale.exact(at_wall(day, NIGHT, studio.zone))) for day in dates]
    runs = [
        (whole(max(-scale.lead, scale.exact(span.start))), whole(scale.exact(span.end)))
        for span in opening(studio, "bench", scale.start, scale.until)
    ]
    return Comfort(tuple(nights), comfort.line_up_hour * 100, comfort.tied_hour * 100, tuple(runs))


def _homes(studio: Studio, scale: Timescale) -> tuple[Home, ...]:
    out: list[Home] = []
    for first, end in _stretches(studio, scale, "home"):
        begin = scale.up(first)
        while end - begin > LONG:
            out.append(Home(begin, begin + DAY - scale.grid, end))
            begin += DAY
        if begin <= end:
            out.append(Home(begin, end, end))
    return tuple(out)


def _stretches(studio: Studio, scale: Timescale, flag: Flag) -> list[Stretch]:
    """The flag's runs cut to the plan, in whole minutes inside them."""
    out: list[Stretch] = []
    for span in opening(studio, flag, scale.start, scale.until):
        first = max(0, scale.not_before(span.start))
        last = min(scale.not_after(span.end), scale.not_after(scale.until))
        if first < last:
            out.append((first, last))
    return out


def _deck(
    place: int,
    deck: Deck,
    scale: Timescale,
    windows: tuple[Window, ...],
    setups: Setups,
    jobs: Sequence[Job],
    when: tuple[list[Stretch], list[Stretch]],
) -> DeckFacts:
    loud, helper = when
    runs = tuple(
        _within(scale, ((w.start, w.end),), loud) if deck.loud else ((w.start, w.end),) for w in windows
    )
    full_runs = tuple(_within(scale, run, helper) if deck.setup_needs_helper else run for run in runs)
    return DeckFacts(
        deck=deck,
        full=scale.up(deck.setup_minutes),
        touch_up=scale.up(deck.touch_up_minutes),
        stands_on=setups.index(deck.lined_up) if deck.lined_up is not None else -1,
        runs=runs,
        full_runs=full_runs,
        calibrations=tuple(fitting(deck, setup, jobs) for setup in setups.known),
        asked=tuple(sorted({p.setup for job in jobs for p in job.parts if p.minutes[place] is not None})),
    )


def fitting(deck: Deck, setup: Setup, jobs: Sequence[Job]) -> tuple[int, ...]:
    """The calibration reels that fit a line-up of that deck to that set-up, nearest first."""
    own = [job for job in jobs if job.calibration and fits(deck, setup, job.reel)]
    return tuple(job.index for job in sorted(own, key=lambda job: (*nearness(setup, job.reel), job.key)))


def _within(scale: Timescale, run: tuple[Stretch, ...], spans: list[Stretch]) -> tuple[Stretch, ...]:
    out = []
    for a, b in run:
        for c, d in spans:
            if d <= a or c >= b:
                continue
            first, last = scale.up(max(a, c)), scale.down(min(b, d))
            if first < last:
                out.append((first, last))
    return tuple(out)


def _chambers(shelf: Shelf, scale: Timescale, running: tuple[RunningLoad, ...]) -> tuple[ChamberFacts, ...]:
    out = []
    for index, chamber in enumerate(shelf.studio.chambers):
        busy = [load.end + chamber.touch_minutes for load in running if load.chamber == index]
        rests = rests_until(shelf, chamber.id)
        busy += [] if rests is None else [scale.not_before(rests)]
        turn = floor(chamber.turn_every.number * 60)
        out.append(
            ChamberFacts(chamber, chamber.trays_to_fill, turn, chamber.touch_minutes, max(busy, default=0))
        )
    return tuple(out)


def loads_begun(shelf: Shelf, scale: Timescale, now: frozenset[str] = frozenset()) -> tuple[RunningLoad, ...]:
    """The loads that were started before the plan and hold reels: by chamber and time of loading.

    Also those whose hours are up while nobody took the reels out: they had their heat and get no more. The
    reels in ``now`` must not be in the heat: they come out as the plan begins.
    """
    studio = shelf.studio
    groups: dict[tuple[int, datetime], list[Reel]] = {}
    ids = [chamber.id for chamber in studio.chambers]
    for key in sorted(shelf.reels):
        reel = shelf.reels[key]
        there = reel.chamber in ids and studio.treatment(reel.width) is not None
        if there and reel.loaded_at is not None and scale.exact(reel.loaded_at) <= -scale.lead:
            groups.setdefault((ids.index(reel.chamber), reel.loaded_at), []).append(reel)
    return tuple(_running(shelf, scale, index, at, reels, now) for (index, at), reels in groups.items())


def _under_way(load: RunningLoad, studio: Studio, scale: Timescale) -> bool:
    done = load.end + studio.chambers[load.chamber].touch_minutes
    return done > -scale.lead or load.end >= -scale.lead


def _running(
    shelf: Shelf, scale: Timescale, index: int, at: datetime, reels: list[Reel], now: frozenset[str]
) -> RunningLoad:
    studio = shelf.studio
    log = log_from(advisor(shelf).loads, studio.chambers[index].id, at)
    chamber = turned_as_begun(studio.chambers[index], log)
    loaded = scale.not_after(at)
    members, outs, temperature = [], [], ""
    for reel in reels:
        treatment = studio.treatment(reel.width)
        assert treatment is not None
        temperature = temperature or set_point_as_begun(log, treatment.temperature)
        out = 0 if reel.key in now else loaded + floor(needs.heated_hours(reel, treatment) * 60)
        outs.append(out)
        cool = out + floor(treatment.cool.number * 60)
        members.append((reel.key, out, cool, out + floor(treatment.playable_days * 1440)))
    moments = touch_moments(loaded, outs, floor(chamber.turn_every.number * 60))
    due = tuple((do, minute) for do, minute in moments if minute >= -scale.lead)
    return RunningLoad(index, loaded, tuple(members), due, max(outs), temperature)


def out_of_score(bench: Bench, barred: dict[str, str]) -> frozenset[str]:
    """The barred reels that count nothing: all but those that only the table of advice bars."""
    shelf, at = bench.shelf, bench.scale.start
    known = {key: as_known(bench.as_out(shelf.reels[key]), shelf.studio, bench.own) for key in barred}
    return frozenset(
        key for key, one in known.items() if key in bench.now or barred_by_the_rules(shelf, one, at)
    )


def _songs(shelf: Shelf, jobs: Sequence[Job], uncounted: frozenset[str]) -> tuple[SongFacts, ...]:
    place = {job.key: job.index for job in jobs if not job.calibration and job.ends}
    unheard = {job.key for job in jobs if not job.ends}
    out = []
    for key in sorted(shelf.songs):
        song = shelf.songs[key]
        reels = dict.fromkeys(need.reel for need in song.needs)
        skipped = any(one in uncounted or one in unheard or one not in shelf.reels for one in reels)
        if not song.album or skipped:
            continue
        left = [one for one in reels if not shelf.reels[one].past("verified")]
        if left:
            hopeless = any(one not in place for one in left)
            out.append(
                SongFacts(key, song.priority, tuple(place[one] for one in left if one in place), hopeless)
            )
    return tuple(out)


def _fillers(shelf: Shelf, barred: dict[str, str], inspect: list[str]) -> tuple[str, ...]:
    """Reels worth looking at though nothing else can be done with them yet."""
    here = (key for key in sorted((*barred, *inspect)) if not shelf.reels[key].set_aside)
    seen = (key for key in here if not needs.stays_closed(shelf.reels[key]))
    return tuple(key for key in seen if key in inspect or shelf.reels[key].stage == "found")
