"""Moving a reel to a stage: the one function behind every face that marks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from core.conditioning.hours_had import kept_at_word
from core.conditioning.loads.kept_loads import log_out
from core.errors import Refused, Unusable
from core.evening.playing.from_the_tail import lies_after
from core.evening.playing.passes import end_running, lay_aside
from core.evening.warming.take_out import taken_out
from core.logbook.on_decks import ran_by_mark
from core.logbook.passes import played_of
from core.logbook.steps import DeckStands
from core.logbook.typed import with_entry
from core.reels.assumed import with_setup
from core.reels.needs import needs_conditioning, sticky
from core.reels.reel import STAGES, Reel, Stage
from core.shelf import Shelf
from core.standing.gates import ready_to_play, setup_record, stage_now, unmet
from core.standing.left_to_play import to_play
from core.studio.setup import Setup
from core.studio.studio import Deck


def mark(
    shelf: Shelf, key: str, stage: Stage, at: datetime, because: str = "", *, keeping: bool = False
) -> Shelf:
    """The shelf with that reel at that stage, at that moment.

    Going back, and passing a gate that is not met, takes a reason; without one it is Refused with the gate
    in a sentence. Marking one reel aligned marks every waiting reel of the same set-up. Passes of one that
    goes back are laid aside, but ``keeping`` them: only a part of the tape is to be played again.
    """
    reel = shelf.reel(key)
    if stage not in STAGES:
        raise Unusable(f"no stage {stage!r}: one of {', '.join(STAGES)}")
    if goes_back(shelf, reel, stage, at):
        if not because.strip():
            raise Refused(f"{key} is {reel.stage}: going back to {stage} needs a reason (--because)")
        untransferred = reel.past("transferred") and STAGES.index(stage) < STAGES.index("transferred")
        again = lay_aside(shelf, key, because) if untransferred and not keeping else shelf
        return again.with_reel(_taken_back(reel, stage))
    why = (
        unmet(shelf, reel, stage, at)
        if STAGES.index(stage) > STAGES.index(reel.stage)
        else _again(shelf, reel, stage, at)
    )
    if why is not None and not because.strip():
        raise Refused(f"{key} cannot be marked {stage}: {why} (--because passes the gate)")
    warm_first = not reel.chamber and needs_conditioning(reel, shelf.studio, at, shelf.own_stocks())
    marked = _WRITES[stage](shelf, reel, at)
    return kept_at_word(marked, reel) if warm_first and stage in ("conditioned", "aligned") else marked


def goes_back(shelf: Shelf, reel: Reel, stage: Stage, at: datetime) -> bool:
    """True if that stage lies behind the reel; a reel in a chamber only comes out of it."""
    if stage == "conditioned" and reel.chamber and not reel.past("transferred"):
        return False
    return STAGES.index(stage) < STAGES.index(reel.stage)


def none_needed(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why a reel that is marked conditioned was not warmed, to be kept; None if it was."""
    if reel.chamber or needs_conditioning(reel, shelf.studio, at, shelf.own_stocks()):
        return None
    if sticky(reel, shelf.own_stocks()):
        return "no conditioning needed: still playable"
    return "no conditioning needed: not sticky, and its stock is not one known to become so"


def _again(shelf: Shelf, reel: Reel, stage: Stage, at: datetime) -> str | None:
    """A second mark of the same stage: only a look, a line-up and a take-out say something new."""
    if stage == "identified":
        return unmet(shelf, replace(reel, stage="found"), stage, at)
    if stage == "aligned":
        return ready_to_play(shelf, reel, at)
    if stage == "conditioned" and none_needed(shelf, reel, at) is None:
        return unmet(shelf, replace(reel, stage="identified"), stage, at)
    return f"it is {stage_now(shelf, reel, at)} already"


def _taken_back(reel: Reel, stage: Stage) -> Reel:
    """Back before conditioning its playable time ends: it counts as not warmed."""
    if STAGES.index(stage) < STAGES.index("conditioned") <= STAGES.index(reel.stage):
        return replace(reel, stage=stage, conditioned_at=None, playable_until=None)
    return replace(reel, stage=stage)


def _plainly(stage: Stage) -> Callable[[Shelf, Reel, datetime], Shelf]:
    def write(shelf: Shelf, reel: Reel, at: datetime) -> Shelf:
        return shelf.with_reel(replace(reel, stage=stage))

    return write


def _conditioned(shelf: Shelf, reel: Reel, at: datetime) -> Shelf:
    if none_needed(shelf, reel, at) is not None:
        return shelf.with_reel(replace(reel, stage="conditioned"))
    return log_out(shelf, reel, at).with_reel(taken_out(shelf, reel, at))


def _aligned(shelf: Shelf, reel: Reel, at: datetime) -> Shelf:
    deck = deck_of(shelf, reel)
    setup = with_setup(reel, shelf.studio).setup
    lined_up = shelf if deck is None else line_up(shelf, deck, setup, at)
    return lined_up.with_reel(replace(lined_up.reel(reel.key), stage="aligned"))


def line_up(shelf: Shelf, deck: Deck, setup: Setup, at: datetime) -> Shelf:
    """The shelf with that deck standing on that set-up, and every waiting reel of that set-up aligned."""
    decks = tuple(replace(one, lined_up=setup) if one.id == deck.id else one for one in shelf.studio.decks)
    standing = DeckStands(at, setup_record(setup), str(setup))
    waiting = [
        replace(reel, stage="aligned")
        for reel in shelf.reels.values()
        if reel.stage == "conditioned"
        and any(one.reel.setup.key == setup.key for one in to_play(shelf, reel))
        and reel.width is not None
        and deck.takes_width(reel.width)
        and ready_to_play(shelf, reel, at) is None
    ]
    stands = with_entry(replace(shelf, studio=replace(shelf.studio, decks=decks)), deck.id, standing)
    return stands.with_reel(*waiting)


def deck_of(shelf: Shelf, reel: Reel) -> Deck | None:
    """The deck the reel goes on: one that stands on its set-up already, else the first that plays it."""
    if reel.width is None or reel.tracks is None or reel.speed is None:
        return None
    decks = [deck for deck in shelf.studio.decks if deck.takes(reel.width, reel.tracks, reel.speed)]
    wanted = with_setup(reel, shelf.studio).setup.key
    stands = [deck for deck in decks if deck.lined_up is not None and deck.lined_up.key == wanted]
    return next(iter(stands + decks), None)


def _ran_on(shelf: Shelf, reel: Reel) -> Deck | None:
    """The deck on which a tape ran of which no pass tells: lined up for it, else the only one that fits."""
    wide = [one for one in shelf.studio.decks if reel.width is not None and one.takes_width(reel.width)]
    wanted = with_setup(reel, shelf.studio).setup.key
    stands = [deck for deck in wide if deck.lined_up is not None and deck.lined_up.key == wanted]
    return next(iter(stands), wide[0] if len(wide) == 1 else None)


def _transferred(shelf: Shelf, reel: Reel, at: datetime) -> Shelf:
    ended = end_running(shelf, reel.key, at)
    wind = lies_after(ended, reel.key)
    deck = None if reel.past("transferred") or played_of(ended, reel.key) else _ran_on(ended, reel)
    ended = ended if deck is None else ran_by_mark(ended, reel.key, deck.id, at)
    return ended.with_reel(replace(reel, stage="transferred", wind=wind, heard=reel.heard or at))


_WRITES = {
    "found": _plainly("found"),
    "identified": _plainly("identified"),
    "conditioned": _conditioned,
    "aligned": _aligned,
    "transferred": _transferred,
    "verified": _plainly("verified"),
}
