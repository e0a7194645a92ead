"""The least score of a small shelf, proven by looking at every plan there is, in order of time.

Why it is exact. Every item but a touch starts and ends on the grid, and so does a load; hence a plan is fixed
by what the operator starts at which grid moment. The search walks the grid moments forward and tries, at each
moment at which the operator is free, every item and every load that the rules allow then, and waiting. All
rules look back (a calibration reel that has cooled, a line-up in this window) or at moments that are known
when a load starts (its touches, cool_until, playable_until), so each is checked where the item is placed. Two
beginnings of a plan with the same state at the same moment (work left of every reel, when it is at hand and
how long playable, how decks stand, chambers and touches to come) can be continued alike: only the cheaper is
kept. Beginnings whose cost plus a lower bound of the rest is no better than a known plan are dropped; that
bound gives every reel and song the bench time that its own work takes and nothing else.

Left out, because never better: a line-up to a set-up that no transfer waits for, or to the one the deck is
lined up to already in this window; a full line-up where a touch-up, no longer, will do; work on barred reels
and on those that a look would only leave over; calibration reels that fit no set-up of the shelf; waiting
through time in which nothing may start.
Not covered, and refused: segments, `touch_minutes = 0` (a load could then start while the operator is busy),
items without length (one could stand at the very end of a window or start of a touch), and a sticky
calibration reel that nobody inspected and that is still playable.

No solver and nothing of the program; costs are whole numbers of a unit that holds half a second at a
hundredth of priority, and the prices of comfort, exactly.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations, pairwise
from typing import Any

import reeljudge_hours as hours
from reeljudge_case import Case, build, make_load
from reeljudge_score import counted, tied_seconds
from reeljudge_shelf import NEVER, Reel, Setup, Shelf
from reelwrite import load_item, write_plan

Step = tuple[str, ...]
State = tuple[Any, ...]


@dataclass(slots=True)
class Task:
    """What a reel may still get: bench steps in order, and how it stands towards heat."""

    reel: Reel
    steps: Step
    heatable: bool
    minutes_left: list[int] = field(default_factory=list)


class Search:
    """One shelf, one horizon; `least()` gives the score and a plan that reaches it.

    With *ties* that plan has the fewest line-ups of all plans of that score, and of those the fewest evenings
    (bench windows with an item); then `line_ups` and `evenings` tell how many.
    """

    def __init__(self, shelf: Shelf, start: str, until: str, ties: bool = False) -> None:
        self.case: Case = build(shelf, {"from": start, "until": until, "items": [], "left_over": []})
        self.shelf, self.zone = shelf, shelf.zone
        self.start, self.until = self.case.start, self.case.until
        self.grid = int(shelf.minutes["grid"]) * 60
        self.tasks = [self._task(reel) for reel in shelf.reels.values() if self._counts(reel)]
        self.index = {task.reel.name: place for place, task in enumerate(self.tasks)}
        self.decks = list(shelf.decks.values())
        self.chambers = list(shelf.chambers.values())
        usual = shelf.comfort
        self.fine = math.lcm(usual.line_up_hour.denominator, usual.tied_hour.denominator)
        """Cost units in half a second at a hundredth of priority."""
        self.lining = int(usual.line_up_hour * 200 * self.fine)
        self.tied = int(usual.tied_hour * 200 * self.fine)
        self.unit = 200 * 3600 * self.fine
        """Cost units in one hour of priority one: the score is cost / unit."""
        self.late = 3 * self.fine * (self.until - self.start)
        self.scale = 10_000 if ties else 1
        self._bench()
        self._songs()
        self._warm_already()
        self.counts_until: dict[int, int] = {}
        self.loads_at: dict[tuple[int, tuple[int, ...], int], Any] = {}

    # --- facts ------------------------------------------------------------------------------------------

    def _counts(self, reel: Reel) -> bool:
        if self.case.barred(reel) is not None:
            return False
        if reel.calibration:
            return any(
                reel in self.case.fitting(deck, part.setup)
                for deck in self.shelf.decks.values()
                for one in self.case.sources()
                for part in one.parts
            )
        return reel.stage != "verified" and not self.case.beyond_help(reel)

    def _task(self, reel: Reel) -> Task:
        lengths = [self.case.rounded(self.shelf.minutes["identify"]), *self.case.verify_seconds(reel)]
        for deck in self.shelf.decks.values():
            lengths += [self.case.rounded(deck.setup_minutes), self.case.rounded(deck.touch_up_minutes)]
        if 0 in lengths:
            raise NotImplementedError("items without length are not searched")
        if len(reel.parts) > 1 or any(chamber.touch_minutes == 0 for chamber in self.shelf.chambers.values()):
            raise NotImplementedError("segments and zero-minute touches are not searched")
        steps = ["identify"] if reel.stage == "found" or reel.uninspected else []
        if reel.calibration:
            lasts = self.case.playable(reel)
            if reel.uninspected and self.case.sticky(reel) and lasts is not None:
                raise NotImplementedError("playable calibration reels to be looked at are not searched")
        else:
            if reel.before("transferred"):
                steps += ["repair"] if reel.splices_due else []
                steps += ["audition"] if self.shelf.minutes["audition"] and not reel.heard else []
                steps.append("transfer")
            steps.append("verify")
        due = reel.calibration or reel.before("transferred")
        heatable = (
            due
            and self.case.sticky(reel)
            and self.case.no_heat(reel) is None
            and not self.case.running(reel)
            and self.case.playable(reel) != NEVER
            and not self._overdue(reel)
        )
        steps = ["transfer", "verify"] if self._overdue(reel) and not reel.calibration else steps
        return Task(reel, tuple(steps), heatable)

    def _overdue(self, reel: Reel) -> bool:
        """Whether its hours in a chamber were up before the plan begins: to come out now, and left over."""
        treatment = self.case.treatment(reel)
        if not reel.chamber or reel.loaded_at is None or treatment is None or self.case.running(reel):
            return False
        return reel.before("transferred") or reel.calibration

    def _bench(self) -> None:
        """The windows without their slack; bench time passed by each one's end, for the bound."""
        parts = [
            (max(start, self.start), min(end - self.case.slack_seconds((start, end)), self.until), end)
            for start, end in self.case.spans.bench
            if start < self.until and end > self.start
        ]
        parts = [part for part in parts if part[1] > part[0]]
        self.windows = [(start, end) for start, end, _ in parts]
        self.over = [over for _, _, over in parts]
        self.before = [0]
        for start, end in self.windows:
            self.before.append(self.before[-1] + end - start)
        self.ends = [end for _, end in self.windows]

    def _songs(self) -> None:
        self.fixed = 0
        self.songs: list[tuple[int, frozenset[int]]] = []
        for song in self.shelf.songs.values():
            reels = [self.shelf.reels[name] for name in song.needs]
            left = [reel for reel in reels if reel.stage != "verified"]
            if not song.album or not left or any(self.case.barred(reel) for reel in reels):
                continue
            weight = int(song.priority * 100)
            if any(self.case.beyond_help(reel) for reel in left):
                self.fixed += weight * self.late
            else:
                self.songs.append((weight, frozenset(self.index[reel.name] for reel in left)))
        for reel in self.case.sources():
            if reel.stage != "verified" and not self.case.barred(reel) and self.case.beyond_help(reel):
                self.fixed += self.late

    def _warm_already(self) -> None:
        """The loads that run at `from` are paid for whatever is planned."""
        self.fixed += self.tied * tied_seconds(self.case)

    # --- states -----------------------------------------------------------------------------------------
    # A reel's state: (next step, at hand from, playable until, heated); a deck's: (stands on,
    # end of the bench window in which it was lined up, or 0); then the moment from which each chamber is
    # free, and the touches to come.

    def first_state(self) -> State:
        """How everything stands at `from`."""
        reels = []
        for task in self.tasks:
            heats = self.case.heats(task.reel)
            if self._overdue(task.reel):
                reels.append((0, NEVER, -1, True))
            elif heats:
                reels.append((0, heats[-1][1], heats[-1][2] if self.case.sticky(task.reel) else NEVER, True))
            else:
                last = self.case.playable(task.reel) if self.case.sticky(task.reel) else NEVER
                reels.append((0, self.case.at_hand_from(task.reel), -1 if last is None else last, False))
        free = {chamber.id: self.start for chamber in self.chambers}
        touches: list[tuple[int, int]] = []
        for load in self.case.loads:
            free[load.chamber.id] = max(free[load.chamber.id], load.touches[-1][2])
            touches += [(start, end) for _, start, end in load.touches if start >= self.start]
        decks = tuple((deck.lined_up, 0) for deck in self.decks)
        return self._tidy(self.start, (tuple(reels), decks, tuple(free.values()), tuple(sorted(touches))))

    def _tidy(self, now: int, state: State) -> State:
        """Forgets what no longer matters at *now*, so that equal futures are equal states."""
        reels, decks, chambers, touches = state
        inside = self.window(now)
        kept = []
        for task, (step, hand, last, heated) in zip(self.tasks, reels, strict=True):
            if step == len(task.steps) and not task.reel.calibration:
                kept.append((step, 0, 0, True))
                continue
            late = NEVER if last >= self.until else (last if last > now else -1)
            kept.append((step, hand if hand > now else 0, late, heated))
        here = inside[1] if inside else 0
        decks = tuple((stands, ends if ends == here else 0) for stands, ends in decks)
        free = tuple(moment if moment > now else 0 for moment in chambers)
        return tuple(kept), decks, free, tuple(touch for touch in touches if touch[1] > now)

    def window(self, now: int) -> tuple[int, int] | None:
        """The bench window that an item starting at *now* would lie in."""
        place = bisect_right(self.ends, now)
        if place < len(self.windows) and self.windows[place][0] <= now:
            return self.windows[place]
        return None

    # --- what may start now -----------------------------------------------------------------------------

    def moves(self, now: int, state: State) -> Iterator[tuple[int, State, tuple[Any, ...] | None]]:
        """Every (next moment, state, what was started) from a state in which the operator is free."""
        touches = state[3]
        if touches and touches[0][0] <= now:
            yield self._on_grid(touches[0][1]), state, None
            return
        yield self._wait(now, state), state, None
        yield from self._loads(now, state)
        inside = self.window(now)
        if inside:
            limit = min(inside[1], touches[0][0] if touches else NEVER)
            yield from self._aligns(now, state, limit)
            yield from self._steps(now, state, limit)

    def _on_grid(self, moment: int) -> int:
        """The next moment on the grid of the studio's clock, offsets of whole grid steps given."""
        clock = hours.local_time(moment, self.zone)
        over = (clock.minute * 60 + clock.second) % self.grid
        return moment + (self.grid - over) % self.grid

    def _wait(self, now: int, state: State) -> int:
        later = now + self.grid if now == self._on_grid(now) else self._on_grid(now)
        spans = self.case.spans
        opens = [one for one in (self._next(spans.bench, later), self._next(self._home(state), later)) if one]
        opens += [touch[0] for touch in state[3][:1]]
        return max(later, min(opens, default=self.until))

    def _home(self, state: State) -> list[tuple[int, int]]:
        return (
            self.case.spans.home
            if any(
                task.heatable and not (heated and not task.reel.calibration)
                for task, (_, _, _, heated) in zip(self.tasks, state[0], strict=True)
            )
            else []
        )

    def _next(self, spans: list[tuple[int, int]], moment: int) -> int | None:
        for start, end in spans:
            if end > moment:
                return moment if start <= moment else self._on_grid(start)
        return None

    def _loads(self, now: int, state: State) -> Iterator[tuple[int, State, tuple[Any, ...]]]:
        reels, _, chambers, touches = state
        able = []
        for place, task in enumerate(self.tasks):
            step, hand, _, heated = reels[place]
            identified = step >= (1 if task.steps[:1] == ("identify",) else 0)
            untouched = task.reel.calibration or (
                all(name in ("identify",) for name in task.steps[:step]) and not heated
            )
            if task.heatable and identified and untouched and hand <= now:
                able.append(place)
        for spot, chamber in enumerate(self.chambers):
            if chambers[spot] > now:
                continue
            for count in range(1, len(able) + 1):
                for members in combinations(able, count):
                    load = self._load(spot, members, now)
                    if load is not None and not _meet(load, touches):
                        later, after = self._loaded(state, spot, members, load)
                        warm = self._warm_until(now, chambers)
                        tied = hours.outside(warm, load.end, self.case.spans.bench)
                        yield later, after, ("condition", chamber.id, now, members, tied)

    def _warm_until(self, now: int, chambers: tuple[int, ...]) -> int:
        """The moment till which some load that runs now runs on."""
        ends = [
            free - int(chamber.touch_minutes * 60)
            for free, chamber in zip(chambers, self.chambers, strict=True)
        ]
        return max(now, *ends)

    def _loaded(self, state: State, spot: int, members: tuple[int, ...], load: Any) -> tuple[int, State]:
        """When the operator is free again, and the state after a load was put in."""
        reels, decks, chambers, touches = state
        changed = list(reels)
        for place in members:
            reel = self.tasks[place].reel
            treatment = self.case.treatment(reel)
            assert treatment is not None
            out = load.outs[reel.name]
            changed[place] = (
                reels[place][0],
                out + int(treatment.cool * 60),
                out + int(treatment.playable_days * 86400),
                True,
            )
        free = tuple(load.touches[-1][2] if one == spot else moment for one, moment in enumerate(chambers))
        coming = tuple(sorted(touches + tuple((start, end) for _, start, end in load.touches)))
        return self._on_grid(coming[0][1]), (tuple(changed), decks, free, coming)

    def _load(self, spot: int, members: tuple[int, ...], now: int) -> Any:
        """The load if it holds by trays, temperature, home time and horizon, else None."""
        key = (spot, members, now)
        if key not in self.loads_at:
            chamber = self.chambers[spot]
            reels = [self.tasks[place].reel for place in members]
            load = make_load(self.case, chamber, now, [reel.name for reel in reels], False, {})
            trays = sum(chamber.trays_taken.get(reel.width, NEVER) for reel in reels)  # type: ignore[arg-type]
            heat = {treatment.temperature for reel in reels if (treatment := self.case.treatment(reel))}
            last = load.touches[-1][2]
            clash = any(one[2] > other[1] for one, other in pairwise(load.touches))
            holds = (
                trays <= chamber.trays
                and len(heat) == 1
                and not clash
                and last <= self.until
                and hours.holder(self.case.spans.home, now, last)
            )
            self.loads_at[key] = load if holds else None
        return self.loads_at[key]

    def _aligns(self, now: int, state: State, limit: int) -> Iterator[tuple[int, State, tuple[Any, ...]]]:
        reels, decks, chambers, touches = state
        for spot, deck in enumerate(self.decks):
            stands, lined_up = decks[spot]
            for setup in self._wanted(reels, deck):
                if lined_up and stands == setup:
                    continue
                lengths = {
                    False: self.case.rounded(deck.touch_up_minutes),
                    True: self.case.rounded(deck.setup_minutes),
                }
                kinds = [stands != setup]
                if stands == setup and lengths[True] < lengths[False]:
                    kinds.append(True)
                for full in kinds:
                    end = now + lengths[full]
                    if end > limit or (
                        full
                        and deck.setup_needs_helper
                        and not hours.holder(self.case.spans.helper, now, end)
                    ):
                        continue
                    if deck.loud and not hours.holder(self.case.spans.loud, now, end):
                        continue
                    calibration = self._calibration(reels, deck, setup, now, end)
                    if calibration is None and deck.calibration_needed and self.case.fitting(deck, setup):
                        continue
                    stand = (setup, self.ends[bisect_right(self.ends, now)])
                    changed = (*decks[:spot], stand, *decks[spot + 1 :])
                    yield (
                        end,
                        (reels, changed, chambers, touches),
                        ("align", deck.id, now, end, setup, full, calibration),
                    )

    def _wanted(self, reels: tuple[Any, ...], deck: Any) -> list[Setup]:
        wanted = []
        for task, (step, *_) in zip(self.tasks, reels, strict=True):
            if "transfer" in task.steps[step:]:
                part = task.reel.parts[0]
                if deck in self.case.takes(task.reel, part) and part.setup not in wanted:
                    wanted.append(part.setup)
        return wanted

    def _calibration(self, reels: tuple[Any, ...], deck: Any, setup: Setup, now: int, end: int) -> str | None:
        """The calibration reel nearest to the set-up that would do from *now* to *end*."""
        names = {reel.name for reel in self.case.fitting(deck, setup)}
        ready = [
            task.reel
            for task, (step, hand, last, _) in zip(self.tasks, reels, strict=True)
            if task.reel.name in names and step == len(task.steps) and hand <= now and end <= last
        ]

        def far(reel: Reel) -> tuple[bool, Fraction | int]:
            level, own = setup[2], reel.setup[2]
            known = isinstance(level, Fraction) and isinstance(own, Fraction)
            return reel.setup[1] != setup[1], abs(Fraction(level) - Fraction(own)) if known else NEVER

        return min(ready, key=far).name if ready else None

    def _steps(self, now: int, state: State, limit: int) -> Iterator[tuple[int, State, tuple[Any, ...]]]:
        reels, decks, chambers, touches = state
        for place, task in enumerate(self.tasks):
            step, hand, last, heated = reels[place]
            if step == len(task.steps):
                continue
            kind = task.steps[step]
            for deck, seconds in self._ways(kind, task, decks, heated):
                end = now + seconds
                if end > limit or (kind in ("repair", "audition", "transfer") and (hand > now or last < now)):
                    continue
                if kind == "transfer" and end > last:
                    continue
                quiet = deck is not None and not hours.holder(self.case.spans.loud, now, end)
                if quiet and (kind == "audition" or deck.loud):
                    continue
                later = self._after_look(task, kind, now, hand)
                changed = (*reels[:place], (step + 1, later, last, heated), *reels[place + 1 :])
                yield (
                    end,
                    (changed, decks, chambers, touches),
                    (kind, task.reel.name, now, end, deck.id if deck else None),
                )

    def _after_look(self, task: Task, kind: str, now: int, hand: int) -> int:
        """When a reel is at hand after a step: not before the bench window of its first look is over.

        A calibration reel is, unless it has to be warmed first anyway.
        """
        if kind != "identify" or not task.reel.uninspected:
            return hand
        if task.reel.calibration and not task.heatable:
            return hand
        return max(hand, self.over[bisect_right(self.ends, now)])

    def _ways(self, kind: str, task: Task, decks: tuple[Any, ...], heated: bool) -> Iterator[tuple[Any, int]]:
        reel, case, minutes = task.reel, self.case, self.shelf.minutes
        clean = minutes["clean"] if heated or case.sticky(reel) else Fraction(0)
        if kind == "identify":
            yield None, case.rounded(minutes["identify"])
        elif kind == "repair":
            yield None, case.rounded(max(Fraction(10), minutes["splice"] * reel.splices))
        elif kind == "verify":
            yield None, min(case.verify_seconds(reel))
        elif kind == "audition":
            for deck in self.decks:
                if reel.width in deck.widths:
                    yield deck, case.rounded(minutes["load"] + minutes["audition"] + clean)
        else:
            for deck, (stands, lined_up) in zip(self.decks, decks, strict=True):
                if lined_up and stands == reel.parts[0].setup and deck in case.takes(reel, reel.parts[0]):
                    yield deck, min(case.transfer_seconds(reel, reel.parts[0], deck))

    # --- cost and bound ---------------------------------------------------------------------------------

    def _cost(self, reels: tuple[Any, ...], place: int, end: int) -> int:
        """What the verify of a reel adds: its hundredth, and every song that it completes."""
        counts = self._counted(end)
        cost = counts
        for weight, needed in self.songs:
            if place in needed and all(reels[one][0] == len(self.tasks[one].steps) for one in needed):
                cost += weight * counts
        return cost

    def _price(self, reels: tuple[Any, ...], what: tuple[Any, ...]) -> int:
        """What a move adds to the score."""
        if what[0] == "verify":
            return self._cost(reels, self.index[what[1]], what[3])
        if what[0] == "align":
            return self.lining * (what[3] - what[2])
        return self.tied * what[4] if what[0] == "condition" else 0

    def _counted(self, end: int) -> int:
        """Cost of an end at a hundredth of priority."""
        if end not in self.counts_until:
            self.counts_until[end] = 2 * self.fine * counted(self.case, end)
        return self.counts_until[end]

    def _work(self) -> None:
        """Least seconds of bench time that each reel still takes, by the number of steps done."""
        for task in self.tasks:
            left = [0]
            for kind in reversed(task.steps):
                if kind == "transfer":
                    part = task.reel.parts[0]
                    seconds = min(
                        min(self.case.transfer_seconds(task.reel, part, deck))
                        for deck in self.case.takes(task.reel, part)
                    )
                else:
                    seconds = next(iter(self._ways(kind, task, (), False)), (None, 0))[1]
                left.append(left[-1] + seconds)
            task.minutes_left = left[::-1]

    def _after(self, now: int, seconds: int) -> int:
        """What an end after so much more bench time than *now* costs, or the penalty."""
        place = bisect_right(self.ends, now)
        if place == len(self.windows):
            return self.late
        passed = self.before[place] + max(0, now - self.windows[place][0]) + seconds
        last = bisect_right(self.before, passed - 1) - 1
        if last >= len(self.windows):
            return self.late
        return min(self.late, self._counted(self.windows[last][0] + passed - self.before[last]))

    def rest(self, now: int, reels: tuple[Any, ...]) -> int:
        """A lower bound of what is still to be paid."""
        left = {
            place: task.minutes_left[reels[place][0]]
            for place, task in enumerate(self.tasks)
            if not task.reel.calibration and reels[place][0] < len(task.steps)
        }
        total, passed = 0, 0
        for seconds in sorted(left.values()):
            passed += seconds
            total += self._after(now, passed)
        for weight, needed in self.songs:
            open_reels = [left[one] for one in needed if one in left]
            if open_reels:
                total += weight * self._after(now, sum(open_reels))
        return total

    # --- the search -------------------------------------------------------------------------------------

    def least(self, beam: int = 40, limit: int = 2_000_000) -> tuple[Fraction, list[tuple[Any, ...]]]:
        """The least score and what a plan that reaches it starts when; RuntimeError past *limit* states."""
        self._work()
        known = self._walk(beam, None, limit)
        best = self._walk(None, known[0], limit)
        cost, moves = best if best[0] < known[0] else known
        self.line_ups, self.evenings = divmod(cost % self.scale, 100)
        return Fraction(cost // self.scale + self.fixed, self.unit), moves

    def _tie(self, now: int, used: int, what: tuple[Any, ...] | None) -> tuple[int, int]:
        """What a move adds for the ties, and the end of the bench window that is in use after it."""
        if self.scale == 1 or what is None or what[0] == "condition":
            return 0, used
        here = self.ends[bisect_right(self.ends, now)]
        return (100 if what[0] == "align" else 0) + (here != used), here

    def _walk(self, beam: int | None, ceiling: int | None, limit: int) -> tuple[int, list[tuple[Any, ...]]]:
        """The cheapest way through all states, or through the *beam* most promising of each moment."""
        first, scale = self._on_grid(self.start), self.scale
        layers: dict[int, dict[Any, tuple[int, Any]]] = {
            first: {(0, self._tidy(first, self.first_state())): (0, None)}
        }
        best: tuple[int, Any] = (NEVER * NEVER, None)
        self.seen = 0
        while layers:
            now = min(layers)
            layer = layers.pop(now)
            entries = sorted(
                (
                    (cost + scale * self.rest(now, state[0]), cost, trail, used, state)
                    for (used, state), (cost, trail) in layer.items()
                ),
                key=lambda entry: entry[0],
            )
            for promise, cost, trail, used, state in entries[:beam]:
                if promise >= best[0] or (ceiling is not None and promise >= ceiling):
                    break
                best = min(best, (cost + scale * self._unverified(state[0]), trail), key=lambda end: end[0])
                for later, after, what in self.moves(now, state):
                    self.seen += 1
                    tie, in_use = self._tie(now, used, what)
                    total, way = cost + tie, (trail, what) if what else trail
                    if what:
                        total += scale * self._price(after[0], what)
                    if later >= self.until:
                        if later == self.until:
                            ending = (total + scale * self._unverified(after[0]), way)
                            best = min(best, ending, key=lambda end: end[0])
                        continue
                    inside = self.window(later)
                    key = (in_use if inside and inside[1] == in_use else 0, self._tidy(later, after))
                    there = layers.setdefault(later, {})
                    if key not in there or total < there[key][0]:
                        there[key] = (total, way)
            if self.seen > limit:
                raise RuntimeError(f"more than {limit} moves")
        moves: list[tuple[Any, ...]] = []
        trail = best[1]
        while trail:
            trail, what = trail
            moves.append(what)
        return best[0], moves[::-1]

    def _unverified(self, reels: tuple[Any, ...]) -> int:
        """The penalty for everything that is not verified, if nothing more is done."""
        open_reels = {
            place
            for place, task in enumerate(self.tasks)
            if not task.reel.calibration and reels[place][0] < len(task.steps)
        }
        return self.late * (
            len(open_reels) + sum(weight for weight, needed in self.songs if needed & open_reels)
        )

    # --- the plan that was found ------------------------------------------------------------------------

    def plan(self, moves: list[tuple[Any, ...]]) -> dict[str, Any]:
        """The moves as a plan in the form of the program's JSON, its lists and score computed from it."""
        return write_plan(self.case, [self._item(what) for what in moves])

    def _item(self, what: tuple[Any, ...]) -> dict[str, Any]:
        def clock(moment: int) -> str:
            return hours.local_time(moment, self.zone).isoformat()

        kind = what[0]
        if kind == "condition":
            chamber = self.shelf.chambers[what[1]]
            names = [self.tasks[place].reel.name for place in what[3]]
            return load_item(self.case, make_load(self.case, chamber, what[2], names, False, {}))
        item = {"kind": kind, "start": clock(what[2]), "end": clock(what[3])}
        if kind == "align":
            speed, eq, level, noise = what[4]
            return item | {
                "deck": what[1],
                "full": what[5],
                "calibration": what[6],
                "setup": {
                    "speed": f"{speed} ips",
                    "eq": eq,
                    "level": f"{level} nWb/m" if isinstance(level, Fraction) else level,
                    "noise_reduction": noise,
                },
            }
        item["reel"] = what[1]
        if what[4]:
            item["deck"] = what[4]
        if kind == "transfer":
            item["passes"] = self.case.passes(self.shelf.reels[what[1]])
        return item


def _meet(load: Any, touches: tuple[tuple[int, int], ...]) -> bool:
    """Whether a touch of the load overlaps one that is to come anyway."""
    return any(one[0] < end and start < one[1] for one in touches for _, start, end in load.touches)


def least(shelf: Shelf, start: str, until: str) -> tuple[Fraction, dict[str, Any]]:
    """The proven least score of a small shelf, and a plan that reaches it."""
    search = Search(shelf, start, until)
    best, moves = search.least()
    return best, search.plan(moves)
