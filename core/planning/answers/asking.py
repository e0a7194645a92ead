"""Asking of a plan why: the rule that keeps a reel out, or a song from a date, by relaxing one at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import chain, islice

from core.plan import LeftOver, Plan
from core.planning.answers.more_hours import longer_plan, more_evenings
from core.planning.answers.proving import Asked, Proof, comes_in
from core.planning.answers.relaxing import relaxed
from core.planning.answers.remedy import Because, Change, LessOf, Relaxed, Remedy, Rule
from core.planning.answers.room import (
    full_words,
    in_a_better_plan,
    room_beside,
    roomy,
    slack_words,
    warmed_in_vain,
)
from core.planning.bench.draft import Draft, Load, Step, ends_of
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.placing import Placing, without
from core.planning.bench.whynot import why_not
from core.planning.facts import said
from core.planning.facts.problem import Job, Problem
from core.planning.wishes.wished import minute_at, read_wished
from core.planning.wishes.wishes import Wishes, one_less
from core.shelf import Shelf
from core.words import day_text

FOREVER = 1 << 40
TRIED = 3  # steps of a rule that leave room for a reel, each of another date, tried one after the other
STEPS = 8  # steps of a rule with which all is planned anew
WARMING: tuple[LessOf, ...] = ("trays", "home")
TOLD: tuple[LessOf, ...] = ("helper", "loud hours", "home")  # rules of which the facts alone tell more


@dataclass(slots=True)
class Asking:
    """Reasons about one plan; ``most`` remedies are looked for each time.

    With a ``proof`` each is tried before it is named as what would do; without, it is named as what may.
    """

    shelf: Shelf
    plan: Plan
    wishes: Wishes = field(default_factory=Wishes)
    most: int = 2
    proof: Proof | None = None
    problem: Problem = field(init=False)
    draft: Draft = field(init=False)
    known: dict[str, Problem] = field(default_factory=dict)
    entered: dict[str, Placing] = field(default_factory=dict)

    def __post_init__(self) -> None:
        days = (self.plan.until.date() - self.plan.start.date()).days
        self.problem = read_wished(self.shelf, self.plan.start, days, self.wishes)
        self.draft = draft_of_plan(self.problem, self.plan)

    @property
    def waiting(self) -> list[Job]:
        """The reels that the plan leaves over although nothing bars them."""
        ends = ends_of(self.draft)
        return [job for job in self.problem.work if job.index not in ends]

    def reel(self, key: str) -> Because:
        """Why the plan leaves this reel over."""
        left = next((row for row in self.plan.left_over if row.reel == key), None)
        if left is None:
            return Because(key, "", self._planned_told(key))
        job = next((job for job in self.problem.work if job.key == key), None)
        if job is None or left.barred_by:
            return Because(key, "barred" if left.barred_by else "facts", left.why, self._finds_out(left))
        return self.binding(job)

    def _planned_told(self, key: str) -> str:
        """When a reel that is not left over is verified by the plan."""
        ends = [one.end for one in self.plan.items if one.reel == key and one.kind == "verify"]
        if not ends:
            return f"{key} is not left over in this plan"
        end = max(ends).astimezone(self.shelf.studio.zone)
        return f"{key} is not left over: this plan has it verified {day_text(end.date())} at {end:%H:%M}"

    def _finds_out(self, left: LeftOver) -> tuple[str, ...]:
        """What else tells the length of a reel against which nothing but that stands."""
        return said.LENGTH_TELLS if left.why == "not known: length" else ()

    def song(self, key: str, by: date) -> Iterator[Because]:
        """Why the song is not ready by the end of that date: one reason for each reel that is late."""
        place = {job.key: job for job in self.problem.work}
        ends = {item.reel: item.end for item in self.plan.items if item.kind == "verify"}
        left = {row.reel: row for row in self.plan.left_over}
        for reel in dict.fromkeys(need.reel for need in self.shelf.song(key).needs):
            known = self.shelf.reels.get(reel)
            if known is None:
                yield Because(reel, "facts", f"{reel} is not on this shelf")
            elif known.past("verified"):
                continue
            elif reel in left and (left[reel].barred_by or reel not in place):
                yield Because(reel, "barred", left[reel].why, self._finds_out(left[reel]))
            elif reel in place and (reel not in ends or ends[reel].date() > by):
                yield self.binding(place[reel], by, key)

    def binding(self, job: Job, by: date | None = None, song: str = "") -> Because:
        """The first rule without which the reel finds a place beside the rest of the plan."""
        last = FOREVER if by is None else minute_at(self.problem, by + timedelta(days=1))
        if by is not None and by < self.plan.start.date():
            return Because(
                job.key, "date", f"this plan begins on {day_text(self.plan.start.date())}, after that"
            )
        if job.waits:
            return Because(job.key, "chamber", job.waits)
        end = Placing(self.problem, None).end_of(job)
        if end is None or end > last:
            return self._alone(job, by, last, end, song)
        rest = without(self.draft, job)
        if room := room_beside(self.problem, rest, job, last):
            return self._because(job, "search", room, self._again(song, by), by, song)
        if self.proof is not None and (room := in_a_better_plan(self.problem, self.draft, job, last)):
            return self._because(job, "search", room, self._again(song, by), by, song)
        for one in self._rules(job, last):
            if self.fits(one.whole, rest, job, last):
                found = self._remedies(one, rest, job, last)
                vain = warmed_in_vain(self.problem, rest, job) if one.rule == "home" else ""
                return self._because(job, one.rule, vain or one.why, found, by, song)
        return self._crowded(job, by, last, song, rest)

    def _crowded(self, job: Job, by: date | None, last: int, song: str, rest: Draft) -> Because:
        """No rule keeps it out of the plan as it is: one may all the same, were all planned anew."""
        asked = self.proof is None and roomy(self.problem, self.draft, job, last)
        if asked and (room := in_a_better_plan(self.problem, self.draft, job, last)):
            return self._because(job, "search", room, self._again(song, by), by, song)
        could = bool(warmed_in_vain(self.problem, rest, job))
        for one in relaxed(self.problem, job, self.waiting, last) if self.proof is not None else ():
            if could and one.rule in WARMING:
                continue  # a stretch and a tray are free: the evenings are what it lacks
            if comes_in(one.whole, self.draft, job, last):
                found = chain(self._anew(one, job, last), self._more_time(rest, job, last))
                return self._because(job, one.rule, one.why, found, by, song)
        first = self._put_first(song, by) if by is not None and song else ()
        found = chain(first, self._more_time(rest, job, last))
        return self._because(
            job, "bench time", full_words(self.problem, self.draft, job, last), found, by, song
        )

    def _again(self, song: str, by: date | None) -> Iterator[Remedy]:
        """Searching again, where no rule is in the way; for a song by a date the wish before."""
        yield from self._put_first(song, by) if by is not None and song else ()
        yield Remedy("planning again for longer", self.problem, Change("wishes", wishes=self.wishes))

    def _put_first(self, song: str, by: date) -> tuple[Remedy, ...]:
        """The wish that the song be ready by then, where it does not stand already."""
        if (song, by) in self.wishes.song_by:
            return ()
        reels = tuple(need.reel for need in self.shelf.song(song).needs)
        others = tuple(pair for pair in self.wishes.song_by if pair[0] != song)
        of_song = {} if self.shelf.song(song).album else {song: reels}
        asked = replace(
            self.wishes, song_by=(*others, (song, by)), of_song={**self.wishes.of_song, **of_song}
        )
        words = f"putting it first (wish: {song} by {by})"
        return (Remedy(words, self.problem, Change("wishes", keys=(song,), wishes=asked)),)

    def _because(
        self, job: Job, rule: Rule, why: str, found: Iterable[Remedy], by: date | None, song: str
    ) -> Because:
        """The reason with what would do it, each tried by planning with it while there is time for that."""
        asked = Asked(self.shelf, (self.plan.until.date() - self.plan.start.date()).days, self.wishes)
        would: list[str] = []
        may: list[str] = []
        for one in found:
            shown = self.proof is not None and self.proof.shows(
                asked, self.plan, one.change, job.key, song, by
            )
            (would if shown else may).append(one.words)
            if len(would if self.proof is not None else may) >= self.most:
                break
        return Because(job.key, rule, why, tuple(would), tuple(may[: self.most]))

    def _alone(self, job: Job, by: date | None, last: int, end: int | None, song: str) -> Because:
        """The reel would be late even with nothing else planned."""
        if end is None:
            reason = f"even with nothing else planned: {why_not(self.problem, job)}"
        else:
            reason = f"even alone it is verified on {self._when(end)} at the soonest{self._way(job)}"
        if end is None and self.problem.slack and self.fits(self._without_slack(), None, job, last):
            return self._because(job, "slack", slack_words(self.problem), (), by, song)
        for one in self._rules(job, last):
            if self.fits(one.whole, None, job, last):
                told = why_not(self.problem, job) if one.rule in TOLD else one.why
                lead = "" if one.rule == "calibration" else "even with nothing else planned: "
                why = f"{lead}{told}"
                if end is not None:
                    why = reason if one.rule == "home" else f"{reason}: {one.why}"
                return self._because(job, one.rule, why, self._remedies(one, None, job, last), by, song)
        more = self._because(job, "alone", reason, self._more_time(None, job, last), by, song)
        return replace(more, rule="bench time") if more.would_do or more.may_do else more

    def _rules(self, job: Job, last: int) -> Iterator[Relaxed]:
        """The owner's own wishes, one at a time, then the rules."""
        days = (self.plan.until.date() - self.plan.start.date()).days
        for words, fewer in one_less(self.wishes):
            free = read_wished(self.shelf, self.plan.start, days, fewer)
            step = Remedy(f"letting go of `{words}`", free, Change("wishes", wishes=fewer))
            yield Relaxed("wish", f"`{words}` is wished", free, lambda step=step: iter((step,)))  # type: ignore[misc]
        yield from relaxed(self.problem, job, self.waiting, last)

    def _without_slack(self) -> Problem:
        days = (self.plan.until.date() - self.plan.start.date()).days
        return read_wished(self.shelf, self.plan.start, days, replace(self.wishes, slack=0.0))

    def _way(self, job: Job) -> str:
        """What the reel goes through before: its warming, else its steps."""
        steps = Placing(self.problem, None).steps_of(job)
        for step in steps:
            if isinstance(step, Load):
                cool = step.start + job.heat + job.cool
                return f": it is warmed from {self._when(step.start)} and cool on {self._when(cool)}"
        kinds = [
            (s.kind, s.start) for s in steps if isinstance(s, Step) and s.kind not in ("align", "verify")
        ]
        return "".join(f"{',' if n else ':'} {kind} {self._when(at)}" for n, (kind, at) in enumerate(kinds))

    def _when(self, minute: int) -> str:
        return said.moment(self.problem.scale.moment(minute))

    def fits(self, problem: Problem, draft: Draft | None, job: Job, last: int) -> bool:
        """Whether the reel finds a place beside that draft and is verified by then."""
        end = Placing(problem, draft).end_of(job)
        return end is not None and end <= last

    def _remedies(self, one: Relaxed, draft: Draft | None, job: Job, last: int) -> Iterator[Remedy]:
        """The smallest steps of that rule that leave it room, and what more time would do beside it."""
        steps = (step for step in one.steps() if self.fits(step.problem, draft, job, last))
        found = list(islice(_one_a_day(steps), 1 if self.proof is None else TRIED))
        yield from found or (self._anew(one, job, last) if draft is not None else ())
        yield from self._more_time(draft, job, last)

    def _anew(self, one: Relaxed, job: Job, last: int) -> Iterator[Remedy]:
        """Steps of that rule with which it comes in where all is planned anew; none without a proof."""
        some = islice(_one_a_day(one.steps()), STEPS) if self.proof is not None else ()
        steps = (step for step in some if comes_in(step.problem, self.draft, job, last))
        yield from islice(steps, TRIED)

    def _more_time(self, draft: Draft | None, job: Job, last: int) -> Iterator[Remedy]:
        """One more evening, or where no date binds a longer plan: whichever gives the reel a place."""
        for ways in (self._evenings, self._weeks) if last == FOREVER else (self._evenings,):
            for one in ways(last):
                there = next((job_ for job_ in one.problem.work if job_.key == job.key), None)
                end = None if there is None else self._other(one, draft, there).end_of(there)
                if end is not None and end <= last:
                    yield one
                    break

    def _evenings(self, last: int) -> Iterator[Remedy]:
        return more_evenings(self.shelf, self.plan, self.problem, last, self.known, self.wishes)

    def _weeks(self, last: int) -> Iterator[Remedy]:
        return longer_plan(self.shelf, self.plan, self.known, self.wishes)

    def _other(self, one: Remedy, draft: Draft | None, job: Job) -> Placing:
        """The plan entered in another problem; kept where the reel is not in it, for the next one to ask."""
        if draft is None:
            return Placing(one.problem, None)
        old = self.entered.get(one.words)
        if old is None or any(step.job == job.index for step in old.diary.steps):
            old = Placing(one.problem, without(draft_of_plan(one.problem, self.plan), job))
            self.entered[one.words] = old
        return old


def _one_a_day(steps: Iterable[Remedy]) -> Iterator[Remedy]:
    """The first step of each date; all that have none."""
    seen: set[date] = set()
    for one in steps:
        day = one.change.day
        if day is None or day not in seen:
            yield one
        if day is not None:
            seen.add(day)
