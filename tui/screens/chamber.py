"""The chamber: the load that runs, or one past, with its temperatures, turns, weights and hours."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.conditioning.degrees import Degrees, degrees_of
from core.conditioning.kept_loads import loads_of
from core.conditioning.load_state import LoadState, load_state, newest_load
from core.shelf import Shelf
from tui.board.rows import ChartRow
from tui.keys import bindings
from tui.screens.reel_acts import ReelActs
from tui.text.chamber import Row, care_rows, load_lines, title, trial_words
from tui.widgets.chamber_list import ChamberList


class ChamberPlace(ReelActs):
    """What the chamber's place shows; what can be done there is added by the screen built on it."""

    PLACES: ClassVar[tuple[str, ...]] = ("chamber", "list")
    BINDINGS: ClassVar[list[BindingType]] = bindings("chamber")

    def __init__(self) -> None:
        super().__init__()
        self.chosen = ""  # a load that was chosen; else the one that runs, or the newest
        self._shown = ""

    def body(self) -> Iterable[Widget]:
        """The load in lines."""
        yield ChamberList()

    @property
    def shelf(self) -> Shelf:
        """The shelf as it is."""
        return self.home.shelf

    @property
    def degrees(self) -> Degrees:
        """The unit that the owner chose."""
        return degrees_of(self.shelf)

    @property
    def keys(self) -> list[str]:
        """Every load, oldest first."""
        return list(loads_of(self.shelf))

    @property
    def state(self) -> LoadState | None:
        """The load that is shown, as it stands now; None on a shelf without any."""
        key = self.chosen if self.chosen in self.keys else newest_load(self.shelf)
        return load_state(self.shelf, key, self.home.now()) if key else None

    @property
    def chamber(self) -> str:
        """The chamber that is shown; the studio's first where nothing was ever loaded."""
        state, chambers = self.state, self.shelf.studio.chambers
        return state.log.chamber if state is not None else chambers[0].id if chambers else ""

    @property
    def reel(self) -> str:
        """The reel under the cursor, else the only one of the load."""
        here = self.query_one(ChamberList).reel if self.is_laid_out else ""
        state = self.state
        alone = state.members[0].member.reel if state is not None and len(state.members) == 1 else ""
        return here or alone

    @property
    def row(self) -> ChartRow | None:
        """The chart's row of that reel."""
        return self.home.board.row(self.reel) if self.reel in self.shelf.reels else None

    def heading(self) -> str:
        """Which chamber; the load is told in the first line."""
        return f"Chamber {self.chamber}".rstrip()

    def laid(self) -> None:
        """Draws the load anew; another one from its top."""
        state = self.state
        rows = (
            tuple(load_lines(self.shelf, state, self.home.now(), self.degrees))
            if state is not None
            else tuple(self._empty())
        )
        shown = state.key if state is not None else ""
        self.query_one(ChamberList).show(rows, first=shown != self._shown)
        self._shown = shown

    def _empty(self) -> Iterable[Row]:
        if not self.chamber:
            yield "word", "The studio's file names no chamber: nothing can be warmed here.", ""
            return
        yield "head", f"Chamber {self.chamber}: no load yet", ""
        yield "bad", trial_words(self.shelf, self.chamber), ""
        yield "word", "E begins the empty run, L puts reels in.", ""
        yield "head", "Take care", ""
        yield from care_rows()

    def alter(self, act: Callable[[Shelf], Shelf], what: str, said: str, at: datetime | None = None) -> bool:
        """One change of the shelf, to be taken back as one; True if it was made."""
        moment = at or self.home.now()
        done = self.home.do(
            lambda: self.home.book.change(act, what=what, at=moment), f"{said}. U takes it back"
        )
        return done is not None

    def action_other(self, step: int) -> None:
        """The load before or after."""
        keys, state = self.keys, self.state
        if state is None:
            return
        at = keys.index(state.key) + step
        if not 0 <= at < len(keys):
            self.say("that is the newest load" if step > 0 else "that is the oldest load")
            return
        self._choose(keys[at])

    def action_choose_load(self) -> None:
        """Asks which load, newest first."""
        from tui.screens.choosing import AskChoice

        now = self.home.now()
        choices = [(key, title(load_state(self.shelf, key, now))) for key in reversed(self.keys)]
        here = self.state.key if self.state is not None else ""
        if choices:
            self.app.push_screen(AskChoice("Which load?", choices, here), self._choose)

    def _choose(self, key: str | None) -> None:
        if key:
            self.chosen = key
            self.laid()
            self.refresh_head()
            self.refresh_foot()


class ChamberScreen(ChamberPlace):
    """One short question for each thing that is done at a chamber; every one can be taken back."""

    def reason_not(self, action: str) -> str | None:
        """Why that cannot be done with the load that is shown."""
        state = self.state
        name = action.partition("(")[0]
        if name in ("empty_run", "load") and not self.shelf.studio.chambers:
            return "the studio's file names no chamber"
        if name in ("touched", "read", "weigh", "broken_off", "go_on", "take_out", "choose_load", "other"):
            if state is None:
                return "nothing was loaded yet"
            why = self._not_of(name, state)
            if why:
                return why
        if name in ("weigh", "take_out", "ran", "card", "why") and not self.reel:
            return "move the cursor to a reel first"
        return super().reason_not(action)

    def _not_of(self, name: str, state: LoadState) -> str | None:
        if name in ("touched", "broken_off", "take_out") and state.state != "runs":
            return f"this load is not running: {state.state}"
        if name == "read" and state.state == "over":
            return "this load is over"
        if name == "weigh" and state.state == "empty run":
            return "an empty run has no reels"
        if name == "go_on" and not state.may_go_on:
            return "only a load broken off less than an hour ago goes on; then it has cooled"
        return None

    def action_touched(self) -> None:
        """The next turn or take-out was done at this moment."""
        from tui.board.chamber import next_touches
        from tui.screens.asking import AskYes
        from tui.screens.chamber_acts import early_words

        touch = next((one for one in next_touches(self.shelf) if one.chamber == self.chamber), None)
        if touch is None:
            self.say("nothing is due in this chamber", bad=True)
            return
        early = early_words(touch, self.home.now())
        if not early:
            self._touched(touch)
            return
        self.app.push_screen(
            AskYes(f"{touch.do.capitalize()} {touch.chamber} already?", early),
            lambda yes: self._touched(touch) if yes else None,
        )

    def _touched(self, touch: object) -> None:
        from core.evening.steps import finish_step
        from tui.board.chamber import NextTouch

        if isinstance(touch, NextTouch):
            now, step = self.home.now(), touch.step()
            what = f"{touch.do} chamber {touch.chamber}"
            self.alter(lambda s: finish_step(s, step, now), what, f"{what}: logged at {now:%H:%M}")

    def action_read(self) -> None:
        """Asks for a thermometer's reading."""
        from core.conditioning.on_shelf import log_reading
        from tui.screens.chamber_acts import ask_reading

        state, now = self.state, self.home.now()
        if state is None:
            return

        def answered(told: tuple[float, str]) -> None:
            celsius, place = told
            said = f"{self.degrees.text(celsius)}{f' at {place}' if place else ''} at {now:%H:%M}"
            self.alter(
                lambda s: log_reading(s, state.key, now, celsius, place),
                f"temperature {state.log.chamber}",
                said,
            )

        ask_reading(self, state, answered)

    def action_weigh(self) -> None:
        """Asks for the weight of the reel under the cursor: before its take-out, or after it."""
        from core.conditioning.on_shelf import log_weights
        from tui.screens.chamber_acts import ask_weight

        state, reel = self.state, self.reel
        member = state.member(reel) if state is not None else None
        if state is None or member is None:
            return
        after = member.out is not None or state.state != "runs"

        def answered(grams: float) -> None:
            told = {"after_g" if after else "before_g": grams}
            said = f"{reel} weighs {grams:g} g {'after' if after else 'before'}"
            self.alter(lambda s: log_weights(s, state.key, reel, **told), f"weight of {reel}", said)

        ask_weight(self, reel, after, answered)

    def action_take_out(self) -> None:
        """Takes the reel under the cursor out now, also before its hours are up."""
        from tui.screens.asking import AskYes

        state, reel = self.state, self.reel
        member = state.member(reel) if state is not None else None
        if member is None or member.out is not None:
            self.say(f"{reel} is out already", bad=True)
            return
        short = member.wanted is not None and member.had < member.wanted
        words = "It has not had its hours yet: it may still be sticky. " if short else ""
        words += "It counts as conditioned from now; let it cool before it is played."
        question = AskYes(f"Take {reel} out?", words)
        self.app.push_screen(question, lambda yes: self.mark_reel(reel, "conditioned") if yes else None)

    def action_broken_off(self) -> None:
        """Asks why the load was broken off, and says what is next for each reel."""
        from core.evening.load_broken import break_off
        from tui.screens.asking import AskText

        state = self.state
        if state is None:
            return
        words = (
            "The warmth is off, by a power cut or since nobody can stay. Leave the reels where they are, "
            "unplug, and touch nothing that is wet or damaged. Say why; it is kept."
        )

        def answered(why: str | None) -> None:
            if why:
                now = self.home.now()
                what = f"load of {state.log.chamber} broken off"
                if self.alter(lambda s: break_off(s, state.key, now, why), what, what):
                    self._choose(state.key)

        question = AskText("Load broken off?", words, draft=f"broken {state.key}", hint="because ...")
        self.app.push_screen(question, answered)

    def action_go_on(self) -> None:
        """The warmth is on again: the hours count on."""
        from core.evening.load_broken import go_on

        state, now = self.state, self.home.now()
        if state is not None:
            what = f"load of {state.log.chamber} goes on"
            self.alter(lambda s: go_on(s, state.key, now), what, what)

    def action_empty_run(self) -> None:
        """Asks for the set point and begins an empty run."""
        from core.conditioning.on_shelf import log_trial
        from tui.screens.chamber_acts import ask_empty_run

        chamber, now = self.chamber, self.home.now()

        def answered(celsius: float) -> None:
            what = f"empty run of {chamber}"
            if self.alter(lambda s: log_trial(s, chamber, now, celsius), what, f"{what} has begun"):
                self._choose(self.keys[-1])

        ask_empty_run(self, chamber, answered)

    def action_load(self) -> None:
        """Asks which reels go in."""
        from tui.screens.loading import AskLoad

        self.chosen = ""
        self.app.push_screen(AskLoad(""))

    def action_card(self) -> None:
        """The card of the reel under the cursor."""
        from tui.screens.reel_card import ReelCard

        if self.reel in self.shelf.reels:
            self.app.push_screen(ReelCard(self.reel))

    def action_worked(self) -> None:
        """Which programme worked on which stock of this shelf."""
        from core.conditioning.on_shelf import worked
        from tui.screens.text_page import TextPage
        from tui.text.sourced import worked_words

        def told() -> list[tuple[str, str]]:
            head, *rows = worked_words(worked(self.shelf)).split("\n")
            return [("head", head), *(("word", row) for row in rows)]

        self.app.push_screen(TextPage("What worked", told))
