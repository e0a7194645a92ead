"""One reel's work as a job: which steps are left, how long each takes, when the reel is at hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from datetime import datetime
from fractions import Fraction
from math import floor

from core.conditioning.advisor import advisor, heat_of
from core.planning.facts.problem import Job, Part
from core.planning.facts.timescale import Timescale
from core.reels import minutes, needs
from core.reels.assumed import as_known, likely, rests_on, rests_on_condition
from core.reels.length import play_seconds
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import Transfer, to_play
from core.studio.setup import Setup, SetupKey
from core.studio.studio import Deck, Studio
from core.values import dataclass
from core.words import counted


@dataclass(slots=True)
class Setups:
    """The set-ups met so far, each once, whatever way it is written."""

    known: list[Setup] = field(default_factory=list)
    places: dict[SetupKey, int] = field(default_factory=dict)

    def index(self, setup: Setup) -> int:
        """The set-up's number, a new one where it is new."""
        if setup.key not in self.places:
            self.places[setup.key] = len(self.known)
            self.known.append(setup)
        return self.places[setup.key]


@dataclass(frozen=True, slots=True)
class Bench:
    """What the reading of one reel asks: the shelf, the scale, the owner's stocks, outs of running loads."""

    shelf: Shelf
    scale: Timescale
    own: needs.OwnStocks
    outs: Mapping[str, int]
    now: Mapping[str, str] = field(default_factory=dict)  # why a reel must come out of the heat at once
    late: frozenset[str] = frozenset()  # reels whose take-out is over, and that nobody took out

    def as_out(self, reel: Reel) -> Reel:
        """The reel as it will be when it has come out of the load that is running."""
        if reel.key not in self.outs:
            return reel
        stage = reel.stage if reel.past("conditioned") else "conditioned"
        out = self.scale.moment(self.outs[reel.key])
        return replace(reel, conditioned_at=out, playable_until=None, stage=stage, chamber="", loaded_at=None)

    def overdue(self, reel: Reel) -> str:
        """What to do about a reel that is still in the heat past its take-out; empty for any other."""
        told = f"in chamber {reel.chamber} past its hours: take it out now, then plan again"
        return told if reel.key in self.late else ""

    def likely(self, reel: Reel) -> Reel:
        """The reel as it is planned behind its look."""
        return likely(reel, self.shelf.studio, self.own)

    def barred(self, reel: Reel) -> str | None:
        """Why nothing is planned for it beyond a look at it: the rules' reasons, part by part."""
        studio, at = self.shelf.studio, self.scale.start
        if reel.key in self.now and needs.to_transfer(reel):
            return f"to come out of chamber {reel.chamber} at once: {self.now[reel.key]}"
        try:
            known = as_known(self.as_out(reel), self.shelf.studio, self.own)
            for part in (one.reel for one in to_play(self.shelf, known)):
                why = advisor(self.shelf).barred(part, at)
                if why:
                    return why
                if needs.to_transfer(part) and part.tracks:
                    minutes.passes(part.tracks, studio)
        except (ValueError, ZeroDivisionError):
            many = counted(reel.tracks or 0, "track")
            return f"not known: how to capture {many} with the inputs of this studio"
        return None


def parts_of(bench: Bench, setups: Setups, reel: Reel) -> tuple[Part, ...]:
    """The transfers that are left of a reel: set-up and minutes on each deck that takes it."""
    studio, out = bench.shelf.studio, []
    for one in to_play(bench.shelf, reel):
        part = one.reel
        assert part.width is not None and part.tracks is not None and part.speed is not None
        fits = [deck.takes(part.width, part.tracks, part.speed) for deck in studio.decks]
        on_decks = tuple(
            part_minutes(one, deck, studio, bench.own, bench.scale.start) if fit else None
            for deck, fit in zip(studio.decks, fits, strict=True)
        )
        rests = rests_on(bench.shelf.reels[reel.key], one.told, studio, bench.own)
        tones = bool(part.tones.strip())
        out.append(Part(setups.index(part.setup), on_decks, one.name, len(one.left), rests, tones))
    return tuple(out)


def part_minutes(one: Transfer, deck: Deck, studio: Studio, own: needs.OwnStocks, at: datetime) -> int:
    """Minutes on that deck of the passes that are left of a transfer, as the tape stands at that moment."""
    begun = one.left_to_run(play_seconds(one.reel, studio) or Fraction(0), at)
    return minutes.transfer_minutes(one.reel, deck, studio, own=own, left=len(one.left), begun=begun)


def job_of(bench: Bench, setups: Setups, index: int, reel: Reel) -> Job | None:
    """The job of a reel that is not barred, None where nothing is to be done with it."""
    if reel.calibration:
        return _job(bench, setups, index, reel) if calibrates(bench, reel) else None
    return None if reel.past("verified") else _job(bench, setups, index, reel)


def calibrates(bench: Bench, reel: Reel) -> bool:
    """True for a calibration reel that is not barred by what is known of it, and could fit a set-up."""
    if reel.key in bench.now or reel.key in bench.late:
        return False
    known = as_known(bench.as_out(reel), bench.shelf.studio, bench.own)
    barred = advisor(bench.shelf).barred(known, bench.scale.start)
    return reel.width is not None and reel.speed is not None and barred is None


def _may_be_heated(bench: Bench, reel: Reel) -> bool:
    studio = bench.shelf.studio
    fits = any(reel.width and chamber.takes(reel.width) for chamber in studio.chambers)
    out = bench.as_out(reel)
    return fits and heat_of(bench.shelf, out, bench.scale.start).never is None


def warmth_of(bench: Bench, reel: Reel) -> str:
    """Whether the reel must, may or must not be conditioned in this plan."""
    studio, at = bench.shelf.studio, bench.scale.start
    out = bench.as_out(reel)
    if needs.needs_conditioning(out, studio, at, bench.own):
        return "must"
    once_only = reel.key in bench.outs and not reel.calibration
    if once_only or not _may_be_heated(bench, reel):
        return "no"
    return "may" if needs.may_be_conditioned_again(out, studio, at, bench.own) else "no"


def _job(bench: Bench, setups: Setups, index: int, found: Reel) -> Job:
    shelf, scale = bench.shelf, bench.scale
    studio = shelf.studio
    reel = bench.likely(found)
    out = bench.as_out(reel)
    treatment = studio.treatment(reel.width)
    waiting = needs.to_transfer(reel)
    hearing = waiting and studio.minutes.audition > 0 and reel.heard is None
    unheard = needs.to_be_heard(reel, studio)
    cooled = advisor(shelf).cools_until(out, scale.start)
    lapse = needs.playable_until(out, studio) if needs.sticky(reel, bench.own) else None
    warmth = warmth_of(bench, reel) if waiting or reel.calibration else "no"
    ready = max(0, scale.not_before(cooled)) if cooled and (waiting or reel.calibration) else 0
    if bench.overdue(found):
        ready = scale.not_after(scale.until)  # from when it cools, nobody knows until it is out
    return Job(
        index=index,
        reel=reel,
        calibration=reel.calibration,
        identify=minutes.identify_minutes(studio) if needs.to_look_at(found) else 0,
        warmth=warmth,
        heat=floor(needs.heated_hours(reel, treatment) * 60) if treatment else 0,
        cool=floor(treatment.cool.number * 60) if treatment else 0,
        playable=floor(treatment.playable_days * 1440) if treatment else 0,
        temperature=str(treatment.temperature.number) if treatment else "",
        trays=_trays(bench, reel),
        ready=ready,
        lapse=scale.not_after(lapse) if lapse is not None and warmth != "must" else None,
        repair=minutes.repair_minutes(reel, studio) if waiting and needs.needs_repair(reel) else 0,
        audition=minutes.audition_minutes(reel, studio, own=bench.own) if hearing else 0,
        audition_decks=tuple(
            d for d, deck in enumerate(studio.decks) if reel.width and deck.takes_width(reel.width)
        ),
        parts=parts_of(bench, setups, reel) if waiting and not unheard else (),
        verify=0 if reel.calibration or unheard else _verify(bench, reel),
        passes=minutes.passes(reel.tracks, studio) if waiting and reel.tracks else 0,
        ends=not unheard,
        look=needs.to_look_at(found),
        look_from=scale.up(ready) if found.key in bench.outs else 0,
        assumed=reel is not found,
        rests=rests_on_condition(found, studio, bench.own),
        overdue=bench.overdue(found),
    )


def _trays(bench: Bench, reel: Reel) -> tuple[int, ...]:
    """By chamber, how many trays it takes; nought where it does not fit, or must not be warmed."""
    chambers = bench.shelf.studio.chambers
    width = reel.width if heat_of(bench.shelf, bench.as_out(reel), bench.scale.start).never is None else None
    return tuple((c.trays_for(width) or 0) if width and c.takes(width) else 0 for c in chambers)


def _verify(bench: Bench, reel: Reel) -> int:
    return minutes.verify_minutes(reel, bench.shelf.studio, whole_play(bench.shelf, reel))


def whole_play(shelf: Shelf, reel: Reel) -> Fraction:
    """Seconds that a verify listens over: the whole tape, or its parts where that is not known."""
    whole = play_seconds(reel, shelf.studio)
    if whole is not None:
        return whole
    return sum((one.end - one.start for one in shelf.segments_of(reel.key)), start=Fraction(0))
