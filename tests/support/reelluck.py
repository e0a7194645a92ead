"""A plain second simulation of how evenings go: what a plan's dates are worth. No code of the program.

The odds are those that docs/planner.md tells: a step on a reel runs over one time in five, by up to half its
minutes; the helper stays away one evening in ten; one reel in ten needs a quarter more hours of warmth. What
still fits stays where it was planned, or follows as soon as its evening lets it; what its evening has no room
for goes into the first gap after it, behind a line-up of its own where the deck is not lined up for it.
Everything is in seconds since 1970.
"""

from bisect import insort
from dataclasses import dataclass, field
from random import Random
from typing import Any

import reeljudge_hours as hours
from reeljudge_case import Case, Item, Load, make_load
from reeljudge_shelf import NEVER, Reel, Song, setup_of

RUNS_OVER, OVER_BY, AWAY, LONGER = 0.2, 0.5, 0.1, 0.1
Gap = tuple[int, int]


@dataclass
class Evenings:
    """One run of a plan: what is placed where, and how long everything takes this time."""

    case: Case
    dice: Random
    busy: list[Gap] = field(default_factory=list)
    ends: dict[tuple[str, str], int] = field(default_factory=dict)
    parts_left: dict[str, int] = field(default_factory=dict)
    cool: dict[str, int] = field(default_factory=dict)
    lapse: dict[str, int] = field(default_factory=dict)
    aligns: list[tuple[int, int, str, Any]] = field(default_factory=list)
    plays: list[tuple[int, int, str]] = field(default_factory=list)
    free: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        case, dice = self.case, self.dice
        self.grid = int(case.shelf.minutes["grid"]) * 60
        self.windows = [w for w in case.spans.bench if w[1] > case.start and w[0] < case.until]
        self.away = {w for w in self.windows if dice.random() < AWAY}
        self.longer = {reel for reel in case.shelf.reels if dice.random() < LONGER}
        for reel in case.shelf.reels.values():
            self.parts_left[reel.name] = len(reel.parts)
            self.cool[reel.name] = case.at_hand_from(reel)
            last = case.playable(reel) if case.sticky(reel) else NEVER
            self.lapse[reel.name] = -NEVER if last is None else last

    # --- how long it takes this time --------------------------------------------------------------------

    def up(self, moment: float) -> int:
        """Up to the grid, counted from midnight UTC: offsets are whole grid steps in these shelves."""
        return -int(-moment // self.grid) * self.grid

    def took(self, seconds: int) -> int:
        """A step's length this time."""
        if self.dice.random() >= RUNS_OVER:
            return seconds
        return self.up(seconds * (1 + self.dice.random() * OVER_BY))

    # --- where it goes ----------------------------------------------------------------------------------

    def gap(self, first: int, end: int, seconds: int, loud: bool) -> int | None:
        """The first moment from *first* on at which so long a step fits before *end*."""
        start = self.up(first)
        while start + seconds <= end:
            clash = next((b for b in self.busy if b[0] < start + seconds and start < b[1]), None)
            if clash is not None:
                start = self.up(clash[1])
            elif loud and not hours.holder(self.case.spans.loud, start, start + seconds):
                later = [s for s, _ in self.case.spans.loud if s > start]
                if not later:
                    return None
                start = self.up(min(later))
            else:
                return start
        return None

    def take(self, start: int, seconds: int) -> None:
        """The operator is busy."""
        if seconds:
            insort(self.busy, (start, start + seconds))

    def ready_for(self, kind: str, reel: Reel) -> int | None:
        """From when that step may be done on that reel; None while what comes before it is not done."""
        name = reel.name
        found = self.case.of("identify", reel)
        first = self.case.start
        if found and kind != "identify":
            if ("identify", name) not in self.ends:
                return None
            first = self.ends["identify", name]
            if reel.uninspected:
                window = self.case.window(first - 1, first)
                first = window[1] if window else first
        if kind in ("repair", "audition", "transfer"):
            first = max(first, self.cool[name])
        before = {"audition": ("repair",), "transfer": ("repair", "audition"), "verify": ("transfer",)}
        for step in before.get(kind, ()):
            if self.case.of(step, reel):
                if (step, name) not in self.ends or (step == "transfer" and self.parts_left[name]):
                    return None
                first = max(first, self.ends[step, name])
        return first

    # --- loads ------------------------------------------------------------------------------------------

    def load(self, load: Load) -> None:
        """A load with the hours that its reels need this time; those that need too long go in later alone."""
        names = [name for name in load.outs if load.running or self._may_load(name, load.start)]
        usual = [name for name in names if name not in self.longer]
        if load.running or not usual or self._fits(load, names, load.start):
            self._warm(load, names)
            return
        self._warm(load, usual)
        self._warm(load, [name for name in names if name in self.longer])

    def _fits(self, load: Load, names: list[str], start: int) -> bool:
        made = self._longer(make_load(self.case, load.chamber, start, names, False, {}))
        return hours.holder(self.case.spans.home, start, made.touches[-1][2]) is not None

    def _warm(self, load: Load, names: list[str]) -> None:
        """These reels go in when home and chamber allow it, not before the load was planned."""
        if not names:
            return
        start = load.start if load.running else max(load.start, self.up(self.free.get(load.chamber.id, 0)))
        while not load.running and not self._fits(load, names, start):
            start += self.grid
            if start >= self.case.until:
                return
        made = self._longer(make_load(self.case, load.chamber, start, names, load.running, {}))
        self.free[load.chamber.id] = made.touches[-1][2]
        for _, begin, end in made.touches:
            if begin >= self.case.start:
                self.take(begin, end - begin)
        for name, out in made.outs.items():
            treatment = self.case.treatment(self.case.shelf.reels[name])
            assert treatment is not None
            self.cool[name] = out + int(treatment.cool * 60)
            self.lapse[name] = out + int(treatment.playable_days * 86400)

    def _may_load(self, name: str, start: int) -> bool:
        ready = self.ready_for("load", self.case.shelf.reels[name])
        return ready is not None and ready <= start

    def _longer(self, load: Load) -> Load:
        if not self.longer & set(load.outs):
            return load
        outs = {
            name: self.up(load.start + (out - load.start) * 1.25) if name in self.longer else out
            for name, out in load.outs.items()
        }
        step, touch = int(load.chamber.turn_every * 60), int(load.chamber.touch_minutes * 60)
        moments = {load.start: "load"}
        moments |= dict.fromkeys(range(load.start + step, max(outs.values()), step), "turn") if step else {}
        moments |= dict.fromkeys(outs.values(), "take out")
        touches = tuple((do, at, at + touch) for at, do in sorted(moments.items()))
        return Load(load.chamber, load.start, outs, touches, load.running, load.raw)

    # --- items ------------------------------------------------------------------------------------------

    def place(self, item: Item, seconds: int) -> bool:
        """The item where it was planned, or as soon after as its evening lets it."""
        window = self.case.window(item.start, item.end)
        assert window is not None
        if item.kind == "align":
            return self._line_up(item, window, item.start)
        reel = self.case.shelf.reels[item.reel]
        ready = self.ready_for(item.kind, reel)
        if ready is None or ready >= window[1]:
            return False
        return self._do(item, reel, seconds, max(ready, item.start), window)

    def _line_up(self, item: Item, window: Gap, first: int) -> bool:
        deck, setup = self.case.shelf.decks[item.deck], setup_of(item.raw["setup"])
        before = [one for one in self.aligns if one[2] == item.deck and one[0] < item.start]
        stands = max(before)[3] if before else deck.lined_up
        full = item.raw["full"] or stands != setup
        seconds = self.case.rounded(deck.setup_minutes if full else deck.touch_up_minutes)
        start = self.gap(first, window[1], seconds, deck.loud)
        if start is None or (full and deck.setup_needs_helper and not self._helped(window, start, seconds)):
            return False
        self.take(start, seconds)
        self.aligns.append((start, start + seconds, item.deck, setup))
        return True

    def _helped(self, window: Gap, start: int, seconds: int) -> bool:
        there = hours.holder(self.case.spans.helper, start, start + seconds)
        return window not in self.away and there is not None

    def _do(self, item: Item, reel: Reel, seconds: int, first: int, window: Gap) -> bool:
        deck = self.case.shelf.decks.get(item.deck)
        loud = item.kind == "audition" or (item.kind == "transfer" and deck is not None and deck.loud)
        end = window[1]
        if item.kind == "transfer":
            stands = self._stands(item.deck, window, {part.setup for part in reel.parts}, first)
            if stands is None:
                return False
            first, end = max(first, stands[0]), min(end, stands[1])
            if self.case.sticky(reel):
                end = min(end, self.lapse[reel.name])
        start = self.gap(first, end, seconds, loud)
        if start is None:
            return False
        self._done(item, start, seconds)
        return True

    def _done(self, item: Item, start: int, seconds: int) -> None:
        self.take(start, seconds)
        self.ends[item.kind, item.reel] = start + seconds
        if item.kind == "transfer":
            self.parts_left[item.reel] -= 1
            self.plays.append((start, start + seconds, item.deck))

    def _stands(self, deck: str, window: Gap, setups: set[Any], first: int) -> Gap | None:
        """From when till when the deck stands on one of these set-ups in the window: the first stretch."""
        own = sorted(one for one in self.aligns if one[2] == deck and window[0] <= one[0] < window[1])
        found = None
        for place, (_, end, _, setup) in enumerate(own):
            over = own[place + 1][0] if place + 1 < len(own) else window[1]
            if setup in setups and over > first:
                found = found or (end, over)
        return found

    def later(self, item: Item, seconds: int) -> None:
        """What its evening had no room for, in the first gap after it."""
        if item.kind == "align":
            return
        reel = self.case.shelf.reels[item.reel]
        ready = self.ready_for(item.kind, reel)
        if ready is None:
            return
        for window in self.windows:
            first = max(ready, item.start, window[0])
            if first >= window[1]:
                continue
            if self._do(item, reel, seconds, first, window):
                return
            if item.kind == "transfer" and self._own_line_up(item, reel, seconds, first, window):
                return

    def _own_line_up(self, item: Item, reel: Reel, seconds: int, first: int, window: Gap) -> bool:
        deck, setup = self.case.shelf.decks[item.deck], reel.parts[0].setup
        used = [end for begin, end, name in self.plays if name == deck.id and window[0] <= begin < window[1]]
        used += [
            end for begin, end, name, _ in self.aligns if name == deck.id and window[0] <= begin < window[1]
        ]
        first = max([first, *used])
        before = [one for one in self.aligns if one[2] == deck.id and one[0] < first]
        full = (max(before)[3] if before else deck.lined_up) != setup
        lining = self.case.rounded(deck.setup_minutes if full else deck.touch_up_minutes)
        end = min(window[1], self.lapse[reel.name]) if self.case.sticky(reel) else window[1]
        start = self.gap(first, end, lining + seconds, deck.loud)
        if start is None or (full and deck.setup_needs_helper and not self._helped(window, start, lining)):
            return False
        self.take(start, lining)
        self.aligns.append((start, start + lining, deck.id, setup))
        self._done(item, start + lining, seconds)
        return True


def _run(case: Case, dice: Random) -> dict[str, int]:
    """When each reel is verified in one run; reels that are not are left out."""
    run = Evenings(case, dice)
    steps = [(item.start, 1, number, item) for number, item in enumerate(case.items)]
    steps += [(load.start, 0, number, load) for number, load in enumerate(case.loads)]
    late: list[tuple[Item, int]] = []
    for _, _, _, what in sorted(steps, key=lambda step: step[:3]):
        if isinstance(what, Load):
            run.load(what)
            continue
        seconds = what.end - what.start
        if what.kind != "align":
            seconds = run.took(seconds)
        if not run.place(what, seconds):
            late.append((what, seconds))
    for item, seconds in late:
        run.later(item, seconds)
    return {name: end for (kind, name), end in run.ends.items() if kind == "verify"}


def ready_times(case: Case, runs: int, seed: int = 0) -> dict[str, list[int | None]]:
    """By song, when it is ready in each run; None where it is not."""
    dice = Random(seed)
    out: dict[str, list[int | None]] = {name: [] for name in case.shelf.songs}
    for _ in range(runs):
        ends = _run(case, dice)
        for song in case.shelf.songs.values():
            out[song.name].append(_ready(case, song, ends))
    return out


def _ready(case: Case, song: Song, ends: dict[str, int]) -> int | None:
    left = [name for name in song.needs if case.shelf.reels[name].stage != "verified"]
    if not left or any(name not in ends for name in left):
        return None
    return max(ends[name] for name in left)


def held(case: Case, ready: list[int | None], by: int) -> float:
    """In what share of the runs the song is ready on the evening of *by*, or sooner."""
    night = hours.next_night(by, case.shelf.zone)
    there = sum(one is not None and hours.next_night(one, case.shelf.zone) <= night for one in ready)
    return there / len(ready)
