"""Decks over whose heads, guides and rollers a tape ran that leaves something behind, until they are wiped.

A tape counts by what is known of it now, at the time at which it ran: mould that is found afterwards was
there before. What was played while it was playable leaves nothing but what every pass does, unless the check
of its capture tells that treble went as from dirty heads up to its end.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import clock_text, evening_of
from core.conditioning.advice import CLEAN
from core.conditioning.advisor import advisor
from core.errors import Refused
from core.logbook.on_decks import runs
from core.logbook.running import in_the_way, running
from core.logbook.steps import DeckPath
from core.logbook.typed import entries, with_entry
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass
from core.words import ended, listed


@dataclass(frozen=True, slots=True)
class DirtyPath:
    """A deck whose path is not wiped since that reel ran on it: why, and how it is wiped."""

    deck: str
    reel: str
    since: datetime
    why: str
    wipe: str

    @property
    def says(self) -> str:
        """Why and what to do, in one line."""
        return f"{self.deck}'s path is not wiped since {self.reel} ran on it ({self.why}): {self.wipe}"

    @property
    def brief(self) -> str:
        """The same for a list."""
        return f"{self.deck} is not wiped since {self.reel} ran on it ({self.why.partition(':')[0]})"

    @property
    def told_by(self) -> str:
        """How one says that it is done."""
        return f"`reelturn tonight wiped {self.deck}` when it is; --because begins all the same"


_latest: tuple[Shelf, dict[str, DirtyPath]] | None = None


def dirty_paths(shelf: Shelf) -> dict[str, DirtyPath]:
    """By deck, the worst that lies on its path; found once for a shelf."""
    global _latest
    kept = _latest
    if kept is None or kept[0] is not shelf:
        kept = (shelf, {})
        for one in _found(shelf):
            there = kept[1].get(one.deck)
            if there is None or (_worse(one), one.since) > (_worse(there), there.since):
                kept[1][one.deck] = one
        _latest = kept
    return kept[1]


def dirty_path(shelf: Shelf, deck: str) -> DirtyPath | None:
    """What lies on that deck's path; None where it is clean."""
    return dirty_paths(shelf).get(deck)


def path_before(shelf: Shelf, deck: str, key: str, at: datetime) -> DirtyPath | None:
    """What is to be wiped before that tape runs there then: what another left, and its own of earlier.

    Its own is of earlier where it ran on another evening, or was warmed since.
    """
    path, reel = dirty_path(shelf, deck), shelf.reels.get(key)
    if path is None or path.reel != key or reel is None:
        return path
    zone = shelf.studio.zone
    warmed = reel.conditioned_at is not None and reel.conditioned_at > path.since
    same = evening_of(path.since.astimezone(zone)) == evening_of(at.astimezone(zone))
    return None if same and not warmed else path


def path_lines(shelf: Shelf) -> tuple[str, ...]:
    """Every path that is to be wiped, in a sentence each."""
    return tuple(ended(one.says) for one in dirty_paths(shelf).values())


def wiped(shelf: Shelf, deck: str, at: datetime) -> Shelf:
    """The shelf with that deck's path, or that chamber, wiped at that moment.

    Refused while something runs there or lies in it: what is wiped then is not clean when that comes out.
    """
    runs_there = in_the_way(shelf, deck, at)
    inside = [reel.key for reel in shelf.reels.values() if reel.chamber == deck]
    if runs_there is not None and runs_there.since <= at:
        what = f"while {runs_there.words} runs on it: stop it, and take it off first"
        raise Refused(f"{deck} is not wiped {what}")
    if inside:
        raise Refused(f"{deck} is not wiped while {listed(inside)} lie in it: it is when all are out")
    kept = entries(shelf, DeckPath)
    path = kept[deck] if deck in kept else DeckPath()
    last = at if path.at is None else max(at, path.at)
    return with_entry(shelf, deck, replace(path, at=last, wipes=(*path.wipes, at)))


def kept_on_paths(shelf: Shelf, keys: Collection[str]) -> Shelf:
    """The shelf that goes on knowing what those reels left on paths when they are not on it any more."""
    for deck, one in dirty_paths(shelf).items():
        if one.reel in keys:
            kept = entries(shelf, DeckPath)
            path = kept[deck] if deck in kept else DeckPath()
            left = replace(path, since=one.since, reel=one.reel, why=one.why, wipe=one.wipe)
            shelf = with_entry(shelf, deck, left)
    return shelf


def _since(wiped_at: datetime | None, moment: datetime) -> bool:
    return wiped_at is not None and wiped_at >= moment


def _found(shelf: Shelf) -> Iterator[DirtyPath]:
    moves, kept, ran = running(shelf), entries(shelf, DeckPath), _last_ran(shelf)
    for deck, one in kept.items():
        if one.since is not None and not _since(one.at, one.since):
            yield DirtyPath(deck, one.reel, one.since, one.why, one.wipe)
    for (deck, key), at in ran.items():
        wiped_since = deck in kept and _since(kept[deck].at, at)
        reel = None if wiped_since or key in moves else shelf.reels.get(key)
        left = _left_by(shelf, reel, at) if reel is not None else None
        if left is None and reel is not None and not _lined_up_since(shelf, deck, at):
            left = _told_by_check(shelf, key, at)
        if left is not None:
            yield DirtyPath(deck, key, at, *left)


#: What was seen of a tape goes before what its stock is known for.
_CAME_OFF = {"gum": "it left brown gum", "residue": "it left residue"}


def _left_by(shelf: Shelf, reel: Reel, at: datetime) -> tuple[str, str] | None:
    """Why a tape that ran then left something on the path, and how it is wiped; None where it did not."""
    asked = advisor(shelf)
    told = asked.advice(_as_it_ran(reel, at), at)
    if told.path:
        saw = _CAME_OFF.get(reel.tried, told.because) if told.path == CLEAN else told.because
        return saw, told.path
    if reel.tried in _CAME_OFF and _tried_since(shelf, reel, at):
        return _CAME_OFF[reel.tried], CLEAN
    loads = (one for log in reversed(asked.loads) if (one := log.member(reel.key)) is not None)
    ran = next((one.behaved for one in loads if one.out is not None and one.out <= at), "")
    return (_SHED[ran], CLEAN) if ran in _SHED else None


def _tried_since(shelf: Shelf, reel: Reel, at: datetime) -> bool:
    """Whether what came off that tape was told after it ran then, treated or not."""
    told = [one for one in shelf.history if (one.key, one.field, one.new) == (reel.key, "tried", reel.tried)]
    return bool(told) and told[-1].at >= at


def _as_it_ran(reel: Reel, at: datetime) -> Reel:
    """The tape as it was then, as far as is known now: warmth that it had later made nothing clean before."""
    then = replace(reel, set_aside="", chamber="")
    if reel.conditioned_at is None or reel.conditioned_at <= at:
        return then
    return replace(then, conditioned_at=None, playable_until=None, stage="identified")


def _told_by_check(shelf: Shelf, key: str, at: datetime) -> tuple[str, str] | None:
    """What a check of a pass of that reel tells of the heads, kept after it ran then; None if nothing."""
    for record in shelf.of_kind("check").values():
        kept = record.get("at")
        if record.get("reel") != key or not kept or datetime.fromisoformat(str(kept)) < at:
            continue
        ends = float(record.get("seconds", 0.0)) - 1.0
        for one in record.get("findings", ()):
            if one.get("kind") == "dull" and one.get("weight") != "note" and one.get("end", 0.0) >= ends:
                since = clock_text(round(float(one.get("start", 0.0))))
                return f"its check: the heads were getting dirty from {since} on", CLEAN
    return None


def _lined_up_since(shelf: Shelf, deck: str, at: datetime) -> bool:
    """Whether the deck was lined up after that moment: no calibration tape goes over dirty heads."""
    steps = (one for one in shelf.of_kind("actual").values() if one.get("kind") == "align")
    done = (one for one in steps if one.get("subject") == deck and one.get("state") == "done")
    return any(datetime.fromisoformat(str(one.get("finished") or one["started"])) > at for one in done)


_SHED = {"some shed": "it shed", "stopped": "it stopped on the deck"}


def _last_ran(shelf: Shelf) -> dict[tuple[str, str], datetime]:
    """By deck and reel, when that reel ran there last."""
    found: dict[tuple[str, str], datetime] = {}
    for one in runs(shelf):
        found[one.deck, one.reel] = max(one.at, found.get((one.deck, one.reel), _NEVER))
    return found


_NEVER = datetime.fromisoformat("0001-01-02T00:00+00:00")


def _worse(one: DirtyPath) -> bool:
    return "mask" in one.wipe
