"""What really happened teaches the handling times: robust medians, taken in only by the owner."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from statistics import median

from core.clock import minutes_between
from core.errors import Refused
from core.logbook.passes import played
from core.logbook.steps import StepTaken, taken
from core.reels.length import play_seconds
from core.reels.minutes import passes, winds
from core.reels.needs import sticky
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass

ENOUGH = 5  # fewer evenings than this teach nothing


#: A pause longer than this between two steps is a rest, not the threading of the next tape.
REST_MINUTES = 30.0


@dataclass(frozen=True, slots=True)
class Learnt:
    """A handling time as it was planned and as it came out: ``minutes`` is the median, ``spread`` the median
    distance from it, ``times`` how often it was seen. ``by_setup`` tells a line-up's median and how often by
    set-up; ``before`` what was planned before it was taken in."""

    name: str
    planned: float
    minutes: float
    spread: float
    times: int
    by_setup: tuple[tuple[str, float, int], ...] = ()
    before: float | None = None

    @property
    def enough(self) -> bool:
        """True if it was seen often enough to be taken in."""
        return self.times >= ENOUGH


def learnt(shelf: Shelf) -> tuple[Learnt, ...]:
    """Every handling time of which something is known; play time is taken off transfers first."""
    seen: dict[str, list[float]] = {}
    setups: dict[str, dict[str, list[float]]] = {}
    for one in _done(shelf):
        for name, minutes in _handling(shelf, one):
            seen.setdefault(name, []).append(minutes)
            if one.step.kind == "align":
                setup = " ".join(word for word in (one.step.setup or {}).values() if word)
                setups.setdefault(name, {}).setdefault(setup, []).append(minutes)
    return tuple(_robust(shelf, name, values, setups.get(name, {})) for name, values in sorted(seen.items()))


def take_in(shelf: Shelf, one: Learnt) -> Shelf:
    """The shelf with that learnt time in the studio's own minutes; what stood there before is kept."""
    if not one.enough:
        raise Refused(f"{one.name} was seen {one.times} times: {ENOUGH} are wanted before it counts")
    before = {one.name: one.planned, **shelf.chosen.minutes_before}
    kept = shelf.choosing("minutes before", before)
    return _with_minutes(kept, one.name, max(0, round(one.minutes)))


def give_back(shelf: Shelf, one: Learnt) -> Shelf:
    """The shelf with that time as it was before it was taken in."""
    if one.before is None:
        raise Refused("this time was not taken in: it is as the studio's file had it")
    rest = {name: old for name, old in shelf.chosen.minutes_before.items() if name != one.name}
    return _with_minutes(shelf.choosing("minutes before", rest or None), one.name, one.before)


def _with_minutes(shelf: Shelf, name: str, minutes: float) -> Shelf:
    if ":" not in name:
        exact = replace(shelf.studio.minutes, **{name: Fraction(minutes)})  # type: ignore[arg-type]
        return replace(shelf, studio=replace(shelf.studio, minutes=exact))
    deck_id, what = name.split(":")
    field = "setup_minutes" if what == "line-up" else "touch_up_minutes"
    decks = tuple(
        replace(deck, **{field: round(minutes)}) if deck.id == deck_id else deck  # type: ignore[arg-type]
        for deck in shelf.studio.decks
    )
    return replace(shelf, studio=replace(shelf.studio, decks=decks))


@dataclass(frozen=True, slots=True)
class _Done:
    """A step of which begin and end are known."""

    step: StepTaken
    start: datetime
    end: datetime


def _done(shelf: Shelf) -> Iterator[_Done]:
    for one in taken(shelf).values():
        if one.state == "done" and one.started is not None and one.finished is not None:
            yield _Done(one, one.started, one.finished)


def _handling(shelf: Shelf, done: _Done) -> list[tuple[str, float]]:
    one, start, end = done.step, done.start, done.end
    took = float(minutes_between(start, end))
    kind, reel = one.kind, shelf.reels.get(one.subject)
    if kind == "identify":
        return [("identify", took)]
    if kind == "align":
        return [(f"{one.subject}:{'line-up' if one.full else 'touch-up'}", took)]
    if kind == "repair" and one.joints:
        return [("splice", took / one.joints)]
    if kind == "verify" and reel is not None:
        play = play_seconds(reel, shelf.studio)
        share = float(shelf.studio.minutes.listen_share)
        return [] if play is None else [("verify", max(0.0, took - share * float(play) / 60))]
    if kind == "transfer" and reel is not None:
        return _around_the_tape(shelf, reel, start, end, took)
    return []


def _around_the_tape(
    shelf: Shelf, reel: Reel, start: datetime, end: datetime, took: float
) -> list[tuple[str, float]]:
    """Threading and putting away: what a transfer took beside the tape's own running and its winds.

    Threading comes before the key that starts the tape: it is told from the end of the step before, where
    that is no rest away. After a treated tape the time for cleaning is in it, and is what is learnt from it.
    """
    ran = _ran(shelf, reel.key, start, end)
    if ran is None:
        tape = _tape_minutes(shelf, reel.key)
        around = None if tape is None else took - tape
    else:
        before = _since_the_step_before(shelf, start)
        winding = _winds_minutes(shelf, reel, ran[1])
        around = None if before is None else before + took - ran[0] - winding
    if around is None:
        return []
    load = float(shelf.studio.minutes.load)
    if sticky(reel, shelf.own_stocks()):
        return [("clean", max(0.0, around - load))]
    return [("load", max(0.0, around))]


def _ran(shelf: Shelf, reel: str, start: datetime, end: datetime) -> tuple[float, int] | None:
    """Minutes from the first start to the last stop of the passes between, stops among them, and how many."""
    minutes, count = 0.0, 0
    for one in played(shelf).values():
        began, ended = one.pieces[0].started, one.last.stopped
        if one.reel == reel and ended is not None and start <= began and ended <= end:
            minutes, count = minutes + float(minutes_between(began, ended)), count + 1
    return (minutes, count) if count else None


def _since_the_step_before(shelf: Shelf, start: datetime) -> float | None:
    ends = [done.end for done in _done(shelf)]
    gaps = [float(minutes_between(end, start)) for end in ends if end <= start]
    return min(gaps) if gaps and min(gaps) <= REST_MINUTES else None


def _winds_minutes(shelf: Shelf, reel: Reel, count: int) -> float:
    """Winds between the passes of one sitting; the one before the first falls into threading."""
    from core.evening.mark import deck_of
    from core.reels.minutes import wind_speed

    deck, seconds = deck_of(shelf, reel), play_seconds(reel, shelf.studio)
    if deck is None or seconds is None or reel.speed is None:
        return 0.0
    wind = seconds * reel.speed.number / wind_speed(reel, deck, shelf.own_stocks())
    return float((count - 1 + reel.tails) * wind / 60)


def _tape_minutes(shelf: Shelf, key: str) -> float | None:
    """Minutes for which the tape itself ran: passes and winds."""
    from core.reels.estimate import deck_for
    from core.reels.minutes import wind_speed

    reel = shelf.reels.get(key)
    deck = deck_for(reel, shelf.studio) if reel is not None else None
    seconds = play_seconds(reel, shelf.studio) if reel is not None else None
    if reel is None or deck is None or seconds is None or not reel.tracks or reel.speed is None:
        return None
    runs = passes(reel.tracks, shelf.studio)
    wind = seconds * reel.speed.number / wind_speed(reel, deck, shelf.own_stocks())
    return float((runs * seconds + winds(reel, runs) * wind) / 60)


def _robust(shelf: Shelf, name: str, values: list[float], setups: Mapping[str, list[float]]) -> Learnt:
    """The median of what lies within five median distances of the first: one bad night teaches nothing."""
    kept = _kept(values)
    middle = median(kept)
    spread = median(abs(value - middle) for value in kept)
    by_setup = tuple(
        (setup, round(median(_kept(some)), 1), len(_kept(some))) for setup, some in sorted(setups.items())
    )
    before = shelf.chosen.minutes_before.get(name)
    planned = _planned(shelf, name)
    return Learnt(name, planned, round(middle, 1), round(spread, 1), len(kept), by_setup, before)


def _kept(values: list[float]) -> list[float]:
    middle = median(values)
    distance = median(abs(value - middle) for value in values) or 1.0
    return [value for value in values if abs(value - middle) <= 5 * distance]


def _planned(shelf: Shelf, name: str) -> float:
    if ":" not in name:
        return float(getattr(shelf.studio.minutes, name))
    deck_id, what = name.split(":")
    deck = shelf.studio.deck(deck_id)
    if deck is None:
        return 0.0
    return float(deck.setup_minutes if what == "line-up" else deck.touch_up_minutes)
