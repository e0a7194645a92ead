"""Full line-ups that set little or nothing, since a box does not say to what, and what may spare them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from core.clock import evening_of
from core.evening.around.other_width import other_width
from core.lineup.on_shelf import setup_of_words
from core.plan import Item, Plan
from core.shelf import Shelf
from core.standing.left_to_play import to_play
from core.standing.uncalibrated import passed_over
from core.studio.setup import Setup, blanks
from core.values import dataclass
from core.words import day_text, listed


@dataclass(frozen=True, slots=True)
class Unset:
    """A full line-up of which something is only read or taken for granted.

    ``blank``: what of the set-up is not known. ``writes``: by reel, what to write into its blanks so that
    the deck stands on it already, before or after; empty where that would not do. ``apart``: the noise
    reduction that alone keeps it from that.
    """

    align: Item
    reels: tuple[str, ...]
    blank: tuple[str, ...]
    writes: tuple[tuple[str, dict[str, str]], ...]
    helper: bool
    apart: str = ""
    at_hand: tuple[str, ...] = ()  # those of its reels that may run by then; without one it is made ahead

    @property
    def untouched(self) -> bool:
        """True for one that is made by no tape and no tones: level and treble stay as they are."""
        return self.align.by == "as it stands" and not self.align.calibration

    @property
    def does(self) -> str:
        """What such a line-up really is; empty where something is set by it."""
        if len(self.blank) < 2 and not self.untouched:
            return ""
        whose = listed(self.at_hand or self.reels) or "the tape"
        when = self._of_others if self.at_hand else " when it plays"
        told = "nothing is set by it: path cleaned and demagnetised, azimuth and balance by the programme"
        told = f"{told} of {whose}{when}"
        told = f"{told}; {self.apart} makes it a set-up of its own" if self.apart else told
        return f"{told}; if that is done sooner, go on"

    @property
    def _of_others(self) -> str:
        """By which tapes, that must not run by then, it is set again as they play; empty for none."""
        others = [key for key in self.reels if key not in self.at_hand]
        if not others:
            return ""
        whose = f"each of the {len(others)} others" if len(others) > _NAMED else listed(others)
        return f", and by that of {whose} when {'it plays' if len(others) == 1 else 'they play'}"

    @property
    def spares(self) -> str:
        """Which words on the shelf may spare it; empty where none are known that would."""
        if not self.writes:
            return ""
        takes = f"{round((self.align.end - self.align.start).total_seconds() / 60)} min"
        who = " with the helper" if self.helper else ""
        names = list(dict.fromkeys(name for _, fields in self.writes for name in fields))
        lacks = "are not told" if len(names) + len(self.writes) > 2 else "is not told"
        on = f"{takes}{who} on {day_text(self.align.start.date())}"
        given = f"{listed([key for key, _ in self.writes])}: {listed(names)} {lacks}, so {self.align.deck}"
        return f"{given} is lined up for {on}; {written(self.writes)}{_MAY}"

    @property
    def spares_it(self) -> str:
        """The same beside the line-up itself, which tells when it is, for somebody at a deck."""
        return f"{on_cards(self.writes)}{_MAY}" if self.writes else ""


_NAMED = 3  # tapes; of more it is said how many they are
#: Whether they do, only planning with them tells.
_MAY = ", if that is what it has, may spare a full line-up"


def written(writes: tuple[tuple[str, dict[str, str]], ...]) -> str:
    """``set K-06 eq=NAB level="250 nWb/m"``: the commands that write those fields."""
    return " and ".join(f"`set {key} {_fields(fields)}`" for key, fields in writes)


def on_cards(writes: tuple[tuple[str, dict[str, str]], ...]) -> str:
    """``eq NAB, level 250 nWb/m on the card of K-06``: the same for somebody who has paper before them."""
    alike: dict[str, list[str]] = {}
    for key, fields in writes:
        words = ", ".join(f"{name.replace('_', ' ')} {word}" for name, word in fields.items())
        alike.setdefault(words, []).append(key)
    cards = (f"{words} on the card{'s' * (len(keys) > 1)} of {listed(keys)}" for words, keys in alike.items())
    return " and ".join(cards)


def _fields(fields: dict[str, str]) -> str:
    return " ".join(f'{name}="{word}"' if " " in word else f"{name}={word}" for name, word in fields.items())


def unset(shelf: Shelf, plan: Plan) -> Iterator[Unset]:
    """Every full line-up of the plan that sets not all it could, or that words on the shelf may spare."""
    for deck in shelf.studio.decks:
        own = sorted(
            (i for i in plan.items if i.deck == deck.id and i.kind in ("align", "transfer")),
            key=lambda one: one.start,
        )
        stands = deck.lined_up
        aligns = [one for one in own if one.kind == "align"]
        for place, align in enumerate(aligns):
            setup = setup_of_words(shelf, dict(align.setup))
            if align.full:
                later = (setup_of_words(shelf, dict(o.setup)) for o in aligns[place + 1 :] if o.full)
                beside = [one for one in (stands, next(later, None)) if one is not None]
                reels = _plays(own, align)
                blank = tuple(blanks(dict(align.setup)))
                writes = next((w for x in beside if (w := _writes(shelf, reels, setup, x))), ())
                if blank or writes or (align.by == "as it stands" and not align.calibration):
                    apart = "" if writes else next((a for x in beside if (a := _apart(setup, x))), "")
                    hand = _at_hand(plan, align, reels)
                    yield Unset(align, reels, blank, writes, deck.setup_needs_helper, apart, hand)
            stands = setup


def spared(shelf: Shelf, plan: Plan, now: datetime) -> tuple[str, ...]:
    """What may spare line-ups of the plan that lie ahead: those with the helper first, then the longest."""
    could = [one for one in unset(shelf, plan) if one.writes and one.align.start >= now]
    could.sort(key=lambda one: (not one.helper, one.align.start - one.align.end, one.align.start))
    return tuple(one.spares for one in could)


def sets_nothing(shelf: Shelf, plan: Plan, align: Item) -> str:
    """What that line-up really is where nothing is set by it; empty for any other."""
    return next((one.does for one in unset(shelf, plan) if one.align == align), "")


def line_up_notes(shelf: Shelf, plan: Plan, *, beside: bool = False) -> dict[int, tuple[str, ...]]:
    """By the ids of the plan's line-ups: what each leaves unset, and what may spare or better it.

    ``beside``: in short, for a page on which the line-up itself tells when it is and for what.
    """
    found = {id(one.align): one for one in unset(shelf, plan)}
    out = {}
    for item in plan.items:
        if item.kind == "align":
            one = found.get(id(item))
            own = [i for i in plan.items if i.deck == item.deck and i.kind in ("align", "transfer")]
            width = other_width(shelf, item, _plays(own, item))
            spares = (one.spares_it if beside else one.spares) if one else ""
            told = (one.does if one else "", width, spares, passed_over(shelf, plan, item))
            out[id(item)] = tuple(words for words in told if words)
    return out


def plays_on(plan: Plan, align: Item) -> tuple[str, ...]:
    """The reels that the plan plays on that line-up, on that evening or later."""
    own = [one for one in plan.items if one.deck == align.deck and one.kind in ("align", "transfer")]
    return _plays(sorted(own, key=lambda one: one.start), align)


def _plays(own: list[Item], align: Item) -> tuple[str, ...]:
    """The reels that play on a line-up, also behind later touch-ups of it."""
    out = []
    for item in own:
        if item.start < align.end:
            continue
        if item.kind == "align" and (item.full or item.setup != align.setup):
            break
        if item.kind == "transfer":
            out.append(item.reel)
    return tuple(dict.fromkeys(out))


def _at_hand(plan: Plan, align: Item, reels: tuple[str, ...]) -> tuple[str, ...]:
    """Those reels that may run while it is made: played this evening, nothing is to be done to them first.

    A tape that is looked at, warmed, cooled or mended between the line-up and its pass must not run by then.
    """
    tonight, waits = set(), set()
    for item in plan.items:
        if item.kind == "transfer":
            if item.start >= align.end and evening_of(item.start) == evening_of(align.start):
                tonight.add(item.reel)
        elif item.kind in ("identify", "repair") and item.end > align.start:
            waits.add(item.reel)
        waits |= {one.reel for one in item.members if one.cool_until > align.start}
    return tuple(key for key in reels if key in tonight and key not in waits)


def _apart(setup: Setup, like: Setup) -> str:
    """The noise reduction without which its blanks could be filled to be that set-up; empty for none."""
    noise = setup.noise_reduction.strip()
    alone = replace(setup, noise_reduction=like.noise_reduction)
    return noise if noise and setup.key[3] != like.key[3] and alone.made_to(like) is not None else ""


def _writes(
    shelf: Shelf, reels: tuple[str, ...], setup: Setup, like: Setup
) -> tuple[tuple[str, dict[str, str]], ...]:
    """What to write into those reels' blanks so that all are of that set-up; empty where one cannot be."""
    found = []
    for key in reels:
        parts = [one for one in to_play(shelf, shelf.reels[key]) if one.reel.setup.key == setup.key]
        told = parts[0].told.setup.made_to(like) if parts and key in shelf.reels else None
        if told is None or like.key == setup.key:
            return ()
        found.append((key, told))
    return tuple(found)
