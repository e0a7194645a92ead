"""The one answer about a tape of the shelf: what every door asks before it acts, plans, prints or reminds.

`advice_of(shelf, reel, at)` gives the word and its reasons, `barred(shelf, reel, at)` why a reel is left out
of the work altogether, `heat_of(shelf, reel, at)` whether a chamber may take it. Nothing else decides these.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import datetime
from fractions import Fraction

from core.conditioning.advice import Advice
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.reel_advice import advise_reel
from core.logbook.noted import notes_of_all
from core.reels.needs import (
    cool_until,
    may_be_conditioned_again,
    needs_conditioning,
    to_be_heard,
    to_transfer,
    unknown_facts,
)
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Studio
from core.tape.stock import Stock
from core.tape.written_like import may_tell_a_base
from core.values import dataclass
from core.words import counted

KEPT = 10_000  # answers
Told = tuple[Reel, datetime, Advice]


@dataclass(frozen=True, slots=True)
class Heat:
    """Whether a chamber may take a reel: `never` why not, whatever is said; `asks` what wants a reason."""

    never: str | None = None
    asks: str | None = None


@dataclass(frozen=True, slots=True)
class Advisor:
    """What the advice about any reel of one shelf rests on beside the reel: studio, own stocks, loads."""

    studio: Studio
    own: Mapping[str, Stock] = field(default_factory=dict)
    loads: Sequence[ChamberLog] = ()
    noted: Mapping[str, str] = field(default_factory=dict)
    """By reel, notes of its history and of its passes that speak of a base."""
    _told: dict[tuple[int, bool], Told] = field(default_factory=dict, compare=False, repr=False)

    def advice(self, reel: Reel, at: datetime) -> Advice:
        """What may be done with that reel at that moment, by everything that is known of it."""
        return self._asked(reel, at, as_if_lapsed=False)

    def _asked(self, reel: Reel, at: datetime, *, as_if_lapsed: bool) -> Advice:
        """The table's answer, kept: a plan and its check ask about the same reel at the same moment often."""
        key = (id(reel), as_if_lapsed)
        kept = self._told.get(key)
        if kept is not None and kept[0] is reel and kept[1] == at:
            return kept[2]
        if len(self._told) >= KEPT:
            self._told.clear()
        said = self.noted.get(reel.key, "")
        told = advise_reel(reel, self.studio, at, self.own, self.loads, noted=said, as_if_lapsed=as_if_lapsed)
        self._told[key] = (reel, at, told)
        return told

    def heat(self, reel: Reel, at: datetime) -> Heat:
        """Whether a chamber may take that reel at that moment.

        A sticky reel that may still be played for a while may be warmed again without a word.
        """
        once_more = self._asked(reel, at, as_if_lapsed=True)
        if once_more.no_heat is not None:
            return Heat(never=once_more.no_heat)
        told = self.advice(reel, at)
        again = told.rule == "treated" and may_be_conditioned_again(reel, self.studio, at, self.own)
        return Heat(asks=once_more.asks if again else told.asks)

    def cools_until(self, reel: Reel, at: datetime) -> datetime | None:
        """Until when a reel that came out of the heat is not at hand; None for one that did not.

        One that left it before its hours were up, and is not to be warmed again first, cools as long as it
        was warm, its treatment's cooling at most; one that came out late in proportion longer. What cools
        keeps the cooling with which it came out, though its treatment is changed or taken away meanwhile.
        """
        cool, course = cool_until(reel, self.studio), self.studio.treatment(reel.width)
        usual = course.cool.number if course is not None else Fraction(0)
        if reel.chamber or needs_conditioning(reel, self.studio, at, self.own):
            return cool
        for log in reversed(self.loads):
            member = log.member(reel.key)
            out = (member.out or log.broken_off) if member is not None else None
            if member is None or out is None:
                continue
            other = log.too_short(member) or log.too_long(member) or (member.cool or 0) > usual
            told = log.cools(member, out, usual) if other else out
            return told if told > out and (cool is None or told > cool) else cool
        return cool

    def barred(self, reel: Reel, at: datetime) -> str | None:
        """Why nothing but a look at it is to be planned; None for a reel that may be worked on.

        All that stands against it, what nobody can mend first and what is only to be found out last. A reel
        whose sound is captured is barred from nothing. A reel that only waits for its speed to be heard is
        not barred where the studio auditions.
        """
        if not to_transfer(reel) and not reel.calibration:
            return None
        told = self.advice(reel, at)
        word = None if told.word == "warm" and reel.width is None and not reel.calibration else told.barred_by
        never = told.word in ("never", "cold", "other way")
        unknown = None if reel.calibration else self._not_known(reel)
        room = (_no_deck(reel, self.studio), self._no_room(reel, at))
        every = (word, *room, unknown) if never else (*room, word, unknown)
        return "; ".join(one for one in every if one) or None

    def _not_known(self, reel: Reel) -> str | None:
        missing = unknown_facts(reel, self.studio)
        if not missing or to_be_heard(reel, self.studio):
            return None
        return f"not known: {', '.join(missing)}"

    def _no_room(self, reel: Reel, at: datetime) -> str | None:
        if reel.width is None or not needs_conditioning(reel, self.studio, at, self.own):
            return None
        if any(chamber.takes(reel.width) for chamber in self.studio.chambers):
            return None
        return f"no chamber takes {reel.width}"


_latest: tuple[Shelf, Advisor] | None = None


def advisor(shelf: Shelf) -> Advisor:
    """The advisor of that shelf, made once for as long as the same shelf is asked about."""
    global _latest
    kept = _latest
    if kept is None or kept[0] is not shelf:
        loads = tuple(loads_of(shelf).values())
        kept = (shelf, Advisor(shelf.studio, shelf.own_stocks(), loads, _bases_noted(shelf)))
        _latest = kept
    return kept[1]


def _bases_noted(shelf: Shelf) -> dict[str, str]:
    """By reel, the notes of its history and of its passes in which a base may be told."""
    notes = ((key, one.note) for key, told in notes_of_all(shelf).items() for one in told)
    passes = ((str(one["reel"]), str(one.get("words") or "")) for one in shelf.of_kind("timed note").values())
    found: dict[str, list[str]] = {}
    for key, words in (*notes, *passes):
        if may_tell_a_base(words):
            found.setdefault(key, []).append(words)
    return {key: "; ".join(told) for key, told in found.items()}


def advice_of(shelf: Shelf, reel: Reel, at: datetime) -> Advice:
    """What may be done with a reel at that moment, by everything that the shelf knows of it."""
    return advisor(shelf).advice(reel, at)


def heat_of(shelf: Shelf, reel: Reel, at: datetime) -> Heat:
    """Whether a chamber may take that reel at that moment."""
    return advisor(shelf).heat(reel, at)


def barred(shelf: Shelf, reel: Reel, at: datetime) -> str | None:
    """Why nothing but a look at that reel is to be planned; None for one that may be worked on."""
    return advisor(shelf).barred(reel, at)


def _no_deck(reel: Reel, studio: Studio) -> str | None:
    if reel.calibration or reel.width is None:
        return None
    if reel.tracks is None:
        takes = any(deck.takes_width(reel.width) for deck in studio.decks)
        return None if takes else f"no deck plays {reel.width}"
    width, tracks = reel.width, reel.tracks
    speed = reel.speed if reel.speed and reel.speed.number > 0 else None
    if speed is None:
        fits = any(deck.takes_width(width) and deck.tracks >= tracks for deck in studio.decks)
    else:
        fits = any(deck.takes(width, tracks, speed) for deck in studio.decks)
    return None if fits else f"no deck plays {width}, {counted(tracks, 'track')}, {speed or 'any speed'}"
