"""One reel's work as a job: which steps are left, how long each takes, when the reel is at hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from math import floor

from core.conditioning.advisor import advisor, heat_of
from core.conditioning.hours_had import left_since
from core.planning.facts.problem import Job, Part
from core.planning.facts.timescale import Timescale
from core.reels import minutes, needs
from core.reels.assumed import as_known, likely, rests_on, rests_on_condition
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.left_to_play import to_play
from core.standing.part_minutes import part_minutes, whole_play
from core.standing.seen_first import mouldy_chambers, seen_first, wiped_first
from core.studio.setup import Setup, SetupKey
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

    def waits(self, reel: Reel) -> str:
        """What is to be done about a reel before any plan has it; empty for most.

        One that is still in the heat past its take-out; one that is to be looked at first, and that a line-up
        wants, or that a load which runs gives back.
        """
        if reel.key in self.late:
            return f"in chamber {reel.chamber} past its hours: take it out now, then plan again"
        inside = reel.key in self.outs and needs.to_transfer(reel)
        return (self.to_be_seen(reel) or "") if inside or reel.calibration else ""

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
        inside = reel.key in self.outs
        return None if inside or not needs.to_transfer(reel) else self.to_be_seen(reel)

    def to_be_seen(self, reel: Reel) -> str | None:
        """Why it waits until somebody looked at it, or wiped the chambers that take it; None for most."""
        found = self.likely(reel)
        return seen_first(self.shelf, found) or wiped_first(self.shelf, self.as_out(found), self.scale.start)


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
    return any(_trays(bench, reel))


def warmth_of(bench: Bench, reel: Reel) -> str:
    """Whether the reel must, may or must not be conditioned in this plan."""
    studio, at = bench.shelf.studio, bench.scale.start
    out = bench.as_out(reel)
    if needs.needs_conditioning(out, studio, at, bench.own):
        return "must"
    if left_since(bench.shelf, reel) and _may_be_heated(bench, reel):
        return "must"  # what left gum since it was warmed
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
    if waits := bench.waits(found):
        ready = scale.not_after(scale.until)  # from when it is at hand, nobody knows until that is done
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
        waits=waits,
    )


def _trays(bench: Bench, reel: Reel) -> tuple[int, ...]:
    """By chamber, how many trays it takes; nought where it does not fit, must not be warmed, or mould lay."""
    chambers = bench.shelf.studio.chambers
    out, mouldy = bench.as_out(reel), mouldy_chambers(bench.shelf)
    width = reel.width if heat_of(bench.shelf, out, bench.scale.start).never is None else None
    fits = ((c, width) if c.id not in mouldy and width and c.takes(width) else None for c in chambers)
    return tuple((fit[0].trays_for(fit[1]) or 0) if fit else 0 for fit in fits)


def _verify(bench: Bench, reel: Reel) -> int:
    return minutes.verify_minutes(reel, bench.shelf.studio, whole_play(bench.shelf, reel))
