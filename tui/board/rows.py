"""The rows of the stage chart: made from the shelf when they are asked for, and kept while they hold true."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from functools import cached_property
from operator import attrgetter
from typing import TYPE_CHECKING

from core.conditioning.advisor import barred
from core.conditioning.spreading.shared_air import look_in_short
from core.evening.around.song_dates import song_dates
from core.evening.playing.passes import TapePass, running_pass
from core.evening.tonight.planned_step import waits_still
from core.quantities import Quantity
from core.reels.estimate import deck_for
from core.reels.minutes import transfer_minutes
from core.reels.needs import needs_conditioning, playable_until, stays_closed, sticky
from core.reels.reel import STAGES, Reel, Stage
from core.shelf import RecordKind, Shelf
from core.songs.when import SongDate
from core.standing.gates import deck_on_setup, stage_now
from core.standing.of_plan.still import left_of_plan
from core.studio.studio import Deck
from core.values import dataclass
from tui.board.events import reel_events
from tui.board.next_step import Step, next_step, playing, warmed_before

if TYPE_CHECKING:
    from core.plan import Item, Plan

_TELL_MINUTES = attrgetter(  # the fields on which a reel's deck time rests; a thousand reels have few kinds
    "width", "tracks", "speed", "eq", "level", "noise_reduction", "stock", "base", "thickness", "reel_size",
    "length", "pack_diameter", "hub_diameter", "wind", "splices", "condition", "conditioned_at",
)  # fmt: skip
#: The heads of the six stage columns.
LETTERS = tuple(stage[0] for stage in STAGES)


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One line of the chart. ``states`` names a sign for each stage; ``minutes`` is deck time still ahead."""

    reel: Reel
    stage: Stage
    states: tuple[str, ...]
    step: Step
    minutes: int | None
    blocked: str | None
    playable_until: datetime | None
    songs: tuple[str, ...]
    planned: Item | None
    struck: Item | None = None
    """The next step of the plan that must not be done with it any more."""

    @property
    def key(self) -> str:
        """The reel's key."""
        return self.reel.key

    @property
    def says(self) -> str:
        """What the box says, else what is on the tape as far as anyone knows."""
        return self.reel.box_label or self.reel.contents or "(nothing)"


class Board:
    """The chart of one shelf at one moment. Rows of an older board are taken over where nothing changed."""

    def __init__(
        self, shelf: Shelf, at: datetime, plan: Plan | None = None, older: Board | None = None
    ) -> None:
        self.shelf, self.at, self.plan = shelf, at, plan
        self._rows: dict[str, ChartRow] = {}
        self._stages: dict[str, Stage] = {}
        self._minutes: dict[str, int | None] = {}
        self._minutes_of: dict[object, int | None] = {}
        self._own = shelf.own_stocks()
        self._decks: dict[object, tuple[str | None, Deck | None]] = {}
        if older is not None and self._same_ground(older):
            reels, before = shelf.reels, older.shelf.reels
            ahead = self._ahead[0]
            self._rows = {
                k: row
                for k, row in older._rows.items()
                if _as_it_was(reels.get(k), row.reel) and row.planned is ahead.get(k)
            }
            same = [k for k in older._minutes if k in reels and _as_it_was(before.get(k), reels[k])]
            self._minutes = {k: older._minutes[k] for k in same}
            self._stages = {k: older._stages[k] for k in same if k in older._stages}

    def holds(self, shelf: Shelf, now: datetime, plan: Plan | None) -> bool:
        """True while neither shelf nor plan changed and the minute is the same."""
        return self.shelf is shelf and self.plan is plan and self._same_minute(now)

    def _same_minute(self, moment: datetime) -> bool:
        return self.at.replace(second=0, microsecond=0) == moment.replace(second=0, microsecond=0)

    def _same_ground(self, older: Board) -> bool:
        """True where all that a row depends on beside its own reel is as it was."""
        mine, theirs = self.shelf, older.shelf
        kinds: tuple[RecordKind, ...] = ("deck", "stock", "check", "load", "look", "pass")
        return (
            self.plan is older.plan
            and self._same_minute(older.at)
            and (mine.studio is theirs.studio or mine.studio == theirs.studio)
            and (mine.songs is theirs.songs or mine.songs == theirs.songs)
            and all(mine.of_kind(kind) == theirs.of_kind(kind) for kind in kinds)
        )

    def row(self, key: str) -> ChartRow:
        """The row of that reel."""
        found = self._rows.get(key)
        if found is None:
            found = self._rows[key] = self._made(self.shelf.reels[key])
        return found

    def rows(self, keys: Iterable[str] | None = None) -> tuple[ChartRow, ...]:
        """The rows of these reels, or of all, in the shelf's order."""
        return tuple(self.row(key) for key in (self.shelf.reels if keys is None else keys))

    @cached_property
    def songs_of(self) -> dict[str, tuple[str, ...]]:
        """By reel, the songs that need it."""
        out: dict[str, list[str]] = {}
        for song in self.shelf.songs.values():
            for need in song.needs:
                names = out.setdefault(need.reel, [])
                if song.key not in names:
                    names.append(song.key)
        return {reel: tuple(songs) for reel, songs in out.items()}

    @cached_property
    def song_dates(self) -> dict[str, SongDate]:
        """By key, every song's state and its dates by the kept plan."""
        return song_dates(self.shelf, self.plan, self.at)

    @cached_property
    def _tape(self) -> TapePass | None:
        return running_pass(self.shelf, self.at)

    @cached_property
    def _ahead(self) -> tuple[dict[str, Item], dict[str, Item]]:
        """By reel, the first item of the plan that is ahead or waits still; the first that is struck out."""
        planned: dict[str, Item] = {}
        gone: dict[str, Item] = {}
        left, out = left_of_plan(self.shelf, self.plan, self.at) if self.plan is not None else (None, ())
        for item in left.items if left is not None else ():
            if item.end > self.at or waits_still(self.shelf, item, self.at):
                for reel in item.reels:
                    planned.setdefault(reel, item)
        for one in out:
            if one.item.end > self.at:
                gone.setdefault(one.reel, one.item)
        return planned, gone

    @cached_property
    def _reached(self) -> dict[tuple[str, str], datetime]:
        return {(event.key, event.new): event.at for event in reel_events(self.shelf, "stage")}

    def reached(self, key: str, stage: Stage) -> datetime | None:
        """When the reel last came to that stage, as far as its history tells."""
        return self._reached.get((key, stage))

    def decks(self, reel: Reel) -> tuple[str | None, Deck | None]:
        """The deck that stands on the reel's set-up now, and the deck that plays it."""
        asked = (reel.width and reel.width.number, reel.tracks, reel.setup.key)
        if asked not in self._decks:
            self._decks[asked] = (deck_on_setup(self.shelf, reel, self.at), deck_for(reel, self.shelf.studio))
        return self._decks[asked]

    def _made(self, reel: Reel) -> ChartRow:
        shelf, studio, at = self.shelf, self.shelf.studio, self.at
        stage = self.stage(reel)
        why = barred(shelf, reel, at)
        tape = self._tape if self._tape is not None and self._tape.reel == reel.key else None
        planned = self._ahead[0].get(reel.key)
        step = playing(shelf, tape, at) if tape else next_step(shelf, reel, stage, at, self.decks)
        step = step if tape else warmed_before(shelf, reel, step, planned)
        return ChartRow(
            reel=reel,
            stage=stage,
            states=self._states(reel, stage, step, why),
            step=step,
            minutes=self.minutes(reel),
            blocked=self._blocked(reel, step, why),
            playable_until=playable_until(reel, studio) if sticky(reel, self._own) else None,
            songs=self.songs_of.get(reel.key, ()),
            planned=planned,
            struck=self._ahead[1].get(reel.key),
        )

    def _blocked(self, reel: Reel, step: Step, why: str | None) -> str | None:
        """What it waits for, with why nothing may be planned with it; what is to be looked at comes first."""
        if why is None or why in step.waits:
            return step.waits or None
        look = look_in_short(self.shelf, reel.key) if step.waits else ""
        return f"{look}; {why}" if look else why

    def stage(self, reel: Reel) -> Stage:
        """The stage that it stands at now."""
        if reel.key not in self._stages:
            self._stages[reel.key] = stage_now(self.shelf, reel, self.at)
        return self._stages[reel.key]

    def minutes(self, reel: Reel) -> int | None:
        """Deck time still ahead of it: nothing once its sound is captured."""
        if reel.key not in self._minutes:
            self._minutes[reel.key] = self._machine_minutes(reel)
        return self._minutes[reel.key]

    def _machine_minutes(self, reel: Reel) -> int | None:
        if reel.calibration or reel.past("transferred"):
            return None
        asked = tuple([v.text if v.__class__ is Quantity else v for v in _TELL_MINUTES(reel)])
        if asked not in self._minutes_of:
            _, deck = self.decks(reel)
            try:
                minutes = transfer_minutes(reel, deck, self.shelf.studio, own=self._own) if deck else None
            except ValueError:
                minutes = None
            self._minutes_of[asked] = minutes
        return self._minutes_of[asked]

    def _states(self, reel: Reel, stage: Stage, step: Step, why: str | None) -> tuple[str, ...]:
        reached = STAGES.index(stage)
        out = ["done" if i <= reached else "not_yet" for i in range(len(STAGES))]
        warm = needs_conditioning(reel, self.shelf.studio, self.at, self._own)
        if reel.conditioned_at is None and (not warm or reached > STAGES.index("conditioned")):
            out[2] = "not_needed" if reached >= 1 or reached > 2 else "not_yet"
        elif warm and reached < STAGES.index("transferred"):
            out[2] = "not_yet"
        if reel.chamber:
            out[2] = "under_way"
        if step.stage == "transferred":  # a deck stands on its set-up
            out[3] = "done"
        if reel.calibration:
            out[3:] = ["not_needed"] * 3
        first = next((i for i, state in enumerate(out) if state == "not_yet"), None)
        if first is None or stage == "verified":
            return tuple(out)
        aside = bool(reel.set_aside) and reached < STAGES.index("transferred")
        if aside or (why is not None and (first > 1 or stays_closed(reel))):
            out[first] = "barred"
        elif step.possible and step.stage == STAGES[first]:
            out[first] = "under_way" if step.runs else "next"
        return tuple(out)


def _as_it_was(before: Reel | None, now: Reel) -> bool:
    """True if nothing of it changed; most are one and the same value, which need not be compared."""
    return before is now or before == now
