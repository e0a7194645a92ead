"""What must be done now: a reel in the heat that must not be there, a chamber at or above the hard stop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from core.conditioning.advice import Advice
from core.conditioning.advisor import advice_of
from core.conditioning.loads.chamber_log import ChamberLog
from core.conditioning.loads.degrees import degrees_of
from core.conditioning.loads.kept_loads import load_of, loads_of
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure


@dataclass(frozen=True, slots=True)
class Alarm:
    """One thing to do now: in which chamber, with which reels, why, and the whole sentence."""

    chamber: str
    load: str
    reels: tuple[str, ...]
    why: str
    says: str


_AFTER_HEAT = (
    "Lay them flat, let them cool and look at them before one is played; "
    "warm nothing there until a second thermometer agrees."
)


def alarms(shelf: Shelf) -> tuple[Alarm, ...]:
    """Every alarm of this shelf, the hot chambers first; nothing where nothing is warm."""
    inside = [reel for reel in shelf.reels.values() if reel.chamber and reel.loaded_at is not None]
    if not inside:
        return ()
    loads = loads_of(shelf)
    return (*_hot(shelf, inside, loads), *_wrong(shelf, inside))


def alarm_of(shelf: Shelf, key: str) -> str | None:
    """What must be done now with that reel, in one sentence; None if nothing."""
    return next((one.says for one in alarms(shelf) if key in one.reels), None)


def out_now(shelf: Shelf) -> dict[str, str]:
    """By reel, why it must come out of the heat now; empty where nothing must."""
    return {key: one.why for one in reversed(alarms(shelf)) for key in one.reels}


def _hot(shelf: Shelf, inside: list[Reel], loads: Mapping[str, ChamberLog]) -> Iterator[Alarm]:
    stop = figure("heat.hard_stop_c")
    for load in dict.fromkeys(load_of(shelf, reel) for reel in inside):
        log = loads.get(load or "")
        if load is None or log is None:
            continue
        newest = {one.place: one for one in sorted(log.readings, key=lambda one: one.at)}
        hot = [one for one in newest.values() if one.celsius >= stop]
        if hot:
            reels = tuple(reel.key for reel in inside if load_of(shelf, reel) == load)
            read = degrees_of(shelf).text(max(one.celsius for one in hot))
            why = f"it reads {read}, and the hard stop is {degrees_of(shelf).text(stop)}"
            says = (
                f"Switch chamber {log.chamber} off and take {', '.join(reels)} out now: {why}. {_AFTER_HEAT}"
            )
            yield Alarm(log.chamber, load, reels, why, says)


def _wrong(shelf: Shelf, inside: list[Reel]) -> Iterator[Alarm]:
    for reel in inside:
        told = advice_of(shelf, reel, reel.loaded_at)  # type: ignore[arg-type]
        load = load_of(shelf, reel) or ""
        if not _must_come_out(shelf, reel, told, load):
            continue
        why = told.no_heat or told.because
        others = any(one.chamber == reel.chamber and one.key != reel.key for one in inside)
        rest = f" {told.rest}" if others else ""
        says = f"take {reel.key} out of chamber {reel.chamber} now: {why}. Then {told.now}.{rest}"
        yield Alarm(reel.chamber, load, (reel.key,), why, f"{says[0].upper()}{says[1:]}")


def _must_come_out(shelf: Shelf, reel: Reel, told: Advice, load: str) -> bool:
    """Not to be warmed, and not let in for a reason while the advice was the same."""
    if told.word == "warm":
        return False
    if told.no_heat is not None:
        return True
    kept = shelf.of_kind("load").get(load, {})
    return bool(kept.get("advice", {}).get(reel.key) != told.word)
