"""The week: does it all fit? The plan as a picture, and the search for a better one."""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import date, datetime
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from core.clock import evening_of
from core.conditioning.loads.trial import empty_runs
from core.evening.around.song_dates import song_dates
from core.evening.playing.passes import planning_waits_for
from core.evening.tonight.helper import days_without
from core.plan import Item, LeftOver, Plan
from core.planning.answers.holes import Hole
from core.songs.when import song_line
from core.standing.of_plan.still import left_of_plan
from core.words import counted, day_text, hours_text
from tui.board.evenings import item_words, week
from tui.board.what_moved import what_moved
from tui.board.words import moment_words
from tui.frame.acts.on_hours import HoursActs
from tui.frame.drawn.line_list import LineList
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.week.compare_list import CompareList
from tui.places.week.crossed import Crossed
from tui.places.week.plan_line import PlanLine
from tui.places.week.week_list import HourHeads, WeekList
from tui.places.week.wishing import WishingActs
from tui.text.supposed import song_moved
from tui.text.week import hole_words
from tui.workers.planning import Better, Search, Searched

if TYPE_CHECKING:
    from core.planning.incumbent import Progress

SECONDS = 20.0  # how long a search runs where nobody stops it
DAYS = 14
_NO_PLAN = "no plan is kept: {any.plan} plans the evenings"


class WeekScreen(Place):
    """Shows the kept plan, or while one is searched for and not kept yet, the new one."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "week.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("week",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("week")

    def __init__(self) -> None:
        super().__init__()
        self.hours, self.wishing = HoursActs(self), WishingActs(self)
        self.holds(self.hours, self.wishing)
        self.search: Search | None = None
        self.began: datetime | None = None
        self._on_a_day = False  # whether the cursor was put on this evening
        self.progress: Progress | None = None
        self.comparing = False
        self.holes: dict[date, Hole] = {}

    @property
    def new(self) -> Plan | None:
        """The new plan that is not kept yet; the chart says that it waits."""
        return self.home.new_plan

    @new.setter
    def new(self, plan: Plan | None) -> None:
        self.home.new_plan = plan

    def day_here(self) -> date:
        """The day under the cursor, else today."""
        day = self.query_one(WeekList).day
        return day.day if day is not None else self.hours.today()

    @property
    def item(self) -> Item | None:
        """The step under the cursor."""
        return self.query_one(WeekList).item

    @property
    def left_over(self) -> LeftOver | None:
        """The reel under the cursor that no evening has."""
        return self.query_one(WeekList).left_over

    def body(self) -> Iterable[Widget]:
        """Hours, the picture, the two plans side by side when asked for, and the two lines."""
        yield HourHeads()
        yield WeekList()
        yield CompareList()
        yield PlanLine()

    def heading(self) -> str:
        """Which plan is shown."""
        if self.search is not None:
            return "Week, planning"
        return "Week, new plan, not kept yet" if self.new is not None else "Week"

    @property
    def shown(self) -> Plan | None:
        """The plan that is shown."""
        return self.new or self.home.plan

    def laid(self) -> None:
        """Draws the plan."""
        plan = self.shown
        self.query_one(CompareList).display = self.comparing
        self.query_one(WeekList).display = self.query_one(HourHeads).display = not self.comparing
        if plan is None:
            self.query_one(WeekList).lay(0)
            self.query_one(PlanLine).lines = (self.home.keyed(_NO_PLAN), "")
            return
        picture = week(self.home.shelf.studio, plan)
        self.query_one(HourHeads).week = picture
        self.holes = {hole.day: hole for hole in self.home.book.plans.holes(plan)}
        dates = song_dates(self.home.shelf, plan, self.home.now()).values()
        songs = [song_line(date) for date in dates if date.state != "no reels"]
        left, out = left_of_plan(self.home.shelf, plan, self.home.now())
        crossed = Crossed(out)
        beside = {
            evening_of(one.start or one.load): (f"! {one.brief or one.words}",)
            for one in empty_runs(self.home.shelf, left, self.home.now())
        }
        self.query_one(WeekList).show(picture, plan.left_over, self.wishing.mark_of, songs, crossed, beside)
        if not self._on_a_day:
            self._on_a_day = True
            self.query_one(WeekList).to_day(
                evening_of(self.home.now().astimezone(self.home.shelf.studio.zone))
            )
        kept = self.home.plan
        if self.comparing and kept is not None and self.new is not None:
            titles = {key: song.title for key, song in self.home.shelf.songs.items()}
            self.query_one(CompareList).show(kept, self.new, titles)
        self._tell()
        stale = self.home.stale()
        if stale and self.new is None and stale != self.hours.stale_told:
            again = self.home.keyed("{any.plan} plans again")
            self.say(f"{stale.removesuffix(': plan again')}: {again}", bad=True)
        self.hours.stale_told = stale or ""

    def _tell(self) -> None:
        plan = self.shown
        if plan is None:
            return
        second = ""
        item, left = self.query_one(WeekList).item, self.query_one(WeekList).left_over
        if item is not None:
            gone = self.query_one(WeekList).crossed.words(item)
            told = f"{item_words(self.home.shelf, item, plan)}{self.wishing.held_words(item)}"
            second = f"{day_text(item.start.date())} {f'{gone}; was {told}' if gone else told}"
        elif left is not None:
            second = f"{left.reel}: {left.why}"
        elif (day := self.query_one(WeekList).day) is not None and day.day in self.holes:
            second = f"{day_text(day.day)} {hole_words(self.holes[day.day])}"
        self.query_one(PlanLine).lines = (self._score(plan), self._with_helper(plan, second))

    def _with_helper(self, plan: Plan, second: str) -> str:
        """That line; on an evening without work for the helper with what to tell them."""
        day = self.query_one(WeekList).day
        if day is None or day.day not in days_without(self.home.shelf, plan):
            return second
        told = "the helper is not needed: tell them"
        return f"{second}; {told}" if second else f"{day_text(day.day)} {told}"

    def _score(self, plan: Plan) -> str:
        score = plan.how_good
        if self.search is not None:
            seconds = f"  {self.progress.seconds:.0f} s" if self.progress is not None else ""
            return f"planning: {score}{seconds}"
        picture = self.query_one(HourHeads).week
        free = f"free {hours_text(picture.free_minutes)}"
        if self.new is not None:
            return f"{score}  new, not kept  {free}"
        made = f"kept {moment_words(plan.made_at, self.home.now())}" if plan.made_at else "kept"
        return f"{score}  {made}  {free}"

    # Searching -------------------------------------------------------------------------------------------

    def start_planning(self) -> None:
        """Starts the search in a thread; the place stays free."""
        if self.search is not None:
            self.say(self.home.keyed("planning already: {week.stop} stops it"), bad=True)
            return
        waits = planning_waits_for(self.home.shelf, self.home.now())
        if not self.home.shelf.reels:
            waits = self.home.keyed(
                "no tape is on this shelf yet: {any.chart}, then {chart.boxes} puts boxes in"
            )
        if waits is not None:
            self.say(waits, bad=True)
            return
        kept = self.home.plan
        made_up = self.home.made_up
        days = made_up.days if made_up is not None else DAYS
        if kept is not None:
            days = (kept.until.date() - kept.start.date()).days
        self.search = self.home.search = Search(self.home.book, self, days, seconds=SECONDS)
        self.progress, self.began = None, self.home.now()
        self.run_worker(self.search.run, thread=True, exclusive=True, group="plan", exit_on_error=False)
        stops = self.home.keyed("{week.stop} stops it and shows the best so far")
        self.say(f"planning {counted(days, 'day')}, at most {SECONDS:.0f} s: {stops}")
        self._changed()

    def _changed(self) -> None:
        self.refresh_head()
        self.refresh_foot()

    @on(Better)
    def _better(self, event: Better) -> None:
        if event.search is not self.search:
            return
        self.progress = event.progress
        self.new = event.progress.plan
        if self.is_current and self.is_laid_out:
            self.laid()
            self._changed()

    @on(Searched)
    def _searched(self, event: Searched) -> None:
        if event.search is not self.search:
            return
        stopped = event.search.stopped
        self.search = self.home.search = None
        self.progress = None
        if event.plan is None:
            self.new = None
            self.home.say(f"no plan: {event.trouble}", bad=True)
        else:
            self.new = event.plan
            lead = "stopped" if stopped else "planned"
            compare = "{week.compare} compares, " if self.home.plan is not None else ""
            keys = compare + "{week.keep} keeps, {week.drop} drops"
            keys = self.home.keyed(keys if self.is_current else "{any.week} shows it; it is not kept yet")
            self.home.say(f"{lead}: {self._difference()}; {keys}")
            if self.home.made_up is not None and self.home.plan is None:
                self.action_keep()  # the first plan of a made-up shelf: its evenings can be looked at at once
        if self.is_current and self.is_laid_out:
            self.laid()
            self._changed()

    def _difference(self) -> str:
        kept, new = self.home.plan, self.new
        if kept is None or new is None:
            return "the first plan"
        moved = what_moved(kept, new, self.home.shelf)
        songs = songs_moved(kept, new)
        steps = counted(len(moved), "step moves", "steps move")
        return f"{steps}{songs}" if moved else "no step moves"

    def reason_not(self, action: str) -> str | None:
        """Keeping and dropping need a new plan; pinning needs a step."""
        item = self.query_one(WeekList).item if self.is_laid_out else None
        if action in ("keep", "drop", "compare"):
            if self.search is not None and action != "compare":
                return self.home.keyed("planning still goes on: {week.stop} stops it")
            if self.new is None:
                return self.home.keyed("there is no new plan: {any.plan} plans again")
            if action == "compare" and self.home.plan is None:
                return "no plan is kept to compare it with"
        if action == "stop" and self.search is None:
            return "nothing is being planned"
        if action == "plan" and self.search is not None:
            return self.home.keyed("planning already: {week.stop} stops it")
        if action == "pin" and (item is None or item.kind not in ("transfer", "condition")):
            return "only a transfer or a chamber load can be held on its date"
        if action == "forbid" and (item is None or item.kind not in ("transfer", "condition", "align")):
            return "only a transfer, a chamber load or a deck can be kept off a date"
        if action in ("free", "because") and self.home.plan is None:
            return self.home.keyed(_NO_PLAN)
        if action == "card" and item is None and self.query_one(WeekList).left_over is None:
            return "no step is under the cursor"
        return super().reason_not(action)

    def action_stop(self) -> None:
        """Stops the search; the best plan so far comes as the new one."""
        if self.search is not None:
            self.search.stop()

    def action_keep(self) -> None:
        """Keeps the new plan."""
        plan = self.new
        if plan is None:
            return
        self.new, self.comparing = None, False
        if (
            self.home.do(
                lambda: self.home.book.plans.keep_plan(plan),
                self.home.keyed("the new plan is kept: {any.print} prints its work orders"),
            )
            is None
        ):
            self.new = plan
        self.laid()
        self._changed()

    def action_drop(self) -> None:
        """Leaves the new plan."""
        self.new, self.comparing = None, False
        self.laid()
        self._changed()
        self.say("the kept plan stands as it was")

    def action_compare(self) -> None:
        """Both plans side by side, or the picture again."""
        self.comparing = not self.comparing
        self.laid()
        self.query_one(CompareList if self.comparing else WeekList).focus()
        kept, new = self.home.plan, self.new
        if self.comparing and kept is not None and new is not None:
            differ = counted(len(what_moved(kept, new, self.home.shelf)), "step differs", "steps differ")
            self.say(f"left: kept, {kept.score:.1f}; right: new, {new.score:.1f}; {differ}")

    def action_out(self) -> None:
        """From the two plans back to the picture; from the picture out of the place."""
        if self.comparing:
            self.action_compare()
            self.say("")
        else:
            super().action_out()

    # The step under the cursor ---------------------------------------------------------------------------

    @on(LineList.Moved)
    def _moved(self) -> None:
        self._tell()
        self.refresh_foot()

    def action_along(self, step: int) -> None:
        """The step before or after."""
        self.query_one(WeekList).along(step)

    def action_card(self) -> None:
        """Opens the card of the reel under the cursor."""
        listed = self.query_one(WeekList)
        keys = listed.item.reels if listed.item else (listed.left_over.reel,) if listed.left_over else ()
        keys = tuple(key for key in keys if key in self.home.shelf.reels)
        if keys:
            self.home.open_door("reel", keys[0], keys)

    def action_free(self) -> None:
        """Opens what is free of each evening, what could fill it, and what more time would bring."""
        from tui.places.week.free_time import FreeTimePage

        plan = self.home.plan
        if plan is not None:
            plan = self.home.book.plans.from_now(plan)  # what is over is free no more
            picture = week(self.home.shelf.studio, plan)
            self.app.push_screen(FreeTimePage(picture, self.home.book.plans.holes(plan)))

    def on_unmount(self) -> None:
        """A search that runs when the program ends is told to stop, and is not listened to any more."""
        if self.search is not None:
            self.search.stop(silently=True)


def songs_moved(kept: Plan, new: Plan) -> str:
    """``, 3 songs sooner, 1 later``: how many songs the new plan moves; nothing where it moves none."""
    then = {one.song: one.ready for one in kept.songs}
    moved = [song_moved(new, then.get(one.song), one.ready) for one in new.songs]
    later = sum(how.endswith(("later", "not ready any more")) for how in moved)
    sooner = sum(map(bool, moved)) - later
    told = [f"{counted(sooner, 'song')} sooner" if sooner else "", f"{later} later" if later else ""]
    return "".join(f", {words}" for words in told if words)
