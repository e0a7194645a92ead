"""What is next on a reel, in the words of the chart; what it waits for, and whether it can be done now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Literal

from core.clock import later, minutes_between
from core.conditioning.advisor import advice_of, advisor, barred
from core.conditioning.alarms import alarm_of
from core.conditioning.base_look import warmed_against_base
from core.conditioning.hours_had import BY_CELL, FOUL, long_hours, overdue_words, short_hours
from core.conditioning.spreading.dirty_path import dirty_path
from core.conditioning.spreading.shared_air import look_in_short
from core.evening.playing.passes import TapePass
from core.plan import Item
from core.quantities import plain
from core.reels.minutes import identify_minutes, repair_minutes, verify_minutes
from core.reels.needs import (
    heated_hours,
    inspect_first,
    needs_conditioning,
    needs_repair,
    playable_until,
    stays_closed,
    undated,
)
from core.reels.reel import Reel, Stage
from core.shelf import Shelf
from core.standing.back_to_tape import due_from
from core.standing.gates import ready_to_play
from core.standing.proof import changed
from core.studio.studio import Deck
from core.values import dataclass
from core.words import hours_text
from tui.board.chamber import touch_of
from tui.board.words import moment_words

#: The step of a reel that nobody has inspected: a look, whatever stage it has.
INSPECT = "inspect first"
#: So long before the end of its playable time a tape's next step says it.
_LAPSES_MINUTES = 24 * 60
#: Tells which deck stands on the reel's set-up now, and which deck could be lined up to it.
Decks = Callable[[Reel], tuple[str | None, Deck | None]]


@dataclass(frozen=True, slots=True)
class Step:
    """The next thing on one reel: ``stage`` is what it reaches, ``minutes`` the person's or the deck's time.

    ``possible`` is False where it cannot be done at this moment; ``waits`` then says what for. ``due`` is the
    moment at which something happens or must have happened.
    """

    words: str
    stage: Stage | Literal[""]
    minutes: int | None = None
    possible: bool = True
    waits: str = ""
    due: datetime | None = None
    runs: bool = False
    """True while it is being done: its tape moves."""
    does: Literal["", "warm", "test"] = ""
    """What its words begin with, where it goes into the heat or is to be tested by hand first."""


FINISHED = Step("", "", possible=False)


def next_step(shelf: Shelf, reel: Reel, stage: Stage, at: datetime, decks: Decks) -> Step:
    """The next step on a reel that stands at ``stage`` now; what it lay beside or ran after is told."""
    step, look = _next(shelf, reel, stage, at, decks), look_in_short(shelf, reel.key)
    loud = "" if reel.past("transferred") else warmed_against_base(shelf, reel)
    told = (look, loud, step.waits) if loud not in step.waits else (look, step.waits)
    return replace(step, waits="; ".join(filter(None, told))) if look or loud else step


def _next(shelf: Shelf, reel: Reel, stage: Stage, at: datetime, decks: Decks) -> Step:
    if reel.chamber:
        return _in_chamber(shelf, reel, at)
    if stays_closed(reel) and not reel.past("transferred"):
        never = barred(shelf, reel, at) or advice_of(shelf, reel, at).because
        return Step(never, "", possible=False, waits=never)
    resting = reel.calibration and reel.past("identified") and not _warm(shelf, reel, at)
    if resting and reel.speed is None:
        return Step("its speed?", "", possible=False, waits="without its speed it fits no line-up")
    if resting:
        return _look(shelf) if inspect_first(reel) else _cooling(shelf, reel, at) or FINISHED
    if stage == "verified":
        return FINISHED
    if reel.set_aside and not reel.past("transferred"):
        aside = f"set aside: {reel.set_aside}"
        return Step(aside, "", possible=False, waits=aside)
    if stage == "found":
        words = "identify" if reel.box_label or reel.contents else "what is it?"
        return Step(words, "identified", identify_minutes(shelf.studio))
    why = barred(shelf, reel, at)
    if why is not None:
        return Step(why, "", possible=False, waits=why)
    if inspect_first(reel):
        return _look(shelf)
    if stage == "transferred":
        why = changed(shelf, reel) or ""
        return Step("verify", "verified", verify_minutes(reel, shelf.studio), waits=why)
    to_deck = _cut_short(shelf, reel, _lapses(_to_the_deck(shelf, reel, at, decks), at))
    return _too_long(shelf, reel, _cooling(shelf, reel, at) or _tested(shelf, reel, at, to_deck))


def _lapses(step: Step, at: datetime) -> Step:
    """What is playable for less than a day says until when it is."""
    left = minutes_between(at, step.due) if step.due is not None else None
    if step.due is None or left is None or not 0 < left <= _LAPSES_MINUTES or not step.possible:
        return step
    return replace(step, words=f"{step.words} by {moment_words(step.due, at)}")


def _look(shelf: Shelf) -> Step:
    return Step(INSPECT, "", identify_minutes(shelf.studio), waits="its condition is not known")


def _cut_short(shelf: Shelf, reel: Reel, step: Step) -> Step:
    """A tape that left the warmth too early tells the hours that it had, whatever comes next."""
    own = shelf.own_stocks()
    told = shelf.of_kind("load") or shelf.of_kind("at word") or undated(reel, shelf.studio, own)
    told = told or reel.playable_until is not None or reel.tried in FOUL
    short = short_hours(shelf, reel) if told else None
    if short is None or (short is BY_CELL and step.stage == "conditioned"):
        return step
    if step.stage == "conditioned":
        return replace(
            step, words=step.words.replace("warm ", "warm again ", 1), waits=step.waits or short.says
        )
    return replace(step, words=f"{short.brief}: {step.words}")


def _too_long(shelf: Shelf, reel: Reel, step: Step) -> Step:
    """A tape that came out of the heat much too late tells the hours that it had, till it is captured."""
    had = long_hours(shelf, reel) if shelf.of_kind("load") else ""
    if not had:
        return step
    if step.waits:
        return replace(step, waits=f"{step.waits}; it {had} of warmth")
    return replace(step, words=f"{had}: {step.words}")


def _tested(shelf: Shelf, reel: Reel, at: datetime, step: Step) -> Step:
    """A tape that is to be tested says so before anything on a deck, until its outermost turns were tried."""
    on_deck = step.stage in ("aligned", "transferred")
    if not on_deck or advice_of(shelf, reel, at).word != "test first":
        return step
    return replace(step, words=f"test, {step.words}", does="test")


def playing(shelf: Shelf, tape: TapePass, at: datetime) -> Step:
    """The step of a reel whose tape runs; an alarm is the first thing to do."""
    alarm = alarm_of(shelf, tape.reel)
    if alarm is not None:
        return Step("stop it now", "", waits=alarm)
    if not tape.total:
        return Step("plays", "transferred", runs=True)
    ends = tape.ends(at)
    words = f"plays to {moment_words(ends, at)}" if tape.left else "at its end"
    return Step(words, "transferred", due=ends, runs=True)


def _warm(shelf: Shelf, reel: Reel, at: datetime) -> bool:
    return bool(reel.chamber) or needs_conditioning(reel, shelf.studio, at, shelf.own_stocks())


def _to_the_deck(shelf: Shelf, reel: Reel, at: datetime, decks: Decks) -> Step:
    studio = shelf.studio
    if needs_conditioning(reel, studio, at, shelf.own_stocks()):
        treatment = studio.treatment(reel.width)
        hours = f" {plain(heated_hours(reel, treatment))} h" if treatment else ""
        lapsed = playable_until(reel, studio)
        again = f"playable only until {moment_words(lapsed, at)}" if lapsed else ""
        return Step(f"warm{' again' if lapsed else ''}{hours}", "conditioned", waits=again, does="warm")
    due = playable_until(reel, studio)
    if needs_repair(reel):
        return Step("repair splices", "", repair_minutes(reel, studio), due=due)
    why = ready_to_play(shelf, reel, at)
    if why is not None:
        return Step(why, "", possible=False, waits=why, due=due)
    stands, deck = decks(reel)
    if stands is not None:
        since = due_from(shelf, reel)
        words = f"transfer, from {since}" if since else "transfer"
        return _wiped_first(shelf, stands, Step(words, "transferred", None, due=due))
    if deck is None:
        return Step("no deck plays it", "", possible=False, waits="no deck plays it", due=due)
    lined_up = Step(f"line up {deck.id}", "aligned", deck.setup_minutes, due=due)
    return _wiped_first(shelf, deck.id, lined_up)


def warmed_before(shelf: Shelf, reel: Reel, step: Step, planned: Item | None) -> Step:
    """The step of a tape that could be played now and that the plan warms again first: that, on its day."""
    on_deck = step.stage in ("aligned", "transferred")
    treatment = shelf.studio.treatment(reel.width)
    if not on_deck or planned is None or planned.kind != "condition" or treatment is None:
        return step
    return replace(step, words=f"warm again {plain(heated_hours(reel, treatment))} h", does="warm")


def _wiped_first(shelf: Shelf, deck: str, step: Step) -> Step:
    """Before anything else on a deck whose path is to be wiped, that."""
    path = dirty_path(shelf, deck)
    return step if path is None else replace(step, words=f"wipe {deck}, {step.words}", waits=path.brief)


def _cooling(shelf: Shelf, reel: Reel, at: datetime) -> Step | None:
    until = advisor(shelf).cools_until(reel, at)
    if until is None or minutes_between(until, at) >= 0:
        return None
    words = f"cools to {moment_words(until, at)}"
    return Step(words, "", possible=False, waits=words, due=until)


def _in_chamber(shelf: Shelf, reel: Reel, at: datetime) -> Step:
    """The next turn, or the take-out; an alarm, and a take-out that is past, is the first thing to do."""
    alarm = alarm_of(shelf, reel.key)
    if alarm is not None:
        return Step("take out now", "", waits=alarm, due=reel.loaded_at)
    chamber = shelf.studio.chamber(reel.chamber)
    treatment = shelf.studio.treatment(reel.width)
    if chamber is None or treatment is None or reel.loaded_at is None:
        return Step(f"in {reel.chamber}", "conditioned", possible=False, waits=f"in chamber {reel.chamber}")
    out = later(reel.loaded_at, hours=heated_hours(reel, treatment))
    if minutes_between(out, at) >= 0:
        late = overdue_words(out, at)
        words = f"take out, {moment_words(out, at)}"
        return Step(words, "conditioned", chamber.touch_minutes, waits=late, due=out)
    touch = touch_of(shelf, reel.key, at)
    if touch is not None and touch.do == "turn" and touch.late(at):
        words, late = f"turn, {moment_words(touch.due, at)}", hours_text(minutes_between(touch.due, at))
        return Step(words, "conditioned", chamber.touch_minutes, waits=f"turn it: {late} late", due=touch.due)
    turns = touch is not None and touch.do == "turn"
    moment, what = (touch.due, "turn at") if touch is not None and turns else (out, "out at")
    words = f"{what} {moment_words(moment, at)}"
    return Step(words, "conditioned", chamber.touch_minutes, False, f"warm in {reel.chamber}", moment)
