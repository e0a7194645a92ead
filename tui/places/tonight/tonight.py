"""Tonight: what do I do now? The run sheet of the evening, and the acts that are done on it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.events import Resize, ScreenResume
from textual.widget import Widget

from core.conditioning.loads.trial import empty_run_on
from core.evening.around.loud import loud
from core.evening.around.second_heat import second_tonight
from core.evening.around.tight_end import with_offers
from core.evening.playing.passes import TapePass, notes_of, passes_of, running_pass
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.sheet import OFFERED, OVER, RunSheet, Step
from core.evening.tonight.transfer import open_pass
from core.plan import Plan
from core.shelf import Shelf
from core.standing.of_plan.still import left_of_plan
from tui.board.chamber import coming_steps
from tui.frame.drawn.line_list import LineList
from tui.frame.drawn.said_line import RoleLine
from tui.frame.place import Place
from tui.frame.side import Side
from tui.keys.keys import bindings
from tui.places.tonight.acts.begins import BeginActs
from tui.places.tonight.acts.hours import EveningHours
from tui.places.tonight.acts.mishaps import MishapActs
from tui.places.tonight.acts.pass_over import PassOver
from tui.places.tonight.acts.passes import PassActs
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.acts.skip_acts import SkipActs
from tui.places.tonight.acts.step_acts import StepActs
from tui.places.tonight.advice import beside, room_for_captures
from tui.places.tonight.evening_list import EveningList
from tui.places.tonight.face import headline, lapse_row, will_not_fit
from tui.places.tonight.loud_rows import kinds, loud_rows
from tui.places.tonight.side import side_lines
from tui.places.tonight.step_facts import Face, out_of_turn
from tui.places.tonight.strip import strip
from tui.safe_text import fit, whole
from tui.workers.planning import Searched

UNPLANNED = (
    "No evening is planned yet.",
    "{any.plan} plans them; tonight's steps then stand here, {tonight.go} starts one.",
    "What was done without a plan is marked on the chart ({any.chart}, then {reel.done}).",
)
PLANNING = (
    "The evenings are being planned: {any.week} shows how, and where it stops.",
    "Tonight's steps stand here once the plan is kept.",
)
LOUD_ROWS = 3  # that an alarm may take in any case; twice as many where they are free
_SECOND = timedelta(seconds=1)
_ON_A_STEP = ("go", "go_at", "skip", "again", "card", "words", "capture")
_OPEN = ("waiting", "running", OFFERED)


class TonightScreen(Place):
    """The place one works in all evening: drawn each second from the app's clock; it holds the acts."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "tonight.tcss")

    PLACES: ClassVar[tuple[str, ...]] = ("tonight",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("tonight")

    def __init__(self) -> None:
        super().__init__()
        self._alarms: tuple[Shelf | None, date | None, datetime | None, tuple[str, ...]] = (
            None,
            None,
            None,
            (),
        )
        self._sheet: RunSheet | None = None
        self._made: tuple[Shelf, Plan | None, datetime, RunSheet] | None = None
        self.replans = ReplanActs(self)
        self.begins = BeginActs(self, self.replans)
        over, hours = PassOver(self, self.replans), EveningHours(self, self.replans)
        mishaps = MishapActs(self, hours, over, self.replans)
        steps = StepActs(self, mishaps, over, self.replans)
        passes = PassActs(self, steps, mishaps, self.replans)
        self.holds(passes, steps, SkipActs(self, self.replans), mishaps, self.begins, self.replans)

    def reason_not(self, action: str) -> str | None:
        """What is done to a step needs one under the cursor."""
        if action in _ON_A_STEP and self.step is None:
            planned = self.home.keyed("nothing is planned tonight: {any.plan} plans")
            return planned if not self.sheet.steps else "no step is chosen"
        if action == "capture" and self.step is not None and self.step.subject not in self.home.shelf.reels:
            return "this step is not about one reel"
        return super().reason_not(action)

    def body(self) -> Iterable[Widget]:
        """How the evening runs, what is loud, the steps, what does not fit, the tape's strip, the kinds."""
        yield RoleLine(id="evening")
        yield RoleLine(id="alarm")
        yield RoleLine(id="unmarked")
        yield RoleLine(id="stale")
        yield RoleLine(id="begin")
        yield Horizontal(EveningList(), Side(), id="steps")
        yield RoleLine(id="unfit")
        yield RoleLine(id="lapse")
        yield RoleLine(id="second")
        yield RoleLine(id="empty")
        yield RoleLine(id="strip")
        yield RoleLine(id="kinds")

    def heading(self) -> str:
        """The place."""
        return "Tonight"

    @property
    def sheet(self) -> RunSheet:
        """The run sheet as it was last laid out."""
        return self._sheet or self._made_sheet()

    def _made_sheet(self) -> RunSheet:
        """The run sheet as it is now; what was made within this second of the same shelf and plan stands."""
        shelf, now, plan, made = self.home.shelf, self.home.now(), self.home.plan, self._made
        if made and made[0] is shelf and made[1] is plan and timedelta() <= now - made[2] < _SECOND:
            return made[3]
        sheet = with_offers(run_sheet(shelf, plan, now, coming_steps(shelf, now)), shelf, plan, now)
        self._made = (shelf, plan, now, sheet)
        return sheet

    @property
    def list(self) -> EveningList:
        """The list of steps."""
        return self.query_one(EveningList)

    @property
    def word_here(self) -> str:
        """What kind of step is under the cursor."""
        return self.step.kind if self.step is not None else ""

    @property
    def step(self) -> Step | None:
        """The step under the cursor."""
        key = self.list.key_here if self.is_mounted else ""
        return next((step for step in self.sheet.steps if step.key == key), None)

    def running_tape(self) -> TapePass | None:
        """The pass that runs now, of whichever reel."""
        return running_pass(self.home.shelf, self.home.now())

    def shown_tape(self) -> TapePass | None:
        """The pass that the strip tells of: the one that runs, else the one of the step under the cursor."""
        running, step = self.running_tape(), self.step
        if running is not None or step is None or step.kind != "transfer":
            return running
        now = self.home.now()
        mine = passes_of(self.home.shelf, now, step.subject)
        return open_pass(self.home.shelf, step, now) or (mine[-1] if mine else None)

    def as_now(self, step: Step) -> Step:
        """That step as it is by what was answered meanwhile: a load without what may not go in any more."""
        self.laid()
        return next((one for one in self.sheet.steps if one.key == step.key), step)

    def laid(self, to: str = "") -> None:
        """Draws the evening, the cursor on the step ``to`` if it is told."""
        shelf, now = self.home.shelf, self.home.now()
        before, sheet = self._sheet, self._made_sheet()
        to = to or self._follows(before, sheet)
        self._sheet = sheet
        current = sheet.current
        tape = open_pass(shelf, current, now) if current and current.kind == "transfer" else None
        said = beside(shelf, sheet, current, now, room_for_captures(shelf), self.home.own_keys)
        metres = self.home.units.get("length") in ("m", "mm")
        view = Face(shelf, sheet, now, tape, said, self.home.plain_signs, metres, self.home.plan)
        if view.plan is None:
            lines = UNPLANNED if self.home.search is None else PLANNING
            view = replace(view, unplanned=tuple(self.home.keyed(line) for line in lines))
        width = self.size.width
        self.query_one(Side).show_lines(side_lines(view), width)
        self.list.show(view, to)
        self._line("evening").show(headline(view, width))
        self._first_lines(width)
        self._line("unfit").show(will_not_fit(view, width))
        self._line("lapse").show(lapse_row(view, width))
        again = second_tonight(shelf, self.home.plan, sheet.day, now)
        self._line("second").show([(whole(f" ! {again}", width), "bad")] if again else None)
        left = left_of_plan(shelf, self.home.plan, now)[0] if self.home.plan is not None else None
        due = empty_run_on(shelf, left, sheet.day, now)
        begins, empty = (
            self.home.keyed(": {any.chamber} {chamber.empty} begins it"),
            [one.brief for one in due],
        )
        told = f" ! {'; '.join(empty)}{'' if all(one.runs for one in due) else begins}"
        self._line("empty").show([(whole(told, width), "next")] if empty else None)
        self._around(sheet, width)

    def _first_lines(self, width: int) -> None:
        """What was not marked, a plan that does not fit any more, and what to do before one begins."""
        late, stale, begins = self.home.unmarked_words(), self.home.stale(), self.begins.begin_line()
        marks = self.home.keyed(f" ! {{tonight.catch_up}} marks: {late}")
        self._line("unmarked").show([(whole(marks, width), "bad")] if late else None)
        plans = self.home.keyed(f" ! {{tonight.replan}} plans again: {stale}").removesuffix(": plan again")
        self._line("stale").show([(whole(plans, width), "bad")] if stale else None)
        self._line("begin").show([(whole(f"   {begins}", width), "next")] if begins else None)

    def _follows(self, before: RunSheet | None, after: RunSheet) -> str:
        """Where the cursor goes by itself: from a step that was current, or is over now, to the next one."""
        here = self.list.key_here
        if before is not None and before.day != after.day:
            return after.current.key if after.current is not None else ""
        if before is None or not here:
            return ""
        was = next((step for step in before.steps if step.key == here), None)
        state = next((step.state for step in after.steps if step.key == here), "")
        rode = was is not None and before.current is not None and was.key == before.current.key
        over = was is not None and was.state in _OPEN and state not in _OPEN
        follows = after.after(here) if over else after.current if rode else None
        return follows.key if follows is not None else ""

    def _line(self, name: str) -> RoleLine:
        return self.query_one(f"#{name}", RoleLine)

    def _around(self, sheet: RunSheet, width: int) -> None:
        shelf = self.home.shelf
        now = self.home.now()
        minute = now.replace(second=0, microsecond=0)
        if self._alarms[0] is not shelf or self._alarms[1:3] != (sheet.day, minute):
            self._alarms = (shelf, sheet.day, minute, loud(shelf, sheet, now))
        said = self._alarms[3]
        free = self.list.size.height + self._line("alarm").size.height - self.list.count
        least = LOUD_ROWS + (len(said) > 1)
        rows = loud_rows(said, width, max(least, min(2 * LOUD_ROWS, free)))
        self._line("alarm").show([(rows, "bad")] if said else None)
        tape = self.shown_tape()
        notes = [n for _, n in notes_of(shelf, tape.reel) if n.number == tape.number] if tape else []
        text = strip(notes, tape.position, tape.total, width, plain=self.home.plain_signs) if tape else ""
        before = out_of_turn(Face(shelf, sheet, self.home.now()), self.step) if not tape else ""
        shown = (text, "dim") if tape else (whole(f"   {before}", width), "next")
        self._line("strip").show([shown] if shown[0].strip() else None)
        self._line("kinds").show([(fit(kinds(width), width), "next")] if self.home.unnamed_note else None)

    def tick(self, now: datetime) -> None:
        """Every second the countdown, the strip and the head are drawn anew."""
        if self.is_laid_out and self.query(EveningList):  # not while the place is taken down
            self.laid()
            self.refresh_head()
        self.replans.ticked()

    def on_resize(self, event: Resize) -> None:
        """The lines are as wide as the place."""
        if self.is_mounted and self._sheet is not None:
            self.laid()

    def on_mount(self) -> None:
        """What waited for that when the program was left is planned again."""
        self.replans.opened()

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Coming back, a plan that was found meanwhile is offered."""
        if self.is_mounted:
            self.replans.came_back()

    def on_unmount(self) -> None:
        """A search that runs when the program ends is not listened to any more."""
        self.replans.closed()

    @on(Searched)
    def _searched(self, event: Searched) -> None:
        self.replans.searched(event)

    @on(LineList.Moved)
    def _moved(self) -> None:
        self._around(self.sheet, self.size.width)
        self.refresh_foot()

    def alter(
        self,
        act: Callable[[Shelf], Shelf],
        what: str,
        said: str,
        *,
        at: datetime | None = None,
        because: str = "",
    ) -> bool:
        """One change of the shelf, to be taken back as one; True if it was made."""
        moment = at or self.home.now()
        done = self.home.do(
            lambda: self.home.book.change(act, what=what, because=because, at=moment),
            self.home.undoable(said),
        )
        if done is None:
            return False
        self.laid()
        self.refresh_foot()
        return True

    def on_from(self, step: Step) -> None:
        """The cursor goes on to what follows that step: it stays where one works."""
        over = next((one for one in self.sheet.steps if one.key == step.key and one.state in OVER), None)
        for name in [name for name in self.home.drafts if over is not None and step.key in name]:
            self.home.drafts.pop(name)  # what was half typed of it has no line any more
        following = self.sheet.after(step.key)
        self.laid(following.key if following is not None else "")

    def action_closing(self) -> None:
        """What to look at before one leaves."""
        from tui.places.tonight.closing_page import ClosingPage

        self.app.push_screen(ClosingPage())

    def action_learnt(self) -> None:
        """Shows what steps really take."""
        from tui.places.tonight.learnt import AskLearnt

        self.app.push_screen(AskLearnt())
