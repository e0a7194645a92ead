"""Entering chamber loads: joining one that has a tray free, or starting a new one in a stretch at home."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator

from core.planning.bench.diary import Diary, Fit, LoadEntry
from core.planning.facts.problem import ChamberFacts, Job
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class LoadOption:
    """A way to warm a reel: a load that is there (``entry``), or a new one."""

    out: int
    start: int
    chamber: int
    home: int
    entry: LoadEntry | None = None


def offsets(heats: list[int], turn_every: int) -> list[int]:
    """Minutes after the load's start at which someone must be at the chamber."""
    turns = range(turn_every, max(heats), turn_every) if turn_every > 0 else range(0)
    return sorted({0, *turns, *heats})


def load_options(diary: Diary, job: Job, first: int, before: int | None = None) -> Iterator[LoadOption]:
    """Ways to warm the reel that start at or after ``first``, home by home, soonest out first."""
    for home, edges in enumerate(diary.problem.homes):
        if edges.last < first or edges.end < first + job.heat:
            continue
        if before is not None and edges.first > before:
            return
        lowest = max(first, edges.first)
        options = [o for c in range(len(diary.loads)) for o in _in_home(diary, job, c, home, lowest)]
        yield from sorted(options, key=lambda o: (o.out, o.entry is None, o.chamber))


def _in_home(diary: Diary, job: Job, chamber: int, home: int, first: int) -> Iterator[LoadOption]:
    trays = job.trays[chamber]
    if not trays:
        return
    row, last = diary.loads[chamber], diary.problem.homes[home].last
    for entry in row[bisect_left(row, first, key=_start) : bisect_left(row, last + 1, key=_start)]:
        if entry.home == home and entry.start >= first and joins(diary, job, entry):
            yield LoadOption(entry.start + job.heat, entry.start, chamber, home, entry)
    start = new_start(diary, job, chamber, home, first)
    if start >= 0:
        yield LoadOption(start + job.heat, start, chamber, home)


def joins(diary: Diary, job: Job, entry: LoadEntry) -> bool:
    """True if the reel may be put into that load too."""
    facts = diary.problem.chambers[entry.chamber]
    if entry.temperature != job.temperature or entry.trays + job.trays[entry.chamber] > facts.trays:
        return False
    if job.index in entry.members:
        return False
    if job.heat in entry.heats:
        return True
    longer = entry.start + job.heat + facts.touch
    if job.heat > entry.heats[-1]:
        if longer > min(diary.problem.homes[entry.home].end, diary.problem.end):
            return False
        row = diary.loads[entry.chamber]
        place = row.index(entry)
        if place + 1 < len(row) and row[place + 1].start < longer:
            return False
    before = set(offsets(entry.heats, facts.turn_every))
    more = [o for o in offsets([*entry.heats, job.heat], facts.turn_every) if o not in before]
    return all(not diary.touch_blocked(entry.start + o, entry.start + o + facts.touch) for o in more)


def new_start(diary: Diary, job: Job, chamber: int, home: int, first: int) -> int:
    """The first moment at which a load of this reel alone may start in that stretch at home; -1 for none."""
    return free_start(diary, [job.heat], chamber, home, first)


def free_start(diary: Diary, heats: list[int], chamber: int, home: int, first: int) -> int:
    """The first moment at which a load of such minutes of warmth may start in that stretch; -1 for none."""
    facts, grid, longest = diary.problem.chambers[chamber], diary.problem.scale.grid, max(heats)
    edges = diary.problem.homes[home]
    last = min(edges.last, edges.end - facts.touch - longest, diary.problem.end - facts.touch - longest)
    moments = offsets(heats, facts.turn_every)
    t = -(-max(first, edges.first, facts.busy_until) // grid) * grid
    while t <= last:
        later = _chamber_free(diary, facts, chamber, t, longest) or _operator_free(diary, facts, moments, t)
        if not later:
            return t
        t = -(-max(later, t + grid) // grid) * grid
    return -1


def _chamber_free(diary: Diary, facts: ChamberFacts, chamber: int, start: int, heat: int) -> int:
    row = diary.loads[chamber]
    for entry in reversed(row[: bisect_left(row, start + heat + facts.touch, key=_start)]):
        if start < entry.end + facts.touch:
            return entry.end + facts.touch
        break
    return 0


def _start(entry: LoadEntry) -> int:
    return entry.start


def _operator_free(diary: Diary, facts: ChamberFacts, moments: list[int], start: int) -> int:
    for offset in moments:
        until = diary.touch_blocked(start + offset, start + offset + facts.touch)
        if until:
            return until - offset
    return 0


def enter_load(diary: Diary, job: Job, option: LoadOption) -> None:
    """Puts the reel into the load, with the touches that this adds."""
    facts = diary.problem.chambers[option.chamber]
    entry = option.entry
    before: set[int] = set()
    if entry is None:
        entry = LoadEntry(option.chamber, option.home, option.start, job.temperature, [], [], 0)
        row = diary.loads[option.chamber]
        place = bisect_left(row, entry.start, key=_start)
        row.insert(place, entry)
        diary.journal.append(lambda: row.pop(place))
    else:
        before = set(offsets(entry.heats, facts.turn_every))
    kept = entry, list(entry.members), list(entry.heats), entry.trays
    diary.journal.append(lambda: _restore(*kept))
    entry.members.append(job.index)
    entry.heats = sorted({*entry.heats, job.heat})
    entry.trays += job.trays[option.chamber]
    for offset in offsets(entry.heats, facts.turn_every):
        if offset not in before:
            diary.enter_touch(entry.start + offset, entry.start + offset + facts.touch)
    if job.calibration:
        _refit(diary, job, entry.start)


def _restore(entry: LoadEntry, members: list[int], heats: list[int], trays: int) -> None:
    entry.members, entry.heats, entry.trays = members, heats, trays


def _refit(diary: Diary, job: Job, start: int) -> None:
    """A calibration reel that goes into a load may be used again from its cooling on."""
    fits = diary.fits[job.index]
    kept = [Fit(fit.first, fit.last) for fit in fits]
    diary.journal.append(lambda: diary.fits.__setitem__(job.index, kept))
    out = start + job.heat
    cut = [Fit(fit.first, min(fit.last, start)) for fit in fits if fit.first < start]
    diary.fits[job.index] = [*cut, Fit(out + job.cool, out + job.playable)]
