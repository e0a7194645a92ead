"""An evening that ends early, falls away or is added, and what that leaves to do."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from core.clock import evening_of, grid_ceiling, later
from core.errors import ReelturnError
from core.evening.around.stop_early import put_away, quiet_after, stops_at, unwatched, without_bench
from core.evening.playing.when import of_evening
from core.evening.tonight.runsheet import run_sheet
from core.evening.warming.warm import empty_runs_tonight
from core.shelf import Shelf
from core.store.studio.hours_words import day_in_one
from core.words import day_meant, day_text
from tui.board.chamber import coming_steps
from tui.frame.acts.held import Acts
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.evening import Evening

#: How many moments are offered, and how many minutes lie between them.
OFFERED, EVERY = 14, 10


class EveningHours(Acts[Evening]):
    """What changes the hours of a date, tonight's or another's; then the evenings are planned again."""

    def __init__(self, here: Evening, replans: ReplanActs) -> None:
        super().__init__(here)
        self.replans = replans

    def stop_early(self) -> None:
        """Asks when the evening ends: one of the next moments before its own end, or a time that is typed."""
        from tui.asking.asking import AskText
        from tui.asking.choosing import TYPED, AskChoice

        now = self.home.now().astimezone(self.home.shelf.studio.zone)
        first = grid_ceiling(later(now, minutes=1), EVERY)
        ends = max((one.end for one in self.here.sheet.bench), default=None)
        moments = [at for n in range(OFFERED) for at in [later(first, minutes=EVERY * n)]
                   if ends is None or at < ends]  # fmt: skip
        choices = [("now", f"now, {now:%H:%M}"), *((at.isoformat(), f"{at:%H:%M}") for at in moments)]
        day, where = self.here.sheet.day, self.home.shelf.studio.zone

        def check(text: str) -> str | None:
            try:
                at = of_evening(text, day, where)
            except ValueError as error:
                return f"wants {error}"
            return None if at >= now else "wants a time that is still to come"

        def typed(text: str | None) -> None:
            if text:
                self._stop_at(of_evening(text, day, where))

        def chosen(key: str | None) -> None:
            if key is not None and (key == "other" or key.startswith(TYPED)):
                begun = key.removeprefix(TYPED) if key != "other" else ""
                self.home.drafts.pop("stop early", None)
                question = AskText(
                    "When do you stop?", draft="stop early", hint="2150", check=check, text=begun
                )
                self.home.push_screen(question, typed)
            elif key is not None:
                self._stop_at(now if key == "now" else datetime.fromisoformat(key))

        asked = AskChoice("I must stop at ...", [*choices, ("other", "another time: type it")], or_type=True)
        self.home.push_screen(asked, chosen)

    def _stop_at(self, at: datetime) -> None:
        """Says what must be put away and what of loud and chamber that touches; then home or not."""
        from tui.asking.asking import AskYes
        from tui.asking.choosing import AskChoice

        shelf, sheet, where = self.home.shelf, self.here.sheet, self.home.shelf.studio.zone
        at = at.astimezone(where).replace(second=0, microsecond=0)
        here = self.home.now().astimezone(where)
        try:
            left = stops_at(shelf, at, home=False)
        except ReelturnError as error:
            self.here.say(str(error), bad=True)
            return
        touches = coming_steps(shelf, at)
        alone = unwatched(left, touches, at)
        told = [
            *put_away(shelf, sheet, at, self.home.now()),
            *quiet_after(left, run_sheet(left, self.home.plan, here, coming_steps(left, here))),
            *(f"If you leave: {one}" for one in alone),
        ]
        title = f"You stop at {at:%H:%M}"
        words = "\n".join(told) or "Nothing is on the deck, and nothing is out of its place."
        loads = any(step.kind == "load" for step in sheet.waiting)
        warm = bool(touches) or loads or bool(empty_runs_tonight(shelf, self.home.now()))

        def answered(how: str | None) -> None:
            if how is None:
                return
            what = f"stop at {at:%H:%M}" + (", and leave" if warm and how != "home" else "")
            now = self.home.now()
            self._happened_to_hours(
                lambda s: stops_at(s, at, home=how == "home"), what, now, alone if how == "out" else ()
            )

        if not warm:  # nobody is asked to stay for a cold chamber
            self.home.push_screen(AskYes(title, words), lambda yes: answered("out") if yes else None)
            return
        choices = (("home", "and stay at home: a load may go on"), ("out", "and leave the house"))
        self.home.push_screen(AskChoice(title, choices, words=words), answered)

    def other_evening(self) -> None:
        """``thu``: not on it. ``fri 19-22``: an extra evening, or other hours than usual on it."""
        from tui.asking.asking import AskText

        question = AskText(
            "Not on an evening, or an extra one",
            "A day alone is one on which you do not work. With hours it is an evening of its own.",
            draft="other evening",
            hint="thu, or fri 19-22, or 2026-12-24",
            check=self._day_trouble,
            reads=self._day_words,
        )
        self.home.push_screen(question, lambda text: self._take_day(text) if text else None)

    def _split(self, text: str) -> tuple[date, list[str]]:
        """The date that was meant, the next one of a weekday, and the hours behind it."""
        today = evening_of(self.home.now().astimezone(self.home.shelf.studio.zone))
        word, *hours = day_in_one(text.split(), today)
        return day_meant(word, today), hours

    def _tried(self, text: str) -> tuple[date, list[str], Shelf]:
        from dataclasses import replace

        from core.store.studio.evening_hours import moved
        from core.store.studio.hours_words import hours_set

        day, hours = self._split(text)
        shelf = self.home.shelf
        if not hours:
            return day, hours, without_bench(shelf, day, home=True)
        today = self.home.now().date()
        studio, _ = hours_set(shelf.studio, moved(shelf.studio, [day.isoformat(), *hours], today), today)
        return day, hours, replace(shelf, studio=studio)

    def _day_trouble(self, text: str) -> str | None:
        try:
            self._tried(text)
        except (ReelturnError, ValueError) as error:
            return str(error)
        return None

    def _day_words(self, text: str) -> str:
        day, hours = self._split(text)
        return f"{day_text(day)}: {' '.join(hours) if hours else 'no work'}"

    def _take_day(self, text: str) -> None:
        from tui.asking.choosing import AskChoice

        day, hours = self._split(text)
        now = self.home.now()
        if hours:
            what = f"an evening on {day_text(day)}, {' '.join(hours)}"
            self._happened_to_hours(lambda s: self._tried(text)[2], what, now, ())
            return
        touches = coming_steps(self.home.shelf, now)
        alone = unwatched(without_bench(self.home.shelf, day, home=False), touches, now)
        question = AskChoice(
            f"Not on {day_text(day)}",
            (("home", "but I am at home: a load may run"), ("out", "and nobody is at home")),
            words="\n".join(f"If nobody is: {one}" for one in alone),
        )

        def answered(how: str | None) -> None:
            if how is not None:
                what = f"not on {day_text(day)}" + ("" if how == "home" else ", nobody home")
                self._happened_to_hours(
                    lambda s: without_bench(s, day, home=how == "home"),
                    what,
                    now,
                    alone if how == "out" else (),
                )

        self.home.push_screen(question, answered)

    def _happened_to_hours(
        self,
        act: Callable[[Shelf], Shelf],
        what: str,
        at: datetime,
        alone: tuple[str, ...],
    ) -> None:
        """One change, what it leaves alone said above all, then planning again."""
        if self.here.alter(act, what, what, at=at):
            self.replans.replan(what)
            if alone:
                self.here.say("; ".join(alone), bad=True)
