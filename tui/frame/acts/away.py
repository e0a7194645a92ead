"""After a power failure, or minutes without anybody: did the tape run on, did the chamber stay warm?"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, cast

from core.clock import clock_text, evening_of
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.evening.afterwards.left_running import left_running
from core.evening.away import Ran, RanThen, ran_at_least, ran_then, was_away, without_heat
from core.evening.playing.passes import running_pass
from core.evening.playing.when import start_and_end
from core.logbook.passes import PlayedPass, pass_key, played
from core.store.beside.last_seen import last_seen, left, seen
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.acts.left_running import ask_left

__all__ = ["ask_after", "ask_away", "ask_heat", "ask_times", "last_seen", "watch"]

if TYPE_CHECKING:
    from tui.home import Home

#: So long without a sign of life, and it is asked about; so often a sign is left while a tape runs.
GAP, EVERY = timedelta(seconds=60), timedelta(seconds=20)


def watch(home: Home, now: datetime) -> None:
    """Leaves a sign every so often while a tape runs, and takes it away when none runs any more."""
    if running_pass(home.shelf, now) is None:
        if home.seen_at is not None:
            left(home.book.path)
            home.seen_at = None
    elif home.seen_at is None or now - home.seen_at >= EVERY:
        home.seen_at = now
        seen(home.book.path, now)


async def ask_after(home: Home, since: datetime | None, now: datetime) -> None:
    """Once the program is open: asks, where a tape runs by the shelf and nobody was seen for a while.

    So where it runs since an earlier evening, however the program was left.
    """
    tape, left = running_pass(home.shelf, now), left_running(home.shelf, now)
    if tape is None and left is None:
        return
    await home.switch_mode("tonight")  # the keys are those of the tape that runs
    if left is not None:
        ask_left(home, left)
        return
    if tape is None or since is None or not GAP <= now - since < timedelta(hours=24):
        return
    began = _began(home, tape.reel, tape.number)
    ran = ran_at_least(home.shelf, tape.reel, tape.number, max(since, began))
    ask_away(home, min(ran, now).astimezone(home.shelf.studio.zone), now)


def ask_away(home: Home, since: datetime, back: datetime) -> None:
    """Asks what the tape that ran then did in these minutes, then what the chamber did."""
    then = ran_then(home.shelf, since) or ran_then(home.shelf, back)
    if then is None:
        ask_heat(home, since, back)
        return
    since = max(since, then.piece.started.astimezone(since.tzinfo))
    question = AskChoice(
        f"I was away from {since:%H:%M} to {back:%H:%M}: did the tape run on?",
        (*_what_it_did(then, since, back, home.now()), ("times", "other times: type from when to when")),
        words=f"{then.kept.reel} was playing. All places on it from then on follow your answer.",
    )

    def answered(how: str | None) -> None:
        if how == "times":
            ask_times(home, since, back)
        elif how is not None:
            ran = cast("Ran", how)
            what = f"{then.kept.reel}, {since:%H:%M} to {back:%H:%M}: {how}"
            said = home.undoable(what) if ran != "ran on" else what
            home.do(
                lambda: home.book.change(lambda s: was_away(s, then.key, since, back, ran), what=what), said
            )
            ask_heat(home, since, back)

    home.push_screen(question, answered)


def _what_it_did(
    then: RanThen, since: datetime, back: datetime, now: datetime
) -> tuple[tuple[str, str], ...]:
    """The answers: it ran on; it stopped and stands, or stood until it was stopped; it ran again."""
    place, end = clock_text(int(then.place(since))), then.piece.stopped
    ran_on = ("ran on", f"yes: {_ran_to(then.kept, now)}")
    stopped = f"no: it stopped with the tape at {place}, and"
    if end is None:
        return (
            ran_on,
            ("stands", f"{stopped} stands there"),
            ("runs again", f"{stopped} runs since {back:%H:%M}"),
        )
    stood = ("stands", f"{stopped} stood until it was stopped at {end.astimezone(since.tzinfo):%H:%M}")
    again = ("runs again", f"{stopped} ran again from {back:%H:%M}")
    return (ran_on, stood, again) if back < end else (ran_on, stood)


def _ran_to(kept: PlayedPass, now: datetime) -> str:
    """Where a tape that ran on is now, or when it came to its end: no tape is at a place behind that."""
    out, at = kept.ran_out(now), kept.position_at(now)
    if out is not None:
        return f"{kept.reel} ran out at {out.astimezone(now.tzinfo):%H:%M}, by its length"
    if kept.state == "running" and 0 < kept.ends <= at:
        return f"{kept.reel} is at its end now, {clock_text(int(kept.ends))}, by its length"
    return f"{kept.reel} is at {clock_text(int(at))} now"


def ask_times(home: Home, since: datetime, back: datetime) -> None:
    """Asks from when to when, then what tape and chamber did."""
    day, where, now = evening_of(back), home.shelf.studio.zone, home.now()

    def check(text: str) -> str | None:
        try:
            begin, _ = start_and_end(text, day, where, now)
        except ValueError as error:
            return f"wants from when to when, such as 20:07-20:12: {error}"
        return None if begin is not None else "from when to when, such as 20:07-20:12"

    def answered(text: str | None) -> None:
        begin, end = start_and_end(text, day, where, now) if text else (None, now)
        if begin is not None:
            ask_away(home, begin, end)

    question = AskText(
        "From when to when was nobody there?",
        "By the clock, such as 20:07-20:12.",
        draft="away times",
        text=f"{since:%H:%M}-{back:%H:%M}" if since < back else "",
        hint="20:07-20:12",
        over=True,
        check=check,
    )
    home.push_screen(question, answered)


def ask_heat(home: Home, since: datetime, back: datetime) -> None:
    """Asks of every load that ran then whether it was without heat."""
    for chamber in home.shelf.studio.chambers:
        load = running_load(home.shelf, chamber.id)
        if load is None or loads_of(home.shelf)[load].at > since:
            continue

        home.push_screen(
            AskChoice(
                f"Was chamber {chamber.id} without heat from {since:%H:%M} to {back:%H:%M}?",
                (("on", "no: it stayed warm"), ("off", "yes: it was off for that time, and is on again")),
                words="Read its thermometer before you answer. A load that has cooled is broken off there.",
            ),
            partial(_heat, home, chamber.id, load, since, back),
        )


def _heat(home: Home, chamber: str, load: str, since: datetime, back: datetime, how: str | None) -> None:
    if how == "off":
        what = f"{chamber} without heat {since:%H:%M} to {back:%H:%M}"
        home.do(
            lambda: home.book.change(lambda s: without_heat(s, load, since, back), what=what),
            home.undoable(f"{what}: its hours are that much longer"),
        )
    elif how == "on":
        home.say(f"{chamber} stayed warm {since:%H:%M} to {back:%H:%M}: nothing of its load moves")


def _began(home: Home, reel: str, number: int) -> datetime:
    return played(home.shelf)[pass_key(reel, number)].last.started.astimezone(home.shelf.studio.zone)
