"""Reading a wish as it is typed: ``R-003 on thu``, ``S-01 by 2026-12-12``, ``slack 10%``."""

from __future__ import annotations

import re
from datetime import date, timedelta

from core.errors import Refused
from core.planning.wishes.wishes import Wish, WishKind
from core.shelf import Shelf
from core.studio.studio import WEEKDAYS
from core.words import written_day

MOST_DAYS = 800
"""The longest plan there is."""
HOW = (
    "REEL on DATE, REEL not on DATE, REEL warmed on DATE, REEL not before DATE, SONG by DATE,"
    " no chamber on DATE, no deck on DATE, slack 10%"
)
_LINKS: tuple[tuple[str, WishKind], ...] = (
    ("not before", "from"),
    ("warmed on", "warm"),
    ("not on", "off"),
    ("on", "on"),
    ("by", "by"),
)
_SLACK = re.compile(r"slack\s+(\d+(?:\.\d+)?)\s*%")


def read_wish(text: str, shelf: Shelf, today: date) -> Wish:
    """The wish that these words make; Refused, with what would be right, where they make none."""
    words = " ".join(text.split())
    share = _SLACK.fullmatch(words)
    if share:
        if not 0 <= float(share[1]) <= 60:
            raise Refused(f"slack {share[1]}%: give from 0 to 60 % of an evening")
        return Wish("slack", share=float(share[1]) / 100)
    for link, kind in _LINKS:
        before, found, after = words.rpartition(f" {link} ")
        if not found:
            continue
        if kind == "on" and before.startswith("no ") and before not in shelf.reels:
            return _closed(before.removeprefix("no "), shelf, read_day(after, today))
        return _dated(kind, before, shelf, read_day(after, today))
    raise Refused(f"{text!r} is no wish: {HOW}")


def _dated(kind: WishKind, about: str, shelf: Shelf, day: date) -> Wish:
    if kind == "by":
        shelf.song(about)
        return Wish(kind, about, day)
    if shelf.reel(about).calibration and kind in ("on", "off"):
        raise Refused(f"{about} is a calibration reel: it is not transferred")
    return Wish(kind, about, day)


def _closed(what: str, shelf: Shelf, day: date) -> Wish:
    if what == "chamber":
        return Wish("no chamber", "", day)
    if what == "deck":
        return Wish("no deck", "", day)
    if shelf.studio.deck(what) is not None:
        return Wish("no deck", what, day)
    decks = ", ".join(deck.id for deck in shelf.studio.decks)
    raise Refused(f"no {what!r} here: say `no chamber`, `no deck`, or one of the decks ({decks})")


def read_day(text: str, today: date) -> date:
    """A date as ``2026-12-05`` or ``5 Dec``, or a weekday: the next one, today counted; in a plan's reach."""
    name = text.strip().casefold()[:3]
    if name in WEEKDAYS and text.strip().isalpha():
        return today + timedelta(days=(WEEKDAYS.index(name) - today.weekday()) % 7)
    try:
        day = written_day(text, today) or date.fromisoformat(text.strip())
    except ValueError:
        raise Refused(f"{text!r} is no date: write 5 Dec, 2026-12-05, or a weekday as sat") from None
    if day < today:
        raise Refused(f"{day} is past: a wish is for today or later")
    if (day - today).days > MOST_DAYS:
        raise Refused(f"{day} is further off than any plan reaches, which is {MOST_DAYS} days: a nearer date")
    return day
