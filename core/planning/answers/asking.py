"""Asking of a plan why: the rule that keeps a reel out, or a song from a date, by relaxing one at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from core.plan import LeftOver, Plan
from core.planning.answers.more_hours import longer_plan, more_evenings
from core.planning.answers.relaxing import Relaxed, Remedy, relaxed
from core.planning.bench.draft import Draft, Load, Step, ends_of
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.placing import Placing, without
from core.planning.bench.whynot import why_not
from core.planning.facts import said
from core.planning.facts.least import least_minutes
from core.planning.facts.problem import Job, Problem, Window
from core.planning.wishes.wished import day_of, minute_at, read_wished, with_jobs
from core.planning.wishes.wishes import Wishes, one_less
from core.shelf import Shelf
from core.words import counted, day_text, hours_text

FOREVER = 1 << 40
TOLD = ("helper", "loud hours", "home")  # rules of which the facts alone tell more


@dataclass(frozen=True, slots=True)
class Because:
    """What stands in the way: the rule, the reason in the trade's words, and what would change it."""

    what: str
    rule: str
    why: str
    would_do: tuple[str, ...] = ()

    @property
    def says(self) -> str:
        """One sentence: the reason, and what would do."""
        return f"{self.why}; {' or '.join(self.would_do)} would do it" if self.would_do else self.why

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {"reel": self.what, "rule": self.rule, "why": self.why, "would_do": list(self.would_do)}


@dataclass(slots=True)
class Asking:
    """Reasons about one plan; ``most`` remedies are looked for each time."""

    shelf: Shelf
    plan: Plan
    wishes: Wishes = field(default_factory=Wishes)
    most: int = 2
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
            return Because(key, "", f"{key} is not left over in this plan")
        job = next((job for job in self.problem.work if job.key == key), None)
        if job is None or left.barred_by:
            return Because(key, "barred" if left.barred_by else "facts", left.why, self._finds_out(left))
        return self.binding(job)

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

    def that_day(self, reel: str, day: date, *, load: bool = False) -> str:
        """Why the reel is not transferred on that date, or does not go into a chamber on it."""
        job = next((one for one in self.problem.work if one.key == reel), None)
        if job is None or (load and job.warmth == "no"):
            return "it needs no warming" if job is not None else "nothing of that is left to do with it"
        windows = [w for w in self.problem.windows if day_of(self.problem, w.start) == day]
        if load:
            return self._no_load_on(job, day)
        if not windows:
            return f"there are no bench hours on {day_text(day)}"
        there = replace(job, windows=frozenset(w.index for w in windows))
        for draft in (None, without(self.draft, job)):
            if not self._fits(with_jobs(self.problem, {job.index: there}), draft, job, FOREVER):
                for one in relaxed(self.problem, job, (), minute_at(self.problem, day + timedelta(days=1))):
                    if self._fits(with_jobs(one.whole, {job.index: there}), draft, job, FOREVER):
                        return one.why
                break
        else:
            return "the plan with it there was worse than without: plan again for longer"
        if draft is None:
            return f"it takes {least_minutes(job)} min and a line-up, more than that date leaves it"
        return f"that evening goes to {said.listed(self._on(windows, job)) or 'other wishes'}"

    def _no_load_on(self, job: Job, day: date) -> str:
        """Why no load of the reel starts on that date."""
        first, last = (minute_at(self.problem, day + timedelta(days=n)) for n in (0, 1))
        starts = [h for h in self.problem.homes if h.first < last and h.last >= first]
        longest = max((h.end - max(h.first, first) for h in starts), default=0)
        wanted = job.heat + min(facts.touch for facts in self.problem.chambers)
        if longest < wanted:
            home = f"the longest stretch is {hours_text(longest)}" if longest else "nobody is home at all"
            return f"it takes {hours_text(wanted)} with someone home, and on that date {home}"
        return "the chamber is taken on that date, or the reel is not at hand"

    def _on(self, windows: list[Window], job: Job) -> list[str]:
        """The reels that are worked on in those windows."""
        steps = (s for s in self.draft.steps for w in windows if w.start <= s.start < w.end)
        return list(
            dict.fromkeys(self.problem.jobs[s.job].key for s in steps if s.job not in (-1, job.index))
        )

    def binding(self, job: Job, by: date | None = None, song: str = "") -> Because:
        """The first rule without which the reel finds a place beside the rest of the plan."""
        last = FOREVER if by is None else minute_at(self.problem, by + timedelta(days=1))
        if by is not None and by < self.plan.start.date():
            return Because(
                job.key, "date", f"this plan begins on {day_text(self.plan.start.date())}, after that"
            )
        end = Placing(self.problem, None).end_of(job)
        if end is None or end > last:
            return self._alone(job, by, last, end)
        rest = without(self.draft, job)
        for one in self._rules(job, last):
            if self._fits(one.whole, rest, job, last):
                return Because(job.key, one.rule, one.why, self._remedies(one, rest, job, last))
        would = [f"putting it first (wish: {song} by {by})"] if by is not None and song else []
        would += self._more_time(rest, job, last)
        return Because(job.key, "bench time", self._full(job, last), tuple(would[: self.most]))

    def _alone(self, job: Job, by: date | None, last: int, end: int | None) -> Because:
        """The reel would be late even with nothing else planned."""
        if end is None:
            reason = f"even with nothing else planned: {why_not(self.problem, job)}"
        else:
            reason = f"even alone it is verified on {self._when(end)} at the soonest{self._way(job)}"
        for one in self._rules(job, last):
            if self._fits(one.whole, None, job, last):
                told = why_not(self.problem, job) if one.rule in TOLD else one.why
                lead = "" if one.rule == "calibration" else "even with nothing else planned: "
                why = f"{lead}{told}"
                if end is not None:
                    why = reason if one.rule == "home" else f"{reason}: {one.why}"
                return Because(job.key, one.rule, why, self._remedies(one, None, job, last))
        would = self._more_time(None, job, last)
        return Because(job.key, "bench time" if would else "alone", reason, tuple(would[: self.most]))

    def _rules(self, job: Job, last: int) -> Iterator[Relaxed]:
        """The owner's own wishes, one at a time, then the rules."""
        days = (self.plan.until.date() - self.plan.start.date()).days
        for words, fewer in one_less(self.wishes):
            free = read_wished(self.shelf, self.plan.start, days, fewer)
            step = (f"letting go of `{words}`", free)
            yield Relaxed("wish", f"`{words}` is wished", free, lambda step=step: iter((step,)))  # type: ignore[misc]
        yield from relaxed(self.problem, job, self.waiting, last)

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

    def _fits(self, problem: Problem, draft: Draft | None, job: Job, last: int) -> bool:
        end = Placing(problem, draft).end_of(job)
        return end is not None and end <= last

    def _remedies(self, one: Relaxed, draft: Draft | None, job: Job, last: int) -> tuple[str, ...]:
        """The smallest step of that rule that is enough, and what more time would do beside it."""
        found = (words for words, new in one.steps() if self._fits(new, draft, job, last))
        would = [words for words in (next(found, None),) if words]
        if len(would) < self.most:
            would += self._more_time(draft, job, last)
        return tuple(would[: self.most])

    def _more_time(self, draft: Draft | None, job: Job, last: int) -> list[str]:
        """One more evening, or where no date binds a longer plan: whichever gives the reel a place."""
        out = []
        for ways in (self._evenings, self._weeks) if last == FOREVER else (self._evenings,):
            for words, new in ways(last):
                there = next((one for one in new.work if one.key == job.key), None)
                end = None if there is None else self._other(words, new, draft, there).end_of(there)
                if end is not None and end <= last:
                    out.append(words)
                    break
            if len(out) >= self.most:
                break
        return out

    def _evenings(self, last: int) -> Iterator[Remedy]:
        return more_evenings(self.shelf, self.plan, self.problem, last, self.known, self.wishes)

    def _weeks(self, last: int) -> Iterator[Remedy]:
        return longer_plan(self.shelf, self.plan, self.known, self.wishes)

    def _other(self, words: str, new: Problem, draft: Draft | None, job: Job) -> Placing:
        """The plan entered in another problem; kept where the reel is not in it, for the next one to ask."""
        if draft is None:
            return Placing(new, None)
        old = self.entered.get(words)
        if old is None or any(step.job == job.index for step in old.diary.steps):
            old = Placing(new, without(draft_of_plan(new, self.plan), job))
            self.entered[words] = old
        return old

    def _full(self, job: Job, last: int) -> str:
        """How much bench time there is, how much goes to which reels, and how much this one asks for."""
        windows = [w for w in self.problem.windows if w.start < last]
        first = {step.start: step for step in self.draft.steps if step.end <= last and step.job != job.index}
        total, used = sum(w.minutes for w in windows), sum(s.end - s.start for s in first.values())
        reels = list(dict.fromkeys(self.problem.jobs[s.job].key for s in first.values() if s.job >= 0))
        evenings = counted(len(windows), "evening")
        upto = f" up to {day_text(day_of(self.problem, last - 1))}" if last < FOREVER else ""
        return (
            f"{used} of {total} bench minutes in {evenings}{upto} go to {said.listed(reels)}, which "
            f"{'come' if len(reels) > 1 else 'comes'} first; it takes {least_minutes(job)} min and a line-up"
        )
