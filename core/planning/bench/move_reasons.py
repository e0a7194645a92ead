"""Why a step is elsewhere than the kept plan had it, in the words that hold for that step."""

from __future__ import annotations

from bisect import bisect_right
from typing import Literal

from core.plan import Kind
from core.planning.bench.draft import Draft, Step, ends_of
from core.planning.facts.problem import Problem, SongFacts
from core.studio.opening import opening
from core.words import day_text

Key = tuple[int, Kind | Literal["load"], int]


def free_to_drop(problem: Problem, key: Key) -> bool:
    """True for the warming of a tape that is playable: to leave it out is no move."""
    index, kind, _ = key
    return kind == "load" and problem.jobs[index].warmth == "may"


class Reasons:
    """Why a step that could have stayed is elsewhere: a song is ready sooner, or room was needed."""

    def __init__(self, problem: Problem, kept: Draft, draft: Draft, answered: dict[int, str]) -> None:
        before, after = ends_of(kept), ends_of(draft)
        counted = problem.comfort.counted
        self.problem, self.kept, self.draft, self.answered = problem, kept, draft, answered
        self.sooner = dict[int, str]()
        for song in problem.songs:
            had, gets = _ready(song, before), _ready(song, after)
            if gets is not None and (had is None or counted(gets) < counted(had)):
                for job in song.jobs:
                    self.sooner.setdefault(job, song.key)

    def new(self, key: Key, *, placed: bool) -> str:
        """The reason for a step that the kept plan had not; ``placed``: it had others of that reel."""
        if free_to_drop(self.problem, key):
            ends = self.problem.scale.moment(self.problem.jobs[key[0]].lapse or 0)
            return f"it plays only until {day_text(ends.date())} {ends:%H:%M}, and no evening before has room"
        if placed:
            return "it is needed now"
        return self.answered.get(key[0], "there is room for it now")

    def kept_out(self, key: Key, was: int, new: int | None, still: dict[Key, int]) -> str:
        """What keeps a step of a reel from where it was, or one that comes before it.

        ``still``: the starts of what still fits where it was. One that comes sooner was not pushed away.
        """
        index, kind, _ = key
        sooner = new is not None and new < was
        if kind != "load" and (why := self._no_bench_time(was)):
            return why
        own = [one for one in self.kept.steps if one.job == index and one.start <= was]
        for step in sorted(own, key=lambda one: one.start):
            if still.get((step.job, step.kind, step.part)) != step.start:
                why = self._slack(step) or ("" if sooner else self._unlined(step))
                if why:
                    return why
        if not sooner and self._had_room_that_evening(key, was, new, still):
            return "to make room for others"
        if kind == "load" and self._plays_elsewhere(index) and self._could_be_warmed(index, was):
            return "it plays on another evening now"
        return self.gave_way(index, sooner=sooner)

    def _had_room_that_evening(self, key: Key, was: int, new: int | None, still: dict[Key, int]) -> bool:
        """Whether it could have been done later in its own evening, beside all that stayed, and is not."""
        evening = next((w for w in self.problem.windows if w.start <= was < w.end), None)
        could = still.get(key)
        if evening is None or could is None or not was < could < evening.end:
            return False
        return new is None or new >= evening.end

    def _no_bench_time(self, was: int) -> str:
        """That nobody is at the bench then any more; empty where somebody is."""
        windows, on = self.problem.windows, self.problem.scale.moment(was)
        if not windows or any(w.start <= was < w.over for w in windows):
            return ""
        dates = {self.problem.scale.moment(w.start).date() for w in windows}
        if on.date() in dates:
            return f"there is no bench time at {on:%H:%M} on {day_text(on.date())}"
        return f"there is no bench time on {day_text(on.date())}"

    def _unlined(self, step: Step) -> str:
        """Why the deck does not take a transfer any more: it rests, the helper, or a line-up before it."""
        return self._may_not_run(step) or self._without_helper(step) or self._lined_up_first(step)

    def _may_not_run(self, step: Step) -> str:
        """That its deck is not to run then: it rests on that date, or that is no loud time any more."""
        if step.kind != "transfer":
            return ""
        window = next((w for w in self.problem.windows if w.start <= step.start < w.end), None)
        facts = self.problem.decks[step.deck]
        if window is None or facts.runs[window.index]:
            return ""
        return f"{facts.deck.id} may not run on {day_text(self.problem.scale.moment(step.start))}"

    def _without_helper(self, step: Step) -> str:
        """That the helper does not come for the full line-up on which the transfer was to rest."""
        if step.kind != "transfer" or not self.problem.decks[step.deck].deck.setup_needs_helper:
            return ""
        setup = self.problem.jobs[step.job].parts[step.part].setup
        own = (one for one in self.kept.steps if one.kind == "align" and one.deck == step.deck)
        full = [one for one in own if one.full and one.setup == setup and one.start < step.start]
        if not full:
            return ""
        align, runs = full[-1], self.problem.decks[step.deck].full_runs
        if any(a <= align.start and align.end <= b for run in runs for a, b in run):
            return ""
        on = day_text(self.problem.scale.moment(align.start))
        if not any(w.start <= align.start and align.end <= w.end for w in self.problem.windows):
            return f"its line-up on {on} no longer fits there"
        there = (w for w, run in zip(self.problem.windows, runs, strict=True) if run)
        if any(w.start <= align.start <= w.over for w in there):
            return f"the helper is not there for its line-up on {on}"
        return f"the helper does not come on {on}"

    def _plays_elsewhere(self, index: int) -> bool:
        """Whether a reel is played on other evenings than it was to be."""
        then, now = (self._evenings(draft, index) for draft in (self.kept, self.draft))
        return bool(then and now) and then != now

    def _evenings(self, draft: Draft, index: int) -> set[int]:
        starts = [w.start for w in self.problem.windows]
        played = (one.start for one in draft.steps if one.job == index and one.kind == "transfer")
        return {bisect_right(starts, start) for start in played}

    def _could_be_warmed(self, index: int, was: int) -> bool:
        """Whether someone is home for that reel's warming where it was, and its chamber free of others."""
        job = self.problem.jobs[index]
        load = next(one for one in self.kept.loads if index in one.members and one.start == was)
        facts = self.problem.chambers[load.chamber]
        end = was + job.heat + facts.touch
        at_home = any(home.first <= was <= home.last and end <= home.end for home in self.problem.homes)
        return at_home and was >= max(facts.busy_until, job.ready) and not job.look

    def _lined_up_first(self, step: Step) -> str:
        """That the plan holds a line-up again, of a deck that is lined up, with no room before the step."""
        problem = self.problem
        window = next((w for w in problem.windows if w.start <= step.start < w.end), None)
        if step.kind != "transfer" or window is None:
            return ""
        before = [one for one in self.kept.steps if window.start <= one.start < step.start]
        if any(one.kind == "align" and one.deck == step.deck for one in before):
            return ""
        if window.start < problem.now and any(one.deck == step.deck for one in problem.made):
            return ""  # that deck's is made
        facts = problem.decks[step.deck]
        stood = facts.stands_on == problem.jobs[step.job].parts[step.part].setup
        minutes = facts.touch_up if stood else facts.full
        if window.start + minutes + sum(one.end - one.start for one in before) <= step.start:
            return ""
        return f"the plan holds a line-up of {facts.deck.id} before it"

    def _slack(self, step: Step) -> str:
        """That only the slack at an evening's end keeps the step from where it was; empty where more does."""
        was, end = step.start, step.end
        by_itself = any(first <= was and end <= last for first, last in self.problem.comfort.bench)
        if by_itself and any(one.start <= was and end <= one.end for one in self.problem.windows):
            was = self._behind_tapes(step)  # what is played before it ends later than it was to
            end = was + step.end - step.start
            by_itself = was > step.start and self._all_open(step, was, end)
        if not by_itself or any(one.start <= was and end <= one.end for one in self.problem.windows):
            return ""
        return "the evening's end stays free; it fits there, tight"

    def _behind_tapes(self, step: Step) -> int:
        """When the plan is through with what was to be played before that transfer in its evening."""
        window = next(w for w in self.problem.windows if w.start <= step.start < w.end)
        if step.kind != "transfer":
            return step.start
        behind = {(s.job, s.part) for s in self.kept.steps if s.kind == "transfer" and s.start >= step.start}
        ends = (
            one.end for one in self.draft.steps
            if window.start <= one.start < window.end and one.deck == step.deck
            and (one.kind == "align" or (one.kind == "transfer" and (one.job, one.part) not in behind))
        )  # fmt: skip
        return max(ends, default=step.start)

    def _all_open(self, step: Step, start: int, end: int) -> bool:
        """Whether somebody is at the bench then, and that deck may run, the free end counted in."""
        problem = self.problem
        if not any(first <= start and end <= last for first, last in problem.comfort.bench):
            return False
        if not problem.decks[step.deck].deck.loud:
            return True
        first, last = problem.scale.moment(start), problem.scale.moment(end)
        return any(span.holds(first, last) for span in opening(problem.studio, "loud", first, last))

    def gave_way(self, index: int, *, sooner: bool) -> str:
        """The reason for a step that has no room where it was; one that comes sooner was not pushed away."""
        if not sooner:
            return "it no longer fits there"
        song = self.sooner.get(index)
        return f"so that {song} is ready sooner" if song else "there is room for it sooner"

    def of(self, index: int, was: int, new: int | None) -> str:
        """The reason that holds for a step of that reel, which could have stayed where it was."""
        if new is None or new > was:
            return "to make room for others"
        if index in self.sooner and self._counted(new) < self._counted(was):
            return f"so that {self.sooner[index]} is ready sooner"
        return "there is room for it sooner"

    def _counted(self, minute: int) -> int:
        """Up to when a wait counts that ends then; behind the plan's end as at its end."""
        marks = self.problem.comfort.marks
        return self.problem.comfort.counted(min(minute, marks[-1]) if marks else minute)


def _ready(song: SongFacts, ends: dict[int, int]) -> int | None:
    if song.hopeless or any(job not in ends for job in song.jobs):
        return None
    return max((ends[job] for job in song.jobs), default=None)
