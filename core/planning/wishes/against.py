"""What stands in the way of a wish as it is made: told at once, before any plan is made with it."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from core.clock import at_wall
from core.conditioning.advisor import barred
from core.evening.around.song_dates import song_state
from core.planning.wishes.wishes import Wish
from core.shelf import Shelf
from core.studio.opening import Flag, opening
from core.words import day_text, listed


def stands_against(shelf: Shelf, wish: Wish, now: datetime) -> str:
    """Why no plan can keep that wish as the shelf is, or why nothing is left to wish; empty where one may."""
    if wish.day is None:
        return ""
    if wish.kind == "by":
        return _song(shelf, wish.about, now) or _nobody(shelf, "bench", now, wish.day)
    if wish.kind not in ("on", "warm", "from"):
        return ""
    why = _reel(shelf, wish.about, now)
    if why or wish.kind == "from":
        return why
    begin = max(now, at_wall(wish.day, 0, shelf.studio.zone))
    return _nobody(shelf, "home" if wish.kind == "warm" else "bench", begin, wish.day)


def _song(shelf: Shelf, key: str, now: datetime) -> str:
    told = song_state(shelf, shelf.song(key), now)
    if told.state == "no reels":
        return f"{key} names no reel that it needs: nothing makes it ready"
    if told.state == "ready":
        return f"{key} is ready already"
    gone = [reel for reel in told.waits_for if reel not in shelf.reels]
    if gone:
        return f"{listed(gone)} {'is' if len(gone) == 1 else 'are'} not on this shelf"
    return "; ".join(f"{reel} is barred: {why}" for reel, why in told.barred_by)


def _reel(shelf: Shelf, key: str, now: datetime) -> str:
    reel = shelf.reel(key)
    if reel.past("transferred"):
        return f"{key} is {reel.stage} already"
    why = barred(shelf, reel, now)
    return f"{key} is barred: {why}" if why else ""


def _nobody(shelf: Shelf, flag: Flag, begin: datetime, day: date) -> str:
    """That nobody is there from that moment to the end of that day; empty where somebody is."""
    end = at_wall(day + timedelta(days=1), 0, shelf.studio.zone)
    there = begin < end and any(span.start < end for span in opening(shelf.studio, flag, begin, end))
    until = "on" if begin.date() == day else f"from {day_text(begin.date())} to"
    hours = "bench hours" if flag == "bench" else "hours with anybody home"
    return "" if there else f"there are no {hours} {until} {day_text(day)}"
