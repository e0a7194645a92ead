"""What can be done at the chamber: one short question for each act, every one of them taken back by U."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from core.conditioning.alarms import reads_too_hot
from core.conditioning.load_state import LoadState
from tui.frame.acts.held import Acts
from tui.places.chamber.on_chamber import OnChamber

if TYPE_CHECKING:
    from core.shelf import Shelf
    from tui.board.chamber import NextTouch


class ChamberActs(Acts[OnChamber]):
    """One short question for each thing that is done at a chamber; every one can be taken back."""

    def reason_not(self, action: str) -> str | None:
        """Why that cannot be done with the load that is shown."""
        state = self.here.state
        name = action.partition("(")[0]
        if name in ("empty_run", "load") and not self.here.shelf.studio.chambers:
            return "the studio's file names no chamber"
        if name in ("touched", "read", "weigh", "broken_off", "go_on", "take_out", "choose_load", "other"):
            if state is None:
                return "nothing was loaded yet"
            why = self._not_of(name, state)
            if why:
                return why
        if name in ("weigh", "take_out", "ran", "card", "why") and not self.here.reel:
            return "move the cursor to a reel first"
        return super().reason_not(action)

    def _not_of(self, name: str, state: LoadState) -> str | None:
        lies = name == "take_out" and state.state == "broken off"
        if name in ("touched", "broken_off", "take_out") and state.state != "runs" and not lies:
            return f"this load is not running: {state.state}"
        if name == "read" and state.state == "over":
            return "this load is over"
        if name == "weigh" and state.state == "empty run":
            return "an empty run has no reels"
        if name == "go_on" and not state.may_go_on:
            hot = reads_too_hot(self.here.shelf, state.log) if state.state == "broken off" else ""
            usual = "only a load broken off less than an hour ago goes on; then it has cooled"
            return f"{hot}: it goes on when it reads less" if hot else usual
        return None

    def action_touched(self) -> None:
        """The next turn or take-out was done at this moment."""
        from tui.asking.asking import AskYes
        from tui.board.chamber import next_touches
        from tui.places.chamber.asked import early_words

        touch = next(
            (
                one
                for one in next_touches(self.here.shelf, self.home.now())
                if one.chamber == self.here.chamber
            ),
            None,
        )
        if touch is None:
            self.here.say("nothing is due in this chamber", bad=True)
            return
        early = early_words(touch, self.home.now())
        if not early:
            self._touched(touch, self.home.now())
            return
        self.home.push_screen(
            AskYes(f"{touch.do.capitalize()} {touch.chamber} already?", early),
            lambda yes: self._touched(touch, self.home.now()) if yes else None,
        )

    def _told(self, touch: NextTouch, at: datetime) -> None:
        """What is told of a moment that comes much too early is asked about, as at the key itself."""
        from tui.asking.asking import AskYes
        from tui.places.chamber.asked import early_words

        early = early_words(touch, at)
        if not early:
            self._touched(touch, at)
            return
        question = AskYes(f"{touch.do.capitalize()} {touch.chamber} at {at:%H:%M}?", early)
        self.home.push_screen(question, lambda yes: self._touched(touch, at) if yes else None)

    def _touched(self, touch: NextTouch, at: datetime) -> None:
        from core.evening.tonight.steps import finish_step

        step, what = replace(touch.step(at), started=at), f"{touch.do} chamber {touch.chamber}"
        self.here.alter(lambda s: finish_step(s, step, at), what, f"{what}: logged at {at:%H:%M}")

    def action_at_a_time(self) -> None:
        """What happened here at another time than now: what it was, then when."""
        from tui.asking.choosing import AskChoice

        acts = self._happened()
        question = AskChoice("What happened, and was not told?", [(name, name) for name in acts])
        self.home.push_screen(question, lambda name: acts[name]() if name else None)

    def _happened(self) -> dict[str, Callable[[], None]]:
        """What can be told of the load that is shown with a time of its own."""
        from tui.asking.when import ask_last_time
        from tui.board.chamber import missed_turns, next_touches

        state, home = self.here.state, self.home
        acts: dict[str, tuple[str, Callable[[datetime], None]]] = {}
        touch = next(
            (
                one
                for one in next_touches(self.here.shelf, self.home.now())
                if one.chamber == self.here.chamber
            ),
            None,
        )
        for missed in missed_turns(self.here.shelf, self.home.now()):
            if missed.chamber == self.here.chamber:
                draft = f"turn {self.here.chamber} {missed.due:%H:%M}"
                acts[f"the turn of {missed.due:%H:%M} was done"] = (draft, partial(self._told, missed))
        if touch is not None:
            acts[f"the {touch.do} was done"] = (f"{touch.do} {self.here.chamber}", partial(self._told, touch))
        if state is not None and state.state == "runs":
            member = state.member(self.here.reel) if self.here.reel else None
            if member is not None and member.out is None:
                acts[f"{self.here.reel} came out"] = (
                    f"out {self.here.reel}",
                    partial(self._take_out, state, self.here.reel),
                )
            acts["the load was broken off: the power failed, or nobody could stay"] = (
                f"off {state.key}",
                partial(self._ask_why, state),
            )
            acts["the load began at another time"] = (f"began {state.key}", partial(self._began, state))
        if state is not None and state.may_go_on:
            acts["the load goes on, still warm"] = (f"on {state.key}", partial(self._goes_on, state))
        acts["reels went in"] = ("load", self._load_at)
        return {
            name: partial(ask_last_time, home, f"{name[0].upper()}{name[1:]}: when?", draft, then)
            for name, (draft, then) in acts.items()
        }

    def _began(self, state: LoadState, at: datetime) -> None:
        from core.evening.warming.load_began import began

        what = f"load of {state.log.chamber} began {at:%H:%M}"
        if self.here.alter(lambda s: began(s, state.key, at, self.home.now()), what, what):
            self.here.choose(state.key)

    def _load_at(self, at: datetime) -> None:
        from tui.places.chamber.loading import AskLoad

        self.here.chosen = ""
        self.home.push_screen(AskLoad("", at))

    def action_read(self) -> None:
        """Asks for a thermometer's reading."""
        from core.conditioning.on_shelf import log_reading
        from tui.places.chamber.asked import ask_reading

        state, now = self.here.state, self.home.now()
        if state is None:
            return

        def answered(told: tuple[float, str]) -> None:
            celsius, place = told
            said = f"{self.here.degrees.text(celsius)}{f' at {place}' if place else ''} at {now:%H:%M}"
            self.here.alter(
                lambda s: log_reading(s, state.key, now, celsius, place),
                f"temperature {state.log.chamber}",
                said,
            )

        ask_reading(self.here, state, answered)

    def action_weigh(self) -> None:
        """Asks for the weight of the reel under the cursor: before its take-out, or after it."""
        from core.conditioning.on_shelf import log_weights
        from tui.places.chamber.asked import ask_weight

        state, reel = self.here.state, self.here.reel
        member = state.member(reel) if state is not None else None
        if state is None or member is None:
            return
        after = member.out is not None or state.state != "runs"

        def answered(grams: float) -> None:
            told = {"after_g" if after else "before_g": grams}
            said = f"{reel} weighs {grams:g} g {'after' if after else 'before'}"
            self.here.alter(lambda s: log_weights(s, state.key, reel, **told), f"weight of {reel}", said)

        ask_weight(self.here, reel, after=after, answered=answered)

    def action_take_out(self) -> None:
        """Takes the reel under the cursor out now, also before its hours are up."""
        if self.here.state is not None:
            self._take_out(self.here.state, self.here.reel, None)

    def _take_out(self, state: LoadState, reel: str, at: datetime | None) -> None:
        from core.evening.warming.take_out import not_before_it_went_in, take_out, untreated
        from tui.asking.asking import AskYes

        member = state.member(reel)
        if member is None or member.out is not None:
            self.here.say(f"{reel} is out already", bad=True)
            return
        short = untreated(self.here.shelf, self.here.shelf.reel(reel), at or self.home.now())
        since = "now" if at is None else f"{at:%H:%M}"
        words = f"It counts as conditioned from {since}; let it cool before it is played."
        if short is not None:
            words = f"{short[0].upper()}{short[1:]}. It does not count as treated; its hours stay in the log."
        if state.state == "broken off":
            words = "It lies there since the load was broken off. Its hours stay in the log."
        what = f"take {reel} out" + (f" at {at:%H:%M}" if at is not None else "")

        def out(shelf: Shelf) -> Shelf:
            if at is not None:
                not_before_it_went_in(shelf, [reel], at)
            return take_out(shelf, reel, at or self.home.now())

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                self.here.alter(out, what, what)

        self.home.push_screen(AskYes(f"Take {reel} out?", words), answered)

    def action_broken_off(self) -> None:
        """Asks why the load was broken off, and says what is next for each reel."""
        if self.here.state is not None:
            self._ask_why(self.here.state, None)

    def _ask_why(self, state: LoadState, at: datetime | None) -> None:
        from core.evening.warming.load_broken import break_off
        from tui.asking.asking import AskText

        words = (
            "The warmth is off, by a power cut or since nobody can stay. Leave the reels where they are, "
            "unplug, and touch nothing that is wet or damaged. Say why; it is kept."
        )

        def answered(why: str | None) -> None:
            if why:
                what = f"load of {state.log.chamber} broken off" + (f" at {at:%H:%M}" if at else "")
                if self.here.alter(lambda s: break_off(s, state.key, at or self.home.now(), why), what, what):
                    self.here.choose(state.key)

        question = AskText("Load broken off?", words, draft=f"broken {state.key}", hint="because ...")
        self.home.push_screen(question, answered)

    def action_go_on(self) -> None:
        """The warmth is on again: the hours count on."""
        if self.here.state is not None:
            self._goes_on(self.here.state, self.home.now())

    def _goes_on(self, state: LoadState, at: datetime) -> None:
        from core.evening.warming.load_broken import on_without, told_of_going_on
        from tui.places.chamber.asked import ask_out_first

        what, chamber = f"load of {state.log.chamber} goes on since {at:%H:%M}", state.log.chamber

        def goes_on(out: tuple[str, ...]) -> None:
            told = self.home.do(lambda: told_of_going_on(self.home.shelf, state.key, at))
            if told is not None:
                self.here.alter(lambda s: on_without(s, state.key, out, at), what, ". ".join((what, *told)))

        ask_out_first(self.here, state.key, chamber, at, goes_on)

    def action_empty_run(self) -> None:
        """Asks for the set point and begins an empty run, where one may begin."""
        from core.conditioning.on_shelf import log_trial, no_empty_run
        from tui.places.chamber.asked import ask_empty_run

        chamber, now = self.here.chamber, self.home.now()
        why = no_empty_run(self.here.shelf, chamber, now)
        if why:
            self.here.say(self.home.by_keys(why), bad=True)
            return

        def answered(celsius: float) -> None:
            what = f"empty run of {chamber}"
            if self.here.alter(lambda s: log_trial(s, chamber, now, celsius), what, f"{what} has begun"):
                self.here.choose(self.here.keys[-1])

        ask_empty_run(self.here, chamber, answered)

    def action_load(self) -> None:
        """Asks which reels go in."""
        from tui.places.chamber.loading import AskLoad

        self.here.chosen = ""
        self.home.push_screen(AskLoad(""))

    def action_card(self) -> None:
        """The card of the reel under the cursor."""
        if self.here.reel in self.here.shelf.reels:
            self.home.open_door("reel", self.here.reel)

    def action_worked(self) -> None:
        """Which programme worked on which stock of this shelf."""
        from core.conditioning.on_shelf import worked
        from tui.frame.text_page import TextPage
        from tui.text.sourced import worked_words

        def told() -> list[tuple[str, str]]:
            head, *rows = worked_words(worked(self.here.shelf)).split("\n")
            return [("head", head), *(("word", row) for row in rows)]

        self.home.push_screen(TextPage("What worked", told))
