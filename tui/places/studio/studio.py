"""The studio: decks, chambers, warmth, hours, minutes, comfort, what is assumed; changed by one key."""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.conditioning.beyond_published import beyond_in_studio
from core.evening.around.unset import spared
from core.evening.warming.retimed import kept_told, retimed
from core.reels.unlikely import unlikely_eq
from core.shelf import Shelf
from core.standing.uncalibrated import uncalibrated, uncalibrated_told
from core.standing.untreated import untreated
from core.studio.in_vain import hours_in_vain
from tui.asking.asking import AskYes
from tui.asking.field_list import FieldLine, FieldList
from tui.asking.typing import Typing
from tui.board.studio import HOURS, TITLES, StudioLine, changed, meant_on, studio_lines, words_reading
from tui.frame.acts.on_hours import HoursActs
from tui.frame.drawn.beside import FROM_COLUMNS, WIDE
from tui.frame.drawn.line_list import LineList
from tui.frame.place import Place
from tui.frame.text_page import broken
from tui.keys.keys import bindings
from tui.places.studio.adding import AskAdd
from tui.places.studio.told_line import ToldLine

WHOLE = ("deck", "chamber", "treatment")
SPARED = 2  # line-ups that words on the shelf would spare, told above the lines
NAMED = {"deck": "id", "chamber": "id", "treatment": "width"}


class StudioScreen(Place):
    """Every key of the studio on a line; what is wrong is told while it is typed, and never taken."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "studio.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("studio",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("studio")

    def __init__(self) -> None:
        super().__init__()
        self.lines: dict[str, StudioLine] = {}
        self.hours = HoursActs(self)
        self.holds(self.hours)
        self.refused = ""  # why the text that was entered last was not taken

    def body(self) -> Iterable[Widget]:
        """The lines, what the one under the cursor means, and the line to type in."""
        listed = FieldList()
        listed.label_width = 21
        yield listed
        yield ToldLine()
        yield Typing()

    def heading(self) -> str:
        """The place."""
        return f"Studio {self.home.shelf.studio.name}"

    def _spared(self) -> tuple[str, ...]:
        """Which words would spare a line-up of the kept plan: the first few."""
        plan = self.home.plan
        return () if plan is None else spared(self.home.shelf, plan, self.home.now())[:SPARED]

    def laid(self) -> None:
        """Shows the studio as it is; above it what reels lack: warmth for their width, a calibration reel."""
        shelf, today = self.home.shelf, self.home.now().date()
        lacking = (
            *untreated(shelf, self.home.now()),
            *uncalibrated_told(uncalibrated(shelf, self.home.now())),
            *unlikely_eq(shelf.studio, shelf.reels.values()),
            *beyond_in_studio(shelf.studio),
            *hours_in_vain(shelf.studio, self.home.now()),
            *self._spared(),
        )
        told = studio_lines(shelf.studio, today)
        self.lines = {line.name: line for line in told if line.name}
        lines = [
            FieldLine("", words, role="bad") for one in lacking for words in broken(f"! {one}", self._wide())
        ]
        for line in told:
            if not line.name:
                lines.append(FieldLine("", line.title, role="head"))
                continue
            beside = f"({line.default})" if line.default and not line.text else ""
            lines.append(
                FieldLine(
                    line.name, line.label, line.text, self.home.drafts.get(f"studio {line.name}"), beside
                )
            )
        self.query_one(FieldList).show(lines)
        self._tell()

    @property
    def word_here(self) -> str:
        """What the line under the cursor is called."""
        return self.line.label if self.line is not None else ""

    @property
    def told_here(self) -> tuple[str, ...]:
        """What that line asks for; and what its word means, where that is a word of this place."""
        from core.tape.told.glossary import entry_of

        line, one = self.line, entry_of(self.word_here)
        own = (f"{line.label}: {line.says}",) if line is not None and line.says else ()
        return (*own, one.told) if one is not None and set(one.places) & set(self.PLACES) else own

    @property
    def line(self) -> StudioLine | None:
        """The line under the cursor."""
        return self.lines.get(self.query_one(FieldList).name_here)

    @on(LineList.Moved)
    def _tell(self) -> None:
        line = self.line
        self.query_one(ToldLine).text = (
            f"{self._kept(line)}{line.label}: {line.says}" if line is not None else ""
        )
        self._show_beside()
        self.refresh_foot()

    def _show_beside(self) -> None:
        """In a wide terminal what the line means, and what hangs on it."""
        from tui.places.studio.beside_line import beside_line

        line, home = self.line, self.home
        if line is None:
            return
        shelf, plan, owner = home.shelf, home.plan, self._owner(line)
        word = self.told_here[-1] if len(self.told_here) > 1 else ""
        self.query_one(FieldList).show_beside(
            lambda: beside_line(shelf, plan, line, owner, word, home.now()), self.app.size.width
        )

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out:
            self.laid()

    def _wide(self) -> int:
        """Columns for a sentence above the fields: beside them stands a third of a wide terminal."""
        columns = self.app.size.width
        return max(40, columns - 4 - (WIDE if columns >= FROM_COLUMNS else 0))

    def _owner(self, line: StudioLine) -> str:
        """The deck, chamber or width whose line that is; empty for any other."""
        named = (line.table, line.number, NAMED.get(line.table))
        mine = (one.text for one in self.lines.values() if (one.table, one.number, one.key) == named)
        return next(mine, "")

    def _kept(self, line: StudioLine) -> str:
        """What a load that runs keeps in place of that line; first, so that two rows always show it."""
        owner = self._owner(line)
        told = kept_told(self.home.shelf, line.table, owner, line.key) if owner else ""
        return f"! {told}. " if told else ""

    def reason_not(self, action: str) -> str | None:
        """Only a whole deck, chamber or treatment can be taken away."""
        line = self.line if self.is_laid_out else None
        if action == "take_away" and (line is None or line.table not in WHOLE):
            return "the cursor is on no deck, chamber or treatment"
        return super().reason_not(action)

    # Typing ----------------------------------------------------------------------------------------------

    def action_edit(self) -> None:
        """Opens the line to type in."""
        line = self.line
        if line is None:
            return
        studio, today = self.home.shelf.studio, self.home.now().date()
        text = self.home.drafts.get(f"studio {line.name}", line.text)
        self.query_one(Typing).open(
            text,
            line.label,
            lambda typed: words_reading(studio, line, typed, today),
            over=text == line.text and line.table != HOURS,
        )

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        line = self.line
        if line is None:
            return
        self._refused_no_more()
        if event.text != line.text:
            self.home.drafts[f"studio {line.name}"] = event.text
        else:
            self.home.drafts.pop(f"studio {line.name}", None)

    def _refused_no_more(self) -> None:
        """What was refused last is told no longer: another text stands there, or it was left."""
        if self.refused:
            self.forget(self.refused)
            self.refused = ""

    @on(Typing.Done)
    def _entered(self, event: Typing.Done) -> None:
        line = self.line
        if line is not None and self._take(line, event.text):
            self.query_one(Typing).close()
            self.query_one(FieldList).focus()
            self.query_one(FieldList).action_move(1)

    def _take(self, line: StudioLine, text: str) -> bool:
        wrong, bad = words_reading(self.home.shelf.studio, line, text, self.home.now().date())
        if bad:
            self.refused = wrong
            self.say(wrong, bad=True)
            return False
        self.home.drafts.pop(f"studio {line.name}", None)
        if text.strip() == line.text:
            self.laid()
            return True
        changes, today, before = self.home.book.studio_changes, self.home.now().date(), self.home.shelf
        table = "" if line.table == "studio" else f"{line.table} "
        what = f"studio {table}{line.label}" if line.table != HOURS else f"hours {line.key}"
        told = f"{line.label}: {meant_on(line, text).strip() or line.default or 'emptied'}"
        done = self.home.do(lambda: changes.remake(lambda studio: changed(studio, line, text, today), what))
        warm = [*retimed(before, done), *_less_usual(before, done)] if done is not None else []
        if warm:
            self.home.say(self.home.undoable(f"{'; '.join(warm)} ({told})"), bad=True)
        elif done is not None:
            self._say_done(told)
        return done is not None

    def _say_done(self, told: str) -> None:
        """Says what was changed, whether the kept plan still fits, and how it is taken back."""
        stale = "; the plan does not fit it, {any.plan} plans again" if self.home.stale() else ""
        self.home.say(self.home.undoable(self.home.keyed(f"{told}{stale}")))

    def action_clear(self) -> None:
        """Empties the line: what holds where nothing is said holds again."""
        if self.line is not None:
            self._take(self.line, "")

    def action_out(self) -> None:
        """Out of the line first, keeping what was typed; then out of the place."""
        typing = self.query_one(Typing)
        if typing.is_open:
            self._refused_no_more()
            typing.close()
            line = self.line
            if line is not None and not self.home.drafts.get(f"studio {line.name}", "").strip():
                self.home.drafts.pop(f"studio {line.name}", None)  # nothing was typed
            self.query_one(FieldList).focus()
            self.laid()
        else:
            super().action_out()

    # Whole things ----------------------------------------------------------------------------------------

    def action_add(self) -> None:
        """Adds a deck, a chamber, warmth for a width, or the hours of a date."""
        self.app.push_screen(AskAdd(self.home.shelf.studio), self._added)

    def _added(self, name: str | None) -> None:
        if name:
            self.laid()
            listed = self.query_one(FieldList)
            found = [n for n, line in enumerate(listed.lines) if line.name.startswith(name)]
            if found:
                listed.cursor = found[0]
            self._say_done(f"{name.split()[0]} added")

    def action_take_away(self) -> None:
        """Takes the whole deck, chamber or treatment away, once that was said again."""
        line = self.line
        if line is None or line.table not in WHOLE:
            return
        title = f"{TITLES[line.table]} {self.lines[f'{line.table} {line.number} {NAMED[line.table]}'].text}"

        def go(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                taken = self.home.do(lambda: self.home.book.studio_changes.take(line.table, line.number))
                if taken is not None:
                    self._say_done(f"{title} is taken away")

        self.app.push_screen(AskYes(f"Take away: {title}?", "Reels keep what is written on them."), go)

    def day_here(self) -> date:
        """The date under the cursor, else today."""
        line = self.line
        if line is not None and line.table == HOURS and "-" in line.key:
            return date.fromisoformat(line.key)
        return self.hours.today()


def _less_usual(before: Shelf, after: Shelf) -> tuple[str, ...]:
    """What of the studio lies outside what is published and practised since that change."""
    there = beyond_in_studio(before.studio)
    return tuple(one for one in beyond_in_studio(after.studio) if one not in there)
