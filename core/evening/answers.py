"""What the owner answers about a tape: which stock it is, how its outermost turns ran, why it squeals."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Literal

from core.conditioning.advisor import advice_of, barred, heat_of
from core.errors import Refused
from core.evening.warming.as_logged import never_warmed
from core.logbook.passes import played
from core.logbook.typed import with_entry
from core.reels.needs import base_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.of_plan.made_from import taken_in, with_sum_of
from core.tape.stock import Stock
from core.tape.stocks import find_stock
from core.tape.written_like import written_like

Cause = Literal["binder", "lubricant", "clean", "not looked"]
Tried = Literal["clean", "residue", "gum"]
#: What a dry swab over the heads shows behind a squeal, in the words that every face asks with.
ON_HEADS: dict[Cause, str] = {
    "binder": "brown gum: a sick binder",
    "lubricant": "white powder: lubricant that came out, or mould",
    "clean": "nothing: want of slip, or a dry path",
    "not looked": "not looked yet",
}


def stock_asked(shelf: Shelf, key: str) -> Stock | None:
    """The suspect stock that the reel's box only resembles; None where nothing is asked."""
    return written_like(shelf.reel(key).stock, shelf.own_stocks())


def written_alike(shelf: Shelf, key: str) -> tuple[str, ...]:
    """The other reels whose boxes have the very same word, of which the same is asked."""
    word = shelf.reel(key).stock.split()
    return tuple(
        other for other, reel in shelf.reels.items()
        if other != key and reel.stock.split() == word and stock_asked(shelf, other) is not None
    )  # fmt: skip


def is_that_stock(shelf: Shelf, key: str) -> Shelf:
    """The shelf with that reel of the stock that its box resembles; what the box says stays in its notes."""
    reel, stock = shelf.reel(key), _asked(shelf, key)
    name = f"{stock.makers[0]} {stock.model}" if stock.makers else stock.model
    return never_warmed(shelf, shelf.with_reel(replace(with_box_word(reel, reel.stock), stock=name)))


def with_box_word(reel: Reel, word: str) -> Reel:
    """The reel with the word for its stock that stands on its box in its notes, once."""
    said = f"the box says: {' '.join(word.split())}"
    return reel if said in reel.notes else replace(reel, notes="; ".join(filter(None, (reel.notes, said))))


def is_another_stock(shelf: Shelf, key: str) -> Shelf:
    """The shelf with a row of the owner's own for its box's word: not that stock, to be tested first."""
    _asked(shelf, key)
    name = " ".join(shelf.reel(key).stock.split())
    row = {"sticky": "test first", "note": "not the stock that it resembles"}
    return shelf.with_record("stock", name, row)


def is_stock(shelf: Shelf, key: str, name: str) -> Shelf:
    """The shelf with that reel of the stock named."""
    if not name.strip():
        raise Refused("name the stock, as its maker does")
    return never_warmed(shelf, shelf.with_reel(replace(shelf.reel(key), stock=name.strip())))


def tried(shelf: Shelf, key: str, how: Tried) -> Shelf:
    """The shelf with how the outermost turns of that reel ran by hand; residue and gum make it sticky."""
    reel = replace(shelf.reel(key), tried=how)
    after = never_warmed(shelf, shelf.with_reel(reel if how == "clean" else _found(reel, "sticky")))
    return taken_in(shelf, after, key) if how == "clean" else after


def base_was_seen(shelf: Shelf, key: str, base: str, at: datetime) -> Shelf:
    """The shelf with what that reel was seen to be made of: ``unknown`` where a look could not tell.

    A plan that may do the same with it as before goes on resting on it.
    """
    after = shelf.with_reel(replace(shelf.reel(key), base_seen=base))
    return plan_rests_on_base(shelf, after, key, at)


def plan_rests_on_base(before: Shelf, after: Shelf, key: str, at: datetime) -> Shelf:
    """``after`` with the kept plan resting on the base that was seen of that reel, at whichever door.

    Only where it may do the same with the reel as before; what else was told of it is held against it.
    """
    was, now = before.reel(key), after.reel(key)
    if (was.base, was.base_seen) == (now.base, now.base_seen):
        return after
    told = replace(was, base=now.base, base_seen=now.base_seen)
    own = before.own_stocks()
    if now.base != was.base and base_of(told, own) != base_of(was, own):
        return after  # what is not polyester is wound more slowly too
    seen = before.with_reel(told)
    first, then = (
        (barred(one, one.reel(key), at), heat_of(one, one.reel(key), at)) for one in (before, seen)
    )
    return with_sum_of(before, seen, after, key) if first == then else after


def squeals(shelf: Shelf, key: str, cause: Cause) -> Shelf:
    """The shelf with a reel that squealed, and what was found on the heads.

    Brown gum is a sick binder: it is sticky, and warmed again. White powder is a sign of its own. A clean
    path leaves the cause open. A squeal by itself never makes a tape sticky.
    """
    reel = _found(shelf.reel(key), "squeal")
    if cause == "binder":
        reel = replace(_found(reel, "sticky"), tried="gum")
    if cause == "lubricant" and "white powder" not in reel.signs:
        reel = replace(reel, signs=(*reel.signs, "white powder"))
    if cause == "binder" and not reel.past("transferred") and reel.past("conditioned"):
        reel = replace(reel, stage="identified", conditioned_at=None, playable_until=None)
    return _on_heads(shelf.with_reel(reel), key, cause)


def _on_heads(shelf: Shelf, reel: str, cause: Cause) -> Shelf:
    """The shelf with that kept of the runs that were stopped squealing, and of one that stands so now."""
    for key, one in played(shelf).items():
        if one.reel != reel or one.void or one.state == "running":
            continue
        stands = one.last if one.state == "stopped" else None
        pieces = tuple(
            replace(run, heads=cause) if run is stands or run.unseen else run for run in one.pieces
        )
        if pieces != one.pieces:
            shelf = with_entry(shelf, key, replace(one, pieces=pieces))
    return shelf


def squeal_says(shelf: Shelf, key: str, cause: Cause, at: datetime) -> str:
    """What is said once a squeal is told: what the heads showed, and whether the tape runs on."""
    told = advice_of(shelf, shelf.reel(key), at)
    how = f"; {told.how}" if told.how else ""
    runs = told.word in ("play", "test first") or shelf.reel(key).past("transferred")  # it ran to its end
    warm = ", warm it before it plays" if told.word == "warm" else ""
    first = "" if runs else f"it does not run on: lift both reels off together{warm}; "
    saw = "brown gum, a sick binder" if cause == "binder" else told.because
    return f"{key}: {first}{saw}{how}"


def _asked(shelf: Shelf, key: str) -> Stock:
    stock = stock_asked(shelf, key)
    if stock is None:
        known = find_stock(shelf.reel(key).stock, shelf.own_stocks())
        raise Refused(f"{key}: nothing is asked: its stock is {known.name if known else 'not in the table'}")
    return stock


def _found(reel: Reel, word: str) -> Reel:
    kept = tuple(one for one in reel.condition if one not in ("ok", word))
    return replace(reel, condition=(*kept, word))
