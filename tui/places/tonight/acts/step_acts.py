"""The step under the cursor: started, gone on with, over, by one key or at a time that is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from functools import partial

from core.conditioning.spreading.shared_air import to_be_looked_at
from core.conditioning.warmth_in_doubt import warmth_in_doubt
from core.errors import Refused
from core.evening.playing.when import When
from core.evening.tonight.hours_asked import outside_hours
from core.evening.tonight.sheet import PLAYS, WIND, Step
from core.evening.tonight.steps import (
    finish_step,
    looks_first,
    runs_still,
    tape_of,
    to_try,
    words,
)
from core.evening.tonight.transfer import gate, next_act, open_pass, press
from core.lineup.on_shelf import still_off
from core.standing.gates import look_tells, not_inspected
from tui.frame.acts.held import Acts
from tui.keys.keys import called
from tui.places.tonight.acts.deck_free import ask_path, ask_reels, holds_it_up
from tui.places.tonight.acts.goes_on import ask_stopped
from tui.places.tonight.acts.mishaps import MishapActs
from tui.places.tonight.acts.pass_over import PassOver, open_tape
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.acts.which_way import ask_which_way
from tui.places.tonight.advice import before, room_for_captures
from tui.places.tonight.evening import Evening
from tui.places.tonight.wrong_key import ask_all_the_same, ask_over, ask_too_soon

SAYS = {
    "start": "started",
    "start pass": "next pass runs",
    "go on": "goes on",
    "end pass": "pass is over",
    "finish": "done",
}
_ON_A_STEP = ("go", "go_at", "skip", "again", "card", "words", "capture")


class StepActs(Acts[Evening]):
    """Starts or finishes the step under the cursor, and asks before what there is to ask."""

    def __init__(self, here: Evening, mishaps: MishapActs, over: PassOver, replans: ReplanActs) -> None:
        super().__init__(here)
        self.mishaps, self.over, self.replans = mishaps, over, replans
        self._calendar_asked: date | None = None
        self._asked: set[tuple[date, str, str]] = set()  # asked about, by evening

    def action_go(self) -> None:
        """Starts or finishes the step under the cursor; a transfer's passes count up before it is done."""
        if self.here.step is not None:
            self._go(self.here.step, self.home.now())

    def begins(self, step: Step) -> None:
        """A tape that stood overnight begins as any other: deck, hours and touches are looked at."""
        self._go(step, self.home.now())

    def action_go_at(self) -> None:
        """The same at a time, or for a tape that ends at a place, that the person tells."""
        from tui.asking.when import ask_when

        step = self.here.step
        if step is None:
            return
        try:
            what = next_act(self.home.shelf, step, self.home.now())
        except Refused as error:
            self.here.say(str(error), bad=True)
            return
        ends = what in ("end pass", "finish") and step.kind == "transfer"
        tape = open_tape(self.home.shelf, step.subject) if ends else None
        doing = {"start": "began", "start pass": "the tape began", "go on": "the tape went on"}
        happened = "was done" if step.kind in ("turn", "take out") else doing.get(what, "ended")
        ask_when(
            self.home,
            f"{words(step)}: when was it that it {happened}?" if not step.touch else f"{words(step)}: when?",
            step.key,
            tape,
            lambda when: self._go(step, when.moment, when),
        )

    def _go(self, step: Step, at: datetime, told: When | None = None) -> None:
        """What the one key does to that step at that moment; ``told`` where the person told it."""
        try:
            what = next_act(self.home.shelf, step, at)
        except Refused as error:
            again = called("tonight.again", self.home.own_keys)
            self.here.say(f"{error}: {again} does it once more", bad=True)
            return
        place = told.place if told is not None and told.told_by == "tape" else None
        holds = holds_it_up(self.home, step, at) if what in ("start", "start pass", "go on") else ""
        if holds:  # before anything is asked of what cannot begin
            self.here.say(holds, bad=True)
        elif what == "start" and told is not None and step.kind in PLAYS:  # it plays: asked as by the one key
            self._in_hours(step, at, lambda: self._start(step, at, told))
        elif what == "start" and (told is not None or step.urgent):  # an alarm asks nothing first
            self._on_clean_path(step, lambda: self._start(step, self._answered_at(at, told), told))
        elif what == "start":
            asked = partial(self._first_calendar, lambda: self._start(step, self.home.now()))
            ask_too_soon(self.home, step, at, lambda: self._in_hours(step, at, asked))
        elif what in ("finish", "end pass"):
            ends = partial(self._finish, told=told) if what == "finish" else self._press
            over = partial(ends, step, place=place)
            if told is not None:
                over(at)
            else:
                ask_over(self.home, step, at, over, self.action_go_at)
        elif told is not None:
            self._on_clean_path(step, lambda: self._which_way(step, at, told=told))
        else:
            self._in_hours(step, at, lambda: self._which_way(step, self.home.now()))

    # Starting --------------------------------------------------------------------------------------------

    def _in_hours(self, step: Step, at: datetime, then: Callable[[], None]) -> None:
        """Outside loud time, without helper or line-up, it asks; once an evening for each."""
        self._on_clean_path(step, lambda: self.as_the_hours_are(step, at, then))

    def _on_clean_path(self, step: Step, then: Callable[[], None]) -> None:
        """A deck with free reels, and behind that a wiped path, first: asked, and written."""
        ask_reels(self.home, self.here.alter, step, partial(ask_path, self.home, self.here.alter, step, then))

    def as_the_hours_are(self, step: Step, at: datetime, then: Callable[[], None]) -> None:
        """Asks what the hours do not hold of a step that begins or goes on, of each once an evening."""
        from tui.asking.asking import AskYes

        day = self.here.sheet.day
        wants = outside_hours(self.home.shelf, step, at)
        new = [one for one in wants if (day, one.hours, one.of) not in self._asked]
        if not new:
            then()
            return

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                self._asked |= {(day, one.hours, one.of) for one in new}
                then()

        told = "\n".join(one.says for one in new)
        self.home.push_screen(AskYes(f"{words(step)}: now all the same?", told), answered)

    def _start(self, step: Step, at: datetime, told_by: When | None = None) -> None:
        """A tape to be tested is asked about first; so is one that meets a touch or has no room."""
        from tui.asking.about_tape import ask_load, ask_seen, ask_tried
        from tui.asking.asking import AskYes

        shelf = self.home.shelf
        plays = shelf.reels.get(next(iter(looks_first(shelf, step)), tape_of(step)))
        if plays is not None and not_inspected(plays):
            from tui.asking.look.looking import ask_look

            ask_look(self.home, plays.key, self.here.laid)  # what is seen may change what is done with it
            return
        again = partial(self._start_again, step, at, told_by)
        air = to_be_looked_at(shelf, plays) if plays is not None else ""
        if plays is not None and air:
            ask_seen(self.home, plays.key, air, again)
            return
        if plays is not None and to_try(shelf, step, at) is not None:
            ask_tried(self.home, plays.key, again)
            return
        if step.kind == "load" and told_by is not None:
            self._finish(step, at)
            return
        if step.kind == "load":  # it begins at the first press, with the reason where one is asked
            now = self.home.now
            ask_load(self.home, step.subject, step.reels, lambda: self._finish(self.here.as_now(step), now()))
            return
        if told_by is not None and step.touch:
            self._touched(step, at)
            return
        told = before(shelf, self.here.sheet, step, at, room_for_captures(shelf)) if told_by is None else None
        said = told.says if told is not None else ()
        doubt = warmth_in_doubt(shelf, plays) if plays is not None else ""  # a line-up's own reel, too
        if not (doubt or (told is not None and (told.collides or told.doubt or told.no_room))):
            self._which_way(step, at, said, told_by)
            return

        def begin(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:  # the tape starts when this is answered, not when it was asked
                self._which_way(step, self._answered_at(at, told_by), said, told_by)

        self.home.push_screen(AskYes(f"{words(step)}: start all the same?", "\n".join(said) or doubt), begin)

    def _start_again(self, step: Step, at: datetime, told_by: When | None) -> None:
        self._start(step, self._answered_at(at, told_by), told_by)

    def _answered_at(self, at: datetime, told_by: When | None) -> datetime:
        """When a step begins that was asked about: at the moment told, else when that is answered."""
        return at if told_by is not None else self.home.now()

    def _which_way(
        self, step: Step, at: datetime, said: tuple[str, ...] = (), told: When | None = None
    ) -> None:
        """A tape that lies tails out is wound first, or runs backwards: asked before."""

        def goes_on(why: str) -> None:
            self._press(step, self._answered_at(at, told), said, because=why)

        tape = open_pass(self.home.shelf, step, at) if step.kind == "transfer" else None
        if tape is not None and tape.state == "stopped":
            ask_stopped(self.home, self.here.alter, step.subject, goes_on)
            return

        def answered(way: str) -> None:
            self._press(step, self._answered_at(at, told), said, backwards=way == "backwards")

        def winds(wind: Step) -> None:
            self._press(wind, self._answered_at(at, told))
            self.here.laid(wind.key)

        ask_which_way(self.home, step, at, lambda: self._press(step, at, said), answered, winds)

    def _first_calendar(self, then: Callable[[], None]) -> None:
        """Before the evening's first step touches can go out as a calendar, once; not where one is late."""
        from tui.asking.asking import AskYes
        from tui.places.tonight.calendar import CALENDAR_FOOT, write_calendar

        touch, sheet = self.here.sheet.next_touch, self.here.sheet
        begun = any(step.started for step in sheet.steps) or self._calendar_asked == sheet.day
        if begun or self.home.plan is None or touch is None or touch.planned.start < self.home.now():
            then()
            return
        self._calendar_asked = sheet.day
        path = self.home.book.path.parent / "paper" / "evenings.ics"
        question = AskYes(
            "Before the first step: a calendar for the pocket?",
            f"The chamber is due at {touch.planned.start:%H:%M}. Enter writes {path}, to be opened on a "
            "telephone so that it rings there too; Esc goes on without.",
            foot=CALENDAR_FOOT,
        )

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                write_calendar(self.home, path)
            then()

        self.home.push_screen(question, answered)

    # Finishing -------------------------------------------------------------------------------------------

    def _touched(self, step: Step, at: datetime) -> None:
        """A turn or a take-out that was done at that moment: nothing lies between its begin and its end."""
        done = replace(step, started=at)
        said = f"{words(step)}: done {at:%H:%M}"
        if self.here.alter(lambda shelf: finish_step(shelf, done, at), f"{words(step)}: finish", said, at=at):
            self.here.on_from(step)

    def _finish(self, step: Step, at: datetime, place: float | None = None, told: When | None = None) -> None:
        """A gate that is not met asks for the reason; a hearing for what it settled."""
        if step.kind == "audition":
            self.mishaps.hearing(step.subject, at, lambda shelf: finish_step(shelf, step, at))
            return
        tape = self.home.shelf.reels.get(step.subject)
        if step.kind == "identify" and tape is not None and look_tells(tape):
            from tui.asking.look.looking import ask_look

            # The look is over when it is answered, unless somebody said when.
            ask_look(
                self.home,
                step.subject,
                lambda: self._looked_at(step),
                also=lambda shelf: press(shelf, step, self.home.now() if told is None else at),
            )
            return
        why = gate(self.home.shelf, step, at)
        if why is None:
            self._press(step, at, place=place)
            return
        ask_all_the_same(
            self.home, step, at, why, lambda because: self._press(step, at, because=because, place=place)
        )

    def _looked_at(self, step: Step) -> None:
        self.here.laid()
        self.here.refresh_foot()
        self.here.on_from(step)

    def _press(
        self,
        step: Step,
        at: datetime,
        told: tuple[str, ...] = (),
        because: str = "",
        place: float | None = None,
        *,
        backwards: bool = False,
    ) -> None:
        what = next_act(self.home.shelf, step, at)
        tape = open_pass(self.home.shelf, step, at) if step.kind == "transfer" else None
        said = f"{words(step)}: {SAYS[what]} {at:%H:%M}"
        if what == "finish" and step.kind == "transfer":
            turns = self.home.keyed(", heads out; {tonight.capture} {capture.turn} turns its files")
            said += turns if tape is not None and tape.backwards else ", the tape is tails out"
        elif what == "finish" and step.kind == WIND:
            said += ", the tape lies heads out"
        elif what == "finish" and step.kind == "align":
            off = still_off(self.home.shelf, step.subject, at)
            said += f"; its sheet: {off}" if off else ""
        elif backwards:
            said += ", backwards"
        begins = (
            before(self.home.shelf, self.here.sheet, step, at, None) if told else None
        )  # since it was asked
        if begins is not None:
            said += f" ({begins.says[0]})"  # the rest stands beside the clock
        still = runs_still(step, self.here.sheet.steps) if what in ("start", "start pass") else ""
        said += f"; {still}" if still else ""
        done = self.here.alter(
            lambda shelf: press(shelf, step, at, because, place, backwards=backwards),
            f"{words(step)}: {what}",
            said,
            at=at,
            because=because,
        )
        if done and what == "finish":
            self.here.on_from(step)
        if done and tape is not None and what in ("end pass", "finish"):
            self.over.pass_over(tape.reel, tape.number)
        if done and step.kind == "align" and what == "finish":
            self.replans.after_pass()  # what waited for the deck
        self.here.refresh_foot()
