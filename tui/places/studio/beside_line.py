"""Beside the studio in a wide terminal: what the key under the cursor means, and what hangs on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime

from core.clock import evening_of
from core.plan import Item, Plan
from core.reels.needs import needs_conditioning
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.of_plan.made_from import CAPTURE, STUDIO
from core.studio.studio import WEEKDAYS, Deck
from core.words import counted, day_text, listed
from tui.board.studio import HOURS, TITLES, StudioLine
from tui.frame.drawn.beside import Line
from tui.frame.side import wrapped

MOST = 6
"""How many planned steps, and how many reels, are named."""
_ROWS = ("deck", "chamber", "treatment", HOURS, "minutes", "comfort")


def beside_line(
    shelf: Shelf, plan: Plan | None, line: StudioLine, owner: str, word: str, now: datetime
) -> Iterator[Line]:
    """``owner``: the deck, chamber or width that the line is of; ``word``: what the glossary tells of it."""
    yield "head", " ".join(filter(None, (TITLES.get(line.table, "") if owner else "", owner, line.label)))
    yield from wrapped(line.says.replace("`", ""))
    if line.default:
        yield "word", ""
        yield from wrapped(f"Where nothing is said: {line.default}")
    if word:
        yield "word", ""
        yield from wrapped(word)
    yield from _under("What hangs on it", _reels(shelf, line, owner, now))
    yield from _under("In the kept plan", _planned(shelf, plan, line, owner, now))
    if plan is not None and _rests(line):
        yield "word", ""
        yield from wrapped("The kept plan rests on it: it is planned again once this is another.")


def _under(title: str, told: Iterable[str]) -> Iterator[Line]:
    lines = list(told)
    if lines:
        yield "word", ""
        yield "head", title
    for one in lines:
        yield from wrapped(one)


def _rests(line: StudioLine) -> bool:
    own = {"studio": STUDIO, "capture": CAPTURE}.get(line.table, ())
    return line.table in _ROWS or line.key in own


def _reels(shelf: Shelf, line: StudioLine, owner: str, now: datetime) -> Iterator[str]:
    """The tapes to which the deck, the chamber or the warmth of that line still matters."""
    left = [reel for reel in shelf.transferable() if not reel.past("transferred")]
    if line.table == "deck" and (deck := shelf.studio.deck(owner)) is not None:
        mine = [one for one in left if _plays(deck, one)]
        yield f"it plays {_some(mine, 'no tape')} of those still to be played"
    elif line.table == "chamber":
        inside = [reel for reel in shelf.reels.values() if reel.chamber == owner]
        yield f"in it now: {_some(inside, 'nothing')}"
    elif line.table == "treatment":
        own, wide = shelf.own_stocks(), [one for one in left if str(one.width or "") == owner]
        mine = [one for one in wide if needs_conditioning(one, shelf.studio, now, own)]
        yield f"to be warmed so: {_some(mine, 'no tape')}"


def _plays(deck: Deck, reel: Reel) -> bool:
    if reel.width is None or reel.tracks is None or reel.speed is None:
        return False
    return deck.takes(reel.width, reel.tracks, reel.speed)


def _planned(shelf: Shelf, plan: Plan | None, line: StudioLine, owner: str, now: datetime) -> Iterator[str]:
    """The next steps of the plan on that deck, in that chamber, for that width, on that day."""
    if plan is None or line.table not in _ROWS[:4]:
        return
    items = sorted((one for one in plan.items if one.end > now), key=lambda one: one.start)
    mine = [one for one in items if _is_of(shelf, one, line, owner)]
    yield from (f"{day_text(one.start.date())} {one.start:%H:%M} {_words(one)}" for one in mine[:MOST])
    if len(mine) > MOST:
        yield f"and {counted(len(mine) - MOST, 'step')} more"
    if not mine:
        yield "nothing of it"


def _is_of(shelf: Shelf, item: Item, line: StudioLine, owner: str) -> bool:
    if line.table == HOURS:
        day = evening_of(item.start)
        return date.fromisoformat(line.key) == day if "-" in line.key else WEEKDAYS[day.weekday()] == line.key
    if line.table == "treatment":
        widths = (shelf.reels[one].width for one in item.reels if one in shelf.reels)
        return item.kind == "condition" and any(str(one) == owner for one in widths)
    return owner in (item.deck, item.chamber)


def _words(item: Item) -> str:
    if item.kind == "align":
        return f"line up {item.deck}"
    return f"{'warm' if item.kind == 'condition' else item.kind} {listed(list(item.reels))}"


def _some(reels: Iterable[Reel], nothing: str) -> str:
    keys = [reel.key for reel in reels]
    more = f" and {len(keys) - MOST} more" if len(keys) > MOST else ""
    return f"{', '.join(keys[:MOST])}{more}" if keys else nothing
