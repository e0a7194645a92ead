"""What every place has: a head, a body of its own, the line that says, the chamber's bar, the foot."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Resize, ScreenResume
from textual.screen import Screen
from textual.widget import Widget

from core.shelf import Shelf
from core.words import day_text
from tui.board.chamber import also_due
from tui.board.words import bench_words, clock, tape_words
from tui.frame.drawn.chamber_bar import ChamberBar
from tui.frame.drawn.foot_line import FootLine
from tui.frame.drawn.lines import HeadLine, SayLine
from tui.frame.opening import Opening
from tui.keys.keys import HEAD_KEYS, keys_of, shown_keys
from tui.keys.words import Told, as_told

if TYPE_CHECKING:
    from tui.frame.acts.held import Acts
    from tui.home import Home


class Place(Screen[Any]):
    """A place: subclasses yield their body and fill it in ``laid``, which runs again when the shelf changes.

    ``PLACES`` names the parts of the key list that work here beside those that work everywhere.
    """

    PLACES: ClassVar[tuple[str, ...]] = ()
    FIGURES: str = ""  # whose figures F3 tells of; else those of the place it was opened in
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self) -> None:
        super().__init__()
        self._minute: datetime | None = None
        self._just_laid = False
        self.promised: int | None = None  # the number of the last change, while the foot says how to undo it
        self._held: tuple[Acts[Any], ...] = ()
        self._opening = Opening(self)

    def holds(self, *acts: Acts[Any]) -> None:
        """From now on these acts answer their keys here, and say why one cannot be used.

        What the place does itself goes before them, and the first of them before the next.
        """
        self._held += acts
        for one in acts:
            for name in one.actions():
                if not hasattr(self, name):
                    setattr(self, name, getattr(one, name))

    @property
    def is_laid_out(self) -> bool:
        """True while its widgets are there: not before it was composed, nor while it is taken down."""
        there = [type(one) for one in self.children]
        return FootLine in there and HeadLine in there

    @property
    def is_on_top(self) -> bool:
        """True while no question and no card lies above it: under one it is still current to the library."""
        return self.app.screen is self

    @property
    def home(self) -> Home:
        """The app, by its own type."""
        return cast("Home", self.app)

    def compose(self) -> ComposeResult:
        """Head, body, what was said, the chamber's bar, foot."""
        yield HeadLine()
        yield from self.body()
        yield SayLine()
        yield ChamberBar()
        yield FootLine(keys_of(*self.PLACES, "any"))

    def body(self) -> Iterable[Widget]:
        """The place's own widgets."""
        return ()

    def laid(self) -> None:
        """Fills the place from the shelf as it is now."""

    def reason_not(self, action: str) -> str | None:
        """Why that action cannot be used now, as a sentence; None if it can. The acts held here are asked."""
        reasons = (one.reason_not(action) for one in self._held)
        return next((reason for reason in reasons if reason), None)

    def other_key(self, key: str) -> None:
        """What the place does once the thing under its cursor has another key, or with none is gone."""

    @property
    def word_here(self) -> str:
        """The word under the cursor, which the glossary may tell; empty where there is none."""
        return next((one.word_here for one in self._held if one.word_here), "")

    @property
    def told_here(self) -> tuple[str, ...]:
        """What is told of the word under the cursor; nothing where there is no more to tell."""
        from core.tape.told.glossary import entry_of

        one = entry_of(self.word_here)
        return (one.told,) if one is not None else ()

    def heading(self) -> str:
        """What stands at the left of the head."""
        return self.home.shelf.studio.name

    def on_mount(self) -> None:
        """Lays the place out, and again whenever the shelf changes."""
        self.watch(self.app, "shelf", self._shelf_changed, init=False)
        self.refresh_head()
        self.laid()
        self._just_laid = True

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Coming back, everything is as the shelf is now; a place that opens was laid out a moment before.

        What was said of a change that was taken back meanwhile is over.
        """
        if self.promised is not None and self.promised != self.home.book.last_change:
            self.forget()
        just_laid, self._just_laid = self._just_laid, False
        if self.is_laid_out and not just_laid:
            self.refresh_head()
            self.laid()
        self.refresh_foot()  # a place that was made ahead drew its foot before a line was chosen
        self._opening.resumed(event, self.home)

    def on_resize(self, event: Resize) -> None:
        """Laid out once for each size."""
        self._opening.resized(event)

    def _shelf_changed(self, shelf: Shelf) -> None:
        if self.is_current and self.is_laid_out:
            self.laid()
            self.refresh_head()
            self.refresh_foot()

    def tick(self, now: datetime) -> None:
        """Called once a second while the place is open; a new minute lays it out anew."""
        if not self.is_laid_out:
            return
        minute = now.replace(second=0, microsecond=0)
        if self._minute not in (None, minute):
            self.laid()
        self._minute = minute
        self.refresh_head()

    def refresh_head(self) -> None:
        """The clock, the tape that plays or else the bench window, and the chamber's next touch."""
        if not self.is_laid_out:
            return
        now, studio = self.home.now(), self.home.shelf.studio
        head = self.query_one(HeadLine)
        head.keys = self._head_keys()
        head.middle = f"{'made-up clock: ' if self.home.made_up else ''}{day_text(now.date())} {clock(now)}"
        head.right = tape_words(self.home.shelf, now) or bench_words(studio, now)
        head.left = self.heading()
        bar = self.query_one(ChamberBar)
        touch = self.home.next_touch
        bar.plain_signs = self.home.plain_signs
        bar.late = touch is not None and touch.late(now)
        bar.share = touch.share_left(now) if touch is not None else 0.0
        bar.words = touch.words(now) if touch is not None else ""
        bar.behind = also_due(self.home.touches, now) if bar.late else ""

    def _head_keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that every place has and its foot seldom has room for, each with its word."""
        own, here = self.home.own_keys, f"place('{self.app.current_mode}')"
        return tuple((shown_keys(key, own)[0], key.word) for key in HEAD_KEYS if key.action != here)

    def refresh_foot(self) -> None:
        """Draws the foot anew, since what can be used may have changed."""
        if self.is_laid_out:
            self.query_one(FootLine).refresh()

    def say(self, text: str | Told, *, bad: bool = False) -> None:
        """Says one line at the foot of the place."""
        if not self.is_laid_out:
            return
        line = self.query_one(SayLine)
        said = as_told(text)
        line.bad, line.text = bad, said.text
        self.promised = self.home.book.last_change if said.undoes else None

    def forget(self, begun: str = "") -> None:
        """What was said is over, where it begins so: the place is left, or something else is done."""
        if self.is_laid_out and self.query_one(SayLine).text.startswith(begun):
            self.say("")

    def action_out(self) -> None:
        """One step out: from a card to where it was opened, from a place to the chart."""
        if len(self.app.screen_stack) > 1:
            self.dismiss()
        elif self.app.current_mode != "chart":
            self.app.switch_mode("chart")
        else:
            self.say(self.home.keyed("this is the chart, the outermost place: {any.quit} leaves the program"))
