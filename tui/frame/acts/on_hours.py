"""When you are there, changed by two keys: other hours, closed, away, the helper, as usual."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, timedelta
from typing import Protocol

from core.clock import evening_of
from core.errors import ReelturnError
from core.evening.warming.nobody_home import left_alone
from core.store.studio.evening_hours import moved
from core.store.studio.hours_lost import hours_lost
from core.store.studio.hours_words import day_in_one, hours_set, row_words
from core.studio.opening import rows_on
from core.words import date_text, day_meant, day_text
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.acts.held import Acts, Here
from tui.keys.words import Told

HOW = "Hours such as `19:00-22:00` move the bench alone; `loud 21:00` or `helper` behind says all anew."


class OnHours(Here, Protocol):
    """A place with a day under its cursor."""

    def day_here(self) -> date:
        """The date that is meant where none is named."""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""


class HoursActs(Acts[OnHours]):
    """Asks what is to be with one date's hours, and does it; each is one undo."""

    stale_told = ""  # why the kept plan does not fit, as it was said last: not said over what was done

    def today(self) -> date:
        """The evening that this moment belongs to."""
        return evening_of(self.home.now().astimezone(self.home.shelf.studio.zone))

    def action_hours(self) -> None:
        """A short list for the day under the cursor; a digit chooses."""
        day, today = self.here.day_here(), self.today()
        if day < today:
            self.here.say(f"{day_text(day)} is over: its hours stay as they were", bad=True)
            return
        name, rows = day_text(day), rows_on(self.home.shelf.studio, day)
        own = any(day in row.dates for row in self.home.shelf.studio.hours)
        helper = any(row.helper for row in rows)
        nobody = {} if any(row.bench for row in rows) else {"helper": "nobody is at the bench"}
        usual = {} if own else {"usual": "it has its usual hours"}
        choices = [
            ("hours", f"other hours on {name}: sooner, later, shorter, longer"),
            ("off", f"nobody is there on {name}"),
            ("helper", f"the helper {'does not come' if helper else 'comes'} on {name}"),
            ("away", f"away from {name} until ..."),
            ("other", "an evening on another date"),
            ("usual", f"the usual hours on {name}"),
        ]
        now = "; ".join(row_words(row) for row in rows) or "nobody is there"

        def chosen(what: str | None) -> None:
            if what:
                self._do(what, day)

        self.home.push_screen(
            AskChoice(f"Hours of {name}", choices, words=now, why_not=nobody | usual), chosen
        )

    def _do(self, what: str, day: date) -> None:
        if what in ("off", "usual"):
            self._set([day.isoformat(), what])
        elif what == "helper":
            changes = self.home.book.studio_changes
            comes = self.home.do(lambda: changes.turn_helper(day))
            if comes is not None:
                self._told(f"the helper {'comes' if comes else 'does not come'} on {day_text(day)}")
        else:
            self._ask(what, day)

    def _ask(self, what: str, day: date) -> None:
        rows = sorted(rows_on(self.home.shelf.studio, day), key=lambda row: row.from_minutes)
        today = self.home.now().date()
        week = date_text(day + timedelta(days=7))
        other = f"A date, as `{date_text(day)}`, or `sun` for the next one, then its hours. {HOW}"
        title, words, text = {
            "hours": (f"Hours of {day_text(day)}", HOW, " ".join(row_words(row) for row in rows)),
            "away": (
                f"Away from {day_text(day)}",
                f"The last day: a date, `{week}`, or a weekday.",
                "",
            ),
            "other": ("An evening on another date", other, ""),
        }[what]

        def meant(typed: str) -> list[str]:
            words = day_in_one(typed.split(), today)
            if what == "away":
                return day_in_one([f"{day.isoformat()}..{words[0]}", *words[1:], "off"], today)
            if what == "other" and words:
                with suppress(ValueError):  # sun: the next one, and not every one
                    words[0] = day_meant(words[0], today).isoformat()
            words = evening_words([day.isoformat(), *typed.split()] if what == "hours" else words)
            return moved(self.home.book.shelf.studio, words, today)  # as it is now, whoever changed it

        def check(typed: str) -> str | None:
            try:
                hours_set(self.home.shelf.studio, meant(typed), today)
                if what == "away":
                    return _long_away(typed, day, meant(typed)[0])
            except ReelturnError as error:
                return str(error).splitlines()[0].removeprefix("hours: ")
            return None

        def reads(typed: str) -> str:  # which day a date is: one without a year may be next year's
            last = meant(typed)[0].rpartition("..")[2]
            try:
                meant_day = date.fromisoformat(last)
            except ValueError:
                return ""  # a weekday: it says itself
            return f"{day_text(meant_day)} {meant_day.year}" if what != "hours" else ""

        def answered(typed: str | None) -> None:
            if typed:
                self._set(meant(typed))

        question = AskText(
            title, words, draft=f"hours {what} {day}", text=text, check=check, reads=reads, over=True
        )
        self.home.push_screen(question, answered)

    def _set(self, words: list[str]) -> None:
        shelf, before = self.home.shelf, self.home.shelf.studio
        day = self.home.do(lambda: self.home.book.studio_changes.set_hours(words))
        if day is not None:
            lost = hours_lost(before, self.home.shelf.studio, day)
            said = [*left_alone(shelf, self.home.shelf), *([lost] if lost else [])]
            self._told("; ".join(said) or f"hours of {_day_words(words[0])} {' '.join(words[1:])}")

    def _told(self, said: str) -> None:
        stale = self.home.stale()
        self.stale_told = stale or ""
        again = self.home.keyed("{any.plan} plans again, {any.undo} takes it back")
        self.home.say(
            Told(f"{said}; the plan was made for other hours: {again}", undoes=True)
            if stale
            else self.home.undoable(said)
        )


def _day_words(day: str) -> str:
    """``2026-12-01..2026-12-02`` as ``Tue 1 Dec to Wed 2 Dec``; a weekday as it is."""
    try:
        return " to ".join(day_text(date.fromisoformat(one)) for one in day.split(".."))
    except ValueError:
        return day


LONG_DAYS = 60  # an absence of more is most likely a day just past, read as next year's


def _long_away(typed: str, day: date, words: str) -> str | None:
    """That a year is to be written where an absence gets as long as by a slip; None where it is not."""
    last = date.fromisoformat(words.rpartition("..")[2])
    if (last - day).days <= LONG_DAYS or str(last.year) in typed:
        return None
    until = f"until {day_text(last)} {last.year}"
    return f"that is {(last - day).days} days, {until}: write the year where it is so"


def evening_words(words: list[str]) -> list[str]:
    """The words of an evening's hours; where only the helper is named, you are at the bench with them."""
    here = {word.casefold() for word in words}
    if "helper" not in here or here & {"bench", "home"} or len(words) < 3:
        return words
    return [*words[:2], "bench", "home", *words[2:]]
