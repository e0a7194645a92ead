"""A plan laid beside its shelf for checking: hours as spans, items by reel and deck, facts at its start."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

from core.clock import Span, later
from core.conditioning.advisor import advisor
from core.conditioning.alarms import out_now
from core.conditioning.loads.began_with import log_from, turned_as_begun
from core.plan import Item, Member, Plan
from core.reels import needs
from core.reels.assumed import as_known, likely
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import Transfer, to_play
from core.standing.of_plan.by_the_rules import barred_by_the_rules
from core.studio.opening import Flag, opening
from core.studio.studio import Chamber, Treatment

FLAGS: tuple[Flag, ...] = ("bench", "home", "helper", "loud")


@dataclass(slots=True)
class Spans:
    """Joined spans in order of time; asks which one holds a stretch."""

    spans: tuple[Span, ...]
    starts: list[datetime] = field(init=False)

    def __post_init__(self) -> None:
        self.spans = tuple(Span(s.start.astimezone(UTC), s.end.astimezone(UTC)) for s in self.spans)
        self.starts = [span.start for span in self.spans]

    def holder(self, start: datetime, end: datetime) -> Span | None:
        """The span that holds all of [start, end]."""
        place = bisect_right(self.starts, start) - 1
        if place >= 0 and self.spans[place].holds(start, end):
            return self.spans[place]
        return None


@dataclass(slots=True)
class Case:
    """What the rules look at. All moments are UTC here, so that they compare and subtract as elapsed time."""

    shelf: Shelf
    plan: Plan
    start: datetime = field(init=False)
    until: datetime = field(init=False)
    spans: dict[Flag, Spans] = field(init=False)
    bench: list[Item] = field(default_factory=list)
    loads: list[Item] = field(default_factory=list)
    by_reel: dict[tuple[str, str], list[Item]] = field(default_factory=lambda: defaultdict(list))
    by_deck: dict[str, list[Item]] = field(default_factory=lambda: defaultdict(list))
    heats: dict[str, list[Item]] = field(default_factory=lambda: defaultdict(list))
    own: needs.OwnStocks = field(init=False)
    barred: dict[str, str] = field(default_factory=dict)
    out_of_score: frozenset[str] = field(init=False)  # barred by the rules, and not by the advice alone
    slack: Fraction = field(init=False)
    out_now: frozenset[str] = field(init=False)  # what must not be in the heat, and is
    reels: dict[str, Reel] = field(init=False)  # as they are planned: those not inspected as is likely
    calibrations: tuple[Reel, ...] = field(init=False)
    left: dict[str, tuple[Transfer, ...]] = field(default_factory=dict)  # of reels that were asked about

    def __post_init__(self) -> None:
        plan, studio = self.plan, self.shelf.studio
        self.start, self.until = utc(plan.start), utc(plan.until)
        self.own = self.shelf.own_stocks()
        self.out_now = frozenset(out_now(self.shelf))
        self.slack = studio.comfort.slack if plan.slack is None else Fraction(str(plan.slack))
        self.reels = {key: likely(reel, studio, self.own) for key, reel in self.shelf.reels.items()}
        self.calibrations = tuple(reel for reel in self.reels.values() if reel.calibration)
        self.spans = {flag: Spans(opening(studio, flag, plan.start, plan.until)) for flag in FLAGS}
        for item in sorted(plan.items, key=lambda i: (utc(i.start), utc(i.end), i.kind != "align")):
            if item.kind == "condition":
                self.loads.append(item)
                for member in item.members:
                    self.heats[member.reel].append(item)
                continue
            self.bench.append(item)
            self.by_reel[item.kind, item.reel].append(item)
            if item.deck:
                self.by_deck[item.deck].append(item)
        self.barred = {left.reel: left.barred_by for left in plan.left_over if left.barred_by}
        self.out_of_score = frozenset(key for key in self.barred if self._no_part_of_score(key))

    def _no_part_of_score(self, key: str) -> bool:
        """True for a barred reel that counts nothing: by the rules, or since it must come out of the heat."""
        known = as_known(self.comes_out(self.shelf.reels[key]), self.shelf.studio, self.own)
        heard = needs.to_be_heard(self.reels[key], self.shelf.studio)
        return heard or key in self.out_now or barred_by_the_rules(self.shelf, known, self.plan.start)

    def to_play(self, reel: Reel) -> tuple[Transfer, ...]:
        """The transfers that are left of the reel."""
        if reel.key not in self.left:
            self.left[reel.key] = to_play(self.shelf, reel)
        return self.left[reel.key]

    def of(self, kind: str, reel: Reel) -> list[Item]:
        """The reel's items of a kind, in order of time."""
        return self.by_reel.get((kind, reel.key), [])

    def transferable(self) -> tuple[Reel, ...]:
        """The reels that are not for calibration, as they are planned."""
        return tuple(reel for reel in self.reels.values() if not reel.calibration)

    def assumed(self, reel: Reel) -> bool:
        """True for a reel that nobody has inspected."""
        return self.shelf.reels[reel.key].condition != reel.condition

    def known_from(self, reel: Reel) -> datetime | None:
        """From when a step behind its look may start; None where it is to be looked at and is not."""
        if not needs.to_look_at(self.shelf.reels[reel.key]):
            return self.start
        ends = []
        for item in self.of("identify", reel):
            window = self.spans["bench"].holder(utc(item.start), utc(item.end))
            ends.append(window.end if window is not None and self.assumed(reel) else utc(item.end))
        return max(ends, default=None)

    def treatment(self, reel: Reel) -> Treatment | None:
        """The treatment of the reel's width."""
        return self.shelf.studio.treatment(reel.width)

    def running(self, item: Item) -> bool:
        """True for a load that was started before the plan."""
        return utc(item.start) < self.start or any(
            self.shelf.reels[m.reel].chamber == item.chamber
            and self.shelf.reels[m.reel].loaded_at == item.start
            for m in item.members
            if m.reel in self.shelf.reels
        )

    def chamber_of(self, load: Item) -> Chamber:
        """The chamber of that load, turned as the load that runs there keeps it."""
        chamber = self.shelf.studio.chamber(load.chamber)
        assert chamber is not None
        if not self.running(load):
            return chamber
        return turned_as_begun(chamber, log_from(advisor(self.shelf).loads, load.chamber, load.start))

    def at_once(self, load: Item, member: Member) -> bool:
        """True for a reel that a running load gives up as the plan begins: it must not be there."""
        if member.reel not in self.out_now and member.reel not in self.barred:
            return False
        return self.running(load) and utc(member.out) == self.start

    def cooled(self, reel: Reel) -> datetime:
        """From when it is at hand by what the shelf says."""
        cool = advisor(self.shelf).cools_until(reel, self.start)
        return utc(cool) if cool is not None else datetime.min.replace(tzinfo=UTC)

    def comes_out(self, reel: Reel) -> Reel:
        """The reel as it will be when it has come out of the load that is running, where it is in one."""
        for load in self.heats.get(reel.key, ()):
            now = any(self.at_once(load, one) for one in load.members if one.reel == reel.key)
            if self.running(load) and self.treatment(reel) is not None and not now:
                out = self.heat_of(load, reel)[1]
                return replace(reel, conditioned_at=out, playable_until=None, stage="conditioned")
        return reel

    def heat_of(self, item: Item, reel: Reel) -> tuple[datetime, datetime, datetime, datetime]:
        """Start, out, cool until and playable until of one reel in a load, all computed."""
        treatment = self.treatment(reel)
        assert treatment is not None
        start = utc(item.start)
        out = later(start, hours=needs.heated_hours(reel, treatment))
        cool = later(out, hours=treatment.cool.number)
        return start, out, cool, later(out, hours=treatment.playable_days * 24)


def utc(moment: datetime) -> datetime:
    """The moment in UTC, where sums and differences are elapsed time."""
    return moment.astimezone(UTC)


def minutes_of(item: Item) -> float:
    """How long it is."""
    return (utc(item.end) - utc(item.start)) / timedelta(minutes=1)


def named(item: Item) -> str:
    """The item in a few words."""
    what = item.reel or item.deck or item.chamber
    return f"{item.kind} {what} on {item.start:%d %b at %H:%M}"
