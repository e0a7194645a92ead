"""One plan before the judge: the shelf's facts at `from`, lengths of items, the plan's items as values."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from typing import Any

import reeljudge_hours as hours
import reeljudge_units as units
from reeljudge_shelf import NEVER, Chamber, Deck, Part, Reel, Setup, Shelf, Treatment

BENCH_KINDS = ("identify", "repair", "align", "audition", "transfer", "verify")
ON_DECK = ("align", "audition", "transfer")
ENDLESS = 800 * 86400
"""Bench time that runs on for longer than any plan."""


@dataclass(frozen=True, slots=True)
class Item:
    """A bench item of the plan."""

    kind: str
    start: int
    end: int
    reel: str
    deck: str
    raw: dict[str, Any]

    def __str__(self) -> str:
        return f"{self.kind} {self.reel or self.deck} at {self.raw['start']}"


@dataclass(frozen=True, slots=True)
class Load:
    """A chamber load with everything about it computed anew; `raw` is None where the plan leaves it out."""

    chamber: Chamber
    start: int
    outs: dict[str, int]
    touches: tuple[tuple[str, int, int], ...]
    running: bool
    raw: dict[str, Any] | None

    @property
    def end(self) -> int:
        """The moment of the last take-out."""
        return max(self.outs.values())

    def __str__(self) -> str:
        return f"load of {', '.join(sorted(self.outs))} in {self.chamber.id}"


@dataclass(slots=True)
class Case:
    """What the rules look at."""

    shelf: Shelf
    plan: dict[str, Any]
    start: int
    until: int
    items: list[Item] = field(default_factory=list)
    loads: list[Load] = field(default_factory=list)
    spans: hours.Hours = field(default_factory=lambda: hours.Hours([], [], [], []))
    malformed: list[str] = field(default_factory=list)
    told_barred: dict[str, str] = field(default_factory=dict)
    slack: Fraction = Fraction(0)

    # --- bench windows ----------------------------------------------------------------------------------

    def slack_seconds(self, window: hours.Span) -> int:
        """The last part of a whole bench window that stays free, rounded up to the grid.

        Bench time that never ends has no last part.
        """
        if window[1] - window[0] > ENDLESS:
            return 0
        grid = int(self.shelf.minutes["grid"]) * 60
        return units.whole(self.slack * (window[1] - window[0]) / grid) * grid

    def window(self, start: int, end: int) -> hours.Span | None:
        """The whole bench window that holds [start, end]."""
        return hours.holder(self.spans.bench, start, end)

    # --- the reel at `from` -----------------------------------------------------------------------------

    def treatment(self, reel: Reel) -> Treatment | None:
        """The treatment of the reel's width, with hours of its own where the reel has them."""
        usual = self.shelf.treatments.get(reel.width) if reel.width is not None else None
        if usual and reel.treatment_minutes is not None:
            return Treatment(usual.temperature, reel.treatment_minutes, usual.cool, usual.playable_days)
        return usual

    def at_hand_from(self, reel: Reel) -> int:
        """The moment from which a reel that came out of a chamber earlier has cooled."""
        treatment = self.treatment(reel)
        if reel.conditioned_at is None or treatment is None:
            return -NEVER
        return reel.conditioned_at + int(treatment.cool * 60)

    def playable(self, reel: Reel) -> int | None:
        """Until when the shelf lets the reel be played at `from`; NEVER: for good; None: not playable."""
        treatment = self.treatment(reel)
        if reel.playable_until is not None:
            last = reel.playable_until
        elif reel.conditioned_at is not None and treatment:
            last = reel.conditioned_at + int(treatment.playable_days * 86400)
        elif reel.stage in ("conditioned", "aligned"):
            last = NEVER
        else:
            return None
        return last if self.start <= last else None

    def running(self, reel: Reel) -> bool:
        """Whether the reel sits in a load that runs at `from`."""
        return any(load.running and reel.name in load.outs for load in self.loads)

    def sticky(self, reel: Reel) -> bool:
        """Known to be sticky, or taken for it behind a look that nobody has had."""
        return reel.sticky or (reel.uninspected and self.shelf.assume_sticky)

    def needs_heat(self, reel: Reel) -> bool:
        """Whether rule 4 asks for conditioning before the reel is played, by what is known."""
        due = reel.calibration or reel.before("transferred")
        return due and reel.sticky and self.playable(reel) is None

    def beyond_help(self, reel: Reel) -> bool:
        """Only assumed sticky, and not to be put into heat if it is: looked at and left over."""
        assumed = self.sticky(reel) and not reel.sticky and self.playable(reel) is None
        return assumed and reel.before("transferred") and self.no_heat(reel) is not None

    def assumed_condition(self, reel: Reel) -> str | None:
        """What a plan takes an uninspected reel for, as it says it."""
        if not reel.uninspected:
            return None
        return f"condition {'sticky' if self.sticky(reel) else 'ok'}"

    def fitting(self, deck: Deck, setup: Setup) -> list[Reel]:
        """The calibration reels of the shelf that fit a set-up on a deck and are not barred."""
        return [
            reel
            for reel in self.shelf.reels.values()
            if reel.calibration
            and setup[0] is not None
            and reel.setup[0] == setup[0]
            and reel.width in deck.widths
            and self.barred(reel) is None
        ]

    def takes(self, reel: Reel, part: Part) -> list[Deck]:
        """The decks that can play a part of the reel."""
        return [
            deck
            for deck in self.shelf.decks.values()
            if reel.width in deck.widths
            and part.setup[0] in deck.speeds
            and deck.tracks >= (reel.tracks or 0)
        ]

    def barred(self, reel: Reel) -> str | None:
        """Rule 3's reason for leaving the reel over, or a calibration reel unused; or None."""
        if not reel.calibration and not reel.before("transferred"):
            return None
        if reel.has("vinegar", "mould"):
            return "vinegar or mould"
        if reel.written_like:
            return f"written like {reel.written_like}"
        if reel.has("squeal") and not reel.sticky:
            return "squeal without a cause"
        if reel.width is None or not reel.tracks or any(part.setup[0] is None for part in reel.parts):
            return "width, tracks or speed not known"
        if any(not self.takes(reel, part) for part in reel.parts):
            return "no deck takes it"
        if self.running(reel) and self.must_not_be_warm(reel):
            return "it must not be in the chamber that it is in"
        return self.no_heat(reel) if self.needs_heat(reel) and not self.running(reel) else None

    def must_not_be_warm(self, reel: Reel) -> bool:
        """Whether a reel that is in a chamber comes out at once, by what is known of it or as the plan says.

        A plan may be stricter than the rules, by barring a reel with its reason.
        """
        squeals = reel.has("squeal") and not reel.sticky
        sick = reel.base != "polyester" or reel.has("vinegar", "mould") or bool(reel.written_like)
        return sick or squeals or reel.name in self.told_barred

    def no_heat(self, reel: Reel) -> str | None:
        """Why the reel cannot be put into any chamber of the studio, or None."""
        if reel.base != "polyester":
            return f"base {reel.base} is not put into heat"
        if reel.has("vinegar", "mould"):
            return "vinegar or mould is not put into heat"
        if self.treatment(reel) is None:
            return "no treatment for its width"
        if not any(
            chamber.trays_taken.get(reel.width, NEVER) <= chamber.trays  # type: ignore[arg-type]
            for chamber in self.shelf.chambers.values()
        ):
            return "no tray for its width"
        return None

    def to_be_heard(self, reel: Reel) -> bool:
        """Whether the reel is barred for its unknown speed only, in a studio that auditions."""
        known = reel.width is not None and bool(reel.tracks)
        return (
            self.shelf.minutes["audition"] > 0
            and known
            and reel.setup[0] is None
            and not reel.heard
            and self.barred(reel) == "width, tracks or speed not known"
        )

    def out_of_score(self, reel: Reel) -> bool:
        """Barred by rule 3; a bar of the program's own stricter table counts as left over."""
        return self.barred(reel) is not None

    def sources(self) -> Iterator[Reel]:
        """All reels but the calibration reels."""
        return (reel for reel in self.shelf.reels.values() if not reel.calibration)

    # --- what the plan does with a reel -----------------------------------------------------------------

    def of(self, kind: str, reel: Reel | None = None) -> list[Item]:
        """The plan's items of a kind, in order of time."""
        chosen = [
            item for item in self.items if item.kind == kind and (reel is None or item.reel == reel.name)
        ]
        return sorted(chosen, key=lambda item: (item.start, item.end))

    def heats(self, reel: Reel) -> list[tuple[int, int, int]]:
        """Start, cool_until and playable_until of the reel's loads, in order of time."""
        treatment = self.treatment(reel)
        spans = []
        for load in self.loads:
            if reel.name in load.outs and treatment:
                out = load.outs[reel.name]
                spans.append(
                    (load.start, out + int(treatment.cool * 60), out + int(treatment.playable_days * 86400))
                )
        return sorted(spans)

    # --- lengths, rule 8 -------------------------------------------------------------------------------

    def rounded(self, minutes: Fraction) -> int:
        """Seconds of an item of so many minutes, rounded up to the grid."""
        grid = self.shelf.minutes["grid"]
        return int(units.whole(minutes / grid) * grid * 60)

    def play(self, reel: Reel, part: Part) -> Fraction:
        """Minutes of play of one part of the reel."""
        if part.play is not None:
            return part.play
        return reel.length / Fraction(part.setup[0] or 1) / 60

    def passes(self, reel: Reel) -> int:
        """How often the tape runs to get all its tracks through the inputs."""
        tracks, inputs, guide = reel.tracks or 1, self.shelf.inputs, self.shelf.guide_tracks
        if tracks <= inputs:
            return 1
        return units.whole(Fraction(tracks - guide, inputs - guide)) if inputs > guide else NEVER

    def cleaned(self, reel: Reel) -> bool:
        """Whether the deck has to be cleaned after the reel."""
        return self.sticky(reel) or bool(self.heats(reel))

    def transfer_seconds(self, reel: Reel, part: Part, deck: Deck) -> set[int]:
        """Allowed lengths of a transfer: one, or two where the slow wind's own conditions leave it open."""
        inches = reel.length if part.play is None else part.play * 60 * Fraction(part.setup[0] or 1)
        passes = self.passes(reel)
        winds = passes if reel.tails else passes - 1
        minutes = self.shelf.minutes
        fixed = (
            minutes["load"] + passes * self.play(reel, part) + (minutes["clean"] if self.cleaned(reel) else 0)
        )
        speeds = {deck.wind_ips}
        delicate = (
            self.cleaned(reel) or reel.splices_due or reel.thin or reel.base in ("acetate", "pvc", "paper")
        )
        unsure = reel.conditioned_at is not None or reel.base == "unknown"
        if deck.gentle_ips and (delicate or unsure):
            speeds = {deck.gentle_ips} if delicate else {deck.gentle_ips, deck.wind_ips}
        return {self.rounded(fixed + winds * inches / ips / 60) for ips in speeds}

    def verify_seconds(self, reel: Reel) -> set[int]:
        """Allowed lengths of a verify: one, or two where a reel's parts do not cover all of it."""
        plays = {self.play(reel, Part(reel.setup, None))} if reel.setup[0] is not None else set()
        if reel.parts[0].play is not None:
            plays.add(sum((part.play or Fraction(0) for part in reel.parts), Fraction(0)))
        minutes = self.shelf.minutes
        return {
            self.rounded(minutes["verify"] + minutes["listen_share"] * play)
            for play in plays or {Fraction(0)}
        }


def build(shelf: Shelf, plan: dict[str, Any], slack: Fraction | None = None) -> Case:
    """The case of *plan* against *shelf*; what cannot be read of it stands in `malformed`.

    *slack* stands in place of the studio's own share.
    """
    zone = shelf.zone
    case = Case(shelf, plan, hours.read_time(plan["from"], zone), hours.read_time(plan["until"], zone))
    case.slack = shelf.comfort.slack if slack is None else slack
    case.spans = hours.whole_windows(shelf.rows, zone, case.start, case.until, ENDLESS)
    for row in plan.get("left_over", []):
        if row.get("barred_by"):
            case.told_barred[row["reel"]] = row["barred_by"]
    _running_loads(case)
    for number, raw in enumerate(plan["items"]):
        try:
            _item(case, raw)
        except (KeyError, ValueError, TypeError, AttributeError) as error:
            case.malformed.append(f"item {number} ({raw.get('kind')}): {type(error).__name__} {error}")
    return case


def _aware(text: str) -> int:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError(f"time {text} has no offset")
    return hours.instant(moment, moment.tzinfo)  # type: ignore[arg-type]


def _item(case: Case, raw: dict[str, Any]) -> None:
    kind, start, end = raw["kind"], _aware(raw["start"]), _aware(raw["end"])
    if kind in BENCH_KINDS:
        reel, deck = raw.get("reel") or "", raw.get("deck") or ""
        if kind != "align" and reel not in case.shelf.reels:
            raise ValueError(f"reel {reel!r} is not on the shelf")
        if kind in ON_DECK and deck not in case.shelf.decks:
            raise ValueError(f"deck {deck!r} is not in the studio")
        case.items.append(Item(kind, start, end, "" if kind == "align" else reel, deck, raw))
    elif kind == "condition":
        _load(case, raw, start)
    else:
        raise ValueError(f"unknown kind {kind!r}")


def _load(case: Case, raw: dict[str, Any], start: int) -> None:
    chamber = case.shelf.chambers[raw["chamber"]]
    names = [row["reel"] for row in raw["reels"]]
    if not names or len(set(names)) < len(names):
        raise ValueError(f"a load of {names}")
    for place, load in enumerate(case.loads):
        if load.running and load.raw is None and (load.chamber.id, load.start) == (chamber.id, start):
            case.loads[place] = Load(chamber, start, load.outs, load.touches, True, raw)
            return
    case.loads.append(make_load(case, chamber, start, names, False, raw))


def make_load(
    case: Case, chamber: Chamber, start: int, names: list[str], running: bool, raw: dict[str, Any] | None
) -> Load:
    """The load with its take-outs and touches by rule 2."""
    outs = {}
    for name in names:
        treatment = case.treatment(case.shelf.reels[name])
        if treatment is None:
            raise ValueError(f"{name} has no treatment")
        outs[name] = start + int(treatment.minutes * 60)
        if running and case.must_not_be_warm(case.shelf.reels[name]):
            outs[name] = case.start
    last, step, touch = max(outs.values()), int(chamber.turn_every * 60), int(chamber.touch_minutes * 60)
    moments = {start: "load"}
    moments |= {turn: "turn" for turn in range(start + step, last, step)} if step else {}
    moments |= {out: "take out" for out in outs.values()}
    touches = tuple((do, moment, moment + touch) for moment, do in sorted(moments.items()))
    return Load(chamber, start, outs, touches, running, raw)


def _running_loads(case: Case) -> None:
    """Loads under way at `from`, by the reels' chamber and loading time."""
    groups: dict[tuple[str, int], list[str]] = {}
    for reel in case.shelf.reels.values():
        if reel.chamber not in case.shelf.chambers or case.treatment(reel) is None:
            continue
        if reel.loaded_at is not None and reel.loaded_at <= case.start:
            groups.setdefault((reel.chamber, reel.loaded_at), []).append(reel.name)
    for (chamber, start), names in groups.items():
        load = make_load(case, case.shelf.chambers[chamber], start, names, True, None)
        if load.touches[-1][2] > case.start or load.end >= case.start:
            case.loads.append(load)
