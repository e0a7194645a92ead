"""What must be done now: a reel in the heat, or a tape on the deck, that must not be there; a hot chamber."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from core.clock import NIGHT_ENDS, at_wall, evening_of
from core.conditioning.advice import Advice
from core.conditioning.advisor import advice_of
from core.conditioning.loads.chamber_log import ChamberLog, Reading
from core.conditioning.loads.degrees import degrees_of
from core.conditioning.loads.kept_loads import load_of, loads_of
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.on_deck import on_deck
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.where import figure
from core.values import dataclass
from core.words import ended, listed


@dataclass(frozen=True, slots=True)
class Alarm:
    """One thing to do now: in which chamber, with which reels, why, and the whole sentence.

    An alarm of a tape that runs has no chamber and no load; `since` is when it began to run, `then` what to
    do once it stands.
    """

    chamber: str
    load: str
    reels: tuple[str, ...]
    why: str
    says: str
    since: datetime | None = None
    then: str = ""
    hot: bool = False
    """True where the chamber is too hot for whatever is in it."""

    @property
    def on_deck(self) -> bool:
        """True for a tape that runs and must be stopped."""
        return not self.chamber

    @property
    def does(self) -> str:
        """What is done, in short: ``stop P-1``, ``take W-1 and W-2 out of chamber C1``."""
        if self.on_deck:
            return f"stop {self.reels[0]}"
        return f"take {listed(self.reels)} out of chamber {self.chamber}"


_latest: tuple[Shelf, tuple[Alarm, ...]] | None = None


def alarms(shelf: Shelf) -> tuple[Alarm, ...]:
    """Every alarm of this shelf: tapes to stop, hot chambers, reels to take out; found once for a shelf."""
    global _latest
    kept = _latest
    if kept is None or kept[0] is not shelf:
        kept = (shelf, tuple(_found(shelf)))
        _latest = kept
    return kept[1]


def alarm_of(shelf: Shelf, key: str) -> str | None:
    """What must be done now with that reel, in one line; None if nothing."""
    return " ".join(one.says for one in alarms(shelf) if key in one.reels) or None


def out_now(shelf: Shelf) -> dict[str, str]:
    """By reel, why it must come out of the heat now; empty where nothing must."""
    return {key: one.why for one in reversed(alarms(shelf)) if not one.on_deck for key in one.reels}


def not_to_be_in(shelf: Shelf) -> dict[str, str]:
    """By reel, why it of all reels in there must not be in the heat; empty where none of them."""
    return {one.reels[0]: one.why for one in alarms(shelf) if not (one.on_deck or one.hot)}


def rests_until(shelf: Shelf, chamber: str) -> datetime | None:
    """Until when a chamber that was too hot takes no load: the night behind its last such reading.

    None where it was not, or where an empty run read well since, which ends the rest; another load does not.
    """
    hot: ChamberLog | None = None
    for log in (one for one in loads_of(shelf).values() if one.chamber == chamber):
        if _too_hot(shelf, log):
            hot = log
        elif log.trial and log.readings:
            hot = None
    if hot is None:
        return None
    last = max(one.at for one in hot.readings if one.celsius >= figure("heat.hard_stop_c"))
    zone = shelf.studio.zone
    return at_wall(evening_of(last.astimezone(zone)) + timedelta(days=1), NIGHT_ENDS * 60, zone)


def _found(shelf: Shelf) -> Iterator[Alarm]:
    for tape in on_deck(shelf):
        yield Alarm("", "", (tape.reel,), tape.why, tape.says, tape.since, tape.then)
    yield from _left_inside(shelf)
    inside = [reel for reel in shelf.reels.values() if reel.chamber and reel.loaded_at is not None]
    if not inside:
        return
    wrong: dict[str, list[tuple[Reel, Advice]]] = {}
    for reel in inside:
        told = advice_of(shelf, reel, reel.loaded_at)  # type: ignore[arg-type]
        load = load_of(shelf, reel) or ""
        if _must_come_out(shelf, reel, told, load):
            wrong.setdefault(load, []).append((reel, told))
    hot = list(_hot(shelf, inside, wrong))
    yield from hot
    for load, those in wrong.items():
        yield from _wrong(inside, load, those, hot=any(one.load == load for one in hot))


def _left_inside(shelf: Shelf) -> Iterator[Alarm]:
    """An alarm for each reel that lies in a chamber since its load was broken off, and must not be warmed."""
    logs = loads_of(shelf) if (lying := left_inside(shelf)) else {}
    for key, load in lying.items():
        told, log = advice_of(shelf, shelf.reels[key], logs[load].at), logs[load]
        if told.no_heat is not None or (told.word == "look first" and not _let_in(shelf, load, key, told)):
            first = f", {told.first}" if told.first else ""
            why = told.no_heat or told.asks or told.because
            says = (
                f"Take {key} out of chamber {log.chamber}{first}, where it lies since its load was broken "
                f"off: {ended(why)} Then {told.now}."
            )
            yield Alarm(log.chamber, load, (key,), why, says)
            lying = {one: where for one, where in lying.items() if one != key}
    yield from _hot_and_off(shelf, lying)


def _hot_and_off(shelf: Shelf, lying: Mapping[str, str]) -> Iterator[Alarm]:
    """An alarm for what lies, by reel and load, in a chamber that was too hot, its load broken off."""
    for load in dict.fromkeys(lying.values()):
        log = loads_of(shelf)[load]
        why = _too_hot(shelf, log)
        if why:
            reels = tuple(key for key, where in lying.items() if where == load)
            them, lie = ("it", "it lies") if len(reels) == 1 else ("them", "they lie")
            says = (
                f"Take {listed(reels)} out of chamber {log.chamber} now, where {lie} since its load was "
                f"broken off: {why}. Lay {them} flat, let {them} cool and look before one is played."
            )
            yield Alarm(log.chamber, load, reels, why, says, hot=True)


def _hot(shelf: Shelf, inside: list[Reel], wrong: Mapping[str, object]) -> Iterator[Alarm]:
    loads = loads_of(shelf)
    for load in dict.fromkeys(load_of(shelf, reel) for reel in inside):
        log = loads.get(load or "")
        if load is None or log is None:
            continue
        why = _too_hot(shelf, log)
        if why:
            reels = tuple(reel.key for reel in inside if load_of(shelf, reel) == load)
            them = "all but those named below" if load in wrong else "them"
            says = (
                f"Switch chamber {log.chamber} off and take {listed(reels)} out now: {why}. Lay {them} flat, "
                "let them cool and look at them before one is played; warm nothing there until a second "
                "thermometer agrees."
            )
            yield Alarm(log.chamber, load, reels, why, says, hot=True)


def _too_hot(shelf: Shelf, log: ChamberLog) -> str:
    """That a thermometer showed the hard stop or more; empty where none did.

    A later reading mends nothing: what was too hot comes out. It counts until the load was broken off and
    gone on with, or until a reading of the same moment and place was put right.
    """
    stop, told = figure("heat.hard_stop_c"), degrees_of(shelf)
    readings = sorted({(one.at, one.place): one for one in log.readings}.values(), key=lambda one: one.at)
    newest = {one.place: one for one in readings}
    on = max((gap.on for gap in log.gaps), default=None)

    def counts(one: Reading) -> bool:
        return one.celsius >= stop and (on is None or one.at > on or newest[one.place] is one)

    hot = [one for one in readings if counts(one)]
    if not hot:
        return ""
    worst = max(hot, key=lambda one: one.celsius)
    reads = worst.celsius == max(one.celsius for one in newest.values())
    verb = f"it reads {told.text(worst.celsius)}"
    if not reads:
        verb = f"it read {told.text(worst.celsius)} at {_clock(worst.at, log.at)}, whatever it reads now"
    return f"{verb}, and the hard stop is {told.text(stop)}"


def reads_too_hot(shelf: Shelf, log: ChamberLog) -> str:
    """That the newest reading at any place of a chamber is the hard stop or more; empty where none is."""
    newest = {one.place: one for one in sorted(log.readings, key=lambda one: one.at)}.values()
    worst = max(newest, key=lambda one: one.celsius, default=None)
    stop, told = figure("heat.hard_stop_c"), degrees_of(shelf)
    if worst is None or worst.celsius < stop:
        return ""
    return f"{log.chamber} reads {told.text(worst.celsius)}, and the hard stop is {told.text(stop)}"


def _clock(at: datetime, began: datetime) -> str:
    return f"{at.astimezone(began.tzinfo):%H:%M}"


def _wrong(inside: list[Reel], load: str, those: list[tuple[Reel, Advice]], *, hot: bool) -> Iterator[Alarm]:
    """An alarm for each reel of a load that must come out; of the rest only where some of it stays in."""
    chamber, gone = those[0][0].chamber, {reel.key for reel, _ in those}
    stays = not hot and any(one.chamber == chamber and one.key not in gone for one in inside)
    for reel, told in those:
        why = told.no_heat or told.asks or told.because
        tail = f" {told.rest}" if stays else ""
        first = f", {told.first}" if told.first else ""
        says = f"take {reel.key} out of chamber {chamber} now{first}: {ended(why)} Then {told.now}.{tail}"
        yield Alarm(chamber, load, (reel.key,), why, f"{says[0].upper()}{says[1:]}")


def _must_come_out(shelf: Shelf, reel: Reel, told: Advice, load: str) -> bool:
    """Not to be warmed, and not let in for a reason while the advice was the same."""
    if told.word == "warm":
        return False
    if told.no_heat is not None:
        return True
    return not _let_in(shelf, load, reel.key, told)


def _let_in(shelf: Shelf, load: str, key: str, told: Advice) -> bool:
    """True for a reel that went into that load for a reason, against the advice that holds still."""
    kept = shelf.of_kind("load").get(load, {})
    return bool(kept.get("advice", {}).get(key) == told.word)
