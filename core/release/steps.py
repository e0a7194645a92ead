"""Steps after capture in the owner's own words: who does them, until when, and what they wait for."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import date

from core.errors import Refused
from core.shelf import Shelf
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class SongStep:
    """One step of a song. ``after`` is a number of another step, a reel, or anyone or anything in words."""

    song: str
    number: int
    text: str
    who: str = ""
    by: str = ""
    after: str = ""
    done_at: str = ""

    @property
    def done(self) -> bool:
        """True once it was marked."""
        return bool(self.done_at)

    @property
    def due(self) -> date | None:
        """The date until which it is to be done."""
        return date.fromisoformat(self.by) if self.by else None

    def to_json(self) -> dict[str, object]:
        """As the shelf keeps it."""
        return asdict(self)


def steps_of(shelf: Shelf, song: str) -> tuple[SongStep, ...]:
    """A song's steps by their numbers."""
    mine = [SongStep(**one) for one in shelf.of_kind("step").values() if one.get("song") == song]
    return tuple(sorted(mine, key=lambda step: step.number))


def read_step(typed: str, read_day: Callable[[str], date]) -> tuple[str, str, date | None, str]:
    """Text, who, until when and after what of ``edit the breath; who Ulla; by 2026-12-20; after 1``.

    What ``read_day`` raises for a date that is none goes on.
    """
    told: dict[str, str] = {}
    words: list[str] = []
    for piece in (one.strip() for one in typed.split(";")):
        lead, _, rest = piece.partition(" ")
        if words and rest and lead.casefold() in ("who", "by", "after"):
            told[lead.casefold()] = rest.strip()
        elif piece:
            words.append(piece)
    day = read_day(told["by"]) if "by" in told else None
    return "; ".join(words), told.get("who", ""), day, told.get("after", "").removeprefix("step ")


def with_step(shelf: Shelf, song: str, text: str, who: str, by: date | None, after: str) -> Shelf:
    """The shelf with one step more; Refused without words, or after a step that there is not."""
    text, after = " ".join(text.split()), after.strip()
    if not text:
        raise Refused("say in a few words what is to be done")
    mine = steps_of(shelf, song)
    if after.isdigit() and int(after) not in {step.number for step in mine}:
        raise Refused(f"{song} has no step {after} to wait for")
    if re.fullmatch(r"[A-Za-z]{1,4}-\w*\d\w*", after) and after not in shelf.reels:
        raise Refused(
            f"{after} is no reel on this shelf: a step waits for a step's number, a reel or a person"
        )
    number = 1 + max((step.number for step in mine), default=0)
    step = SongStep(song, number, text, " ".join(who.split()), by.isoformat() if by else "", after)
    return shelf.with_record("step", f"{song} {number}", step.to_json())


def step_done(shelf: Shelf, song: str, number: int, at: str) -> Shelf:
    """The shelf with a step done at that time; Refused where there is none, or it is done already."""
    mine = steps_of(shelf, song)
    found = next((step for step in mine if step.number == number), None)
    if found is None:
        there = ", ".join(str(step.number) for step in mine) or "none"
        raise Refused(f"{song} has no step {number}: there is {there}")
    if found.done:
        raise Refused(f"step {number} of {song} is done since {found.done_at[:16].replace('T', ' ')}")
    return shelf.with_record("step", f"{song} {number}", {**found.to_json(), "done_at": at})


def waits_on(shelf: Shelf, step: SongStep, steps: Mapping[int, SongStep]) -> str:
    """What the step waits for now, in a few words; empty where it can be done."""
    if not step.after:
        return ""
    if step.after.isdigit():
        other = steps.get(int(step.after))
        return f"step {step.after} ({other.text})" if other is not None and not other.done else ""
    reel = shelf.reels.get(step.after)
    if reel is not None:
        return "" if reel.stage == "verified" else step.after
    return step.after
