"""The bell, as the whole screen: reversed from edge to edge and steady, to be seen across the room."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from core.clock import minutes_between
from core.tape.where import figure
from tui.board.chamber import NextTouch
from tui.board.digits import big
from tui.frame.by_itself import ByItself
from tui.keys.keys import bindings, called
from tui.safe_text import plain

if TYPE_CHECKING:
    from tui.home import Home

#: How often the bell rings again while nobody answers, and how long "later" puts it off.
AGAIN = timedelta(seconds=20)
LATER = timedelta(minutes=5)


class BellScreen(ByItself, ModalScreen[None]):
    """A chamber waits for a hand. Done logs the touch; later puts the bell off, and the bar stays."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "bell.tcss")
    BINDINGS: ClassVar[list[BindingType]] = bindings("bell")

    def __init__(self, touch: NextTouch) -> None:
        super().__init__()
        self.touch = touch
        self._rang: datetime | None = None

    @property
    def home(self) -> Home:
        """The app, by its own type."""
        return cast("Home", self.app)

    def compose(self) -> ComposeResult:
        """What to do, the time it was due, how late, and the two keys."""
        touch = self.touch
        with Vertical():
            yield Static(plain(self._what(touch).upper()), markup=False)
            sign = "#" if self.home.plain_signs else "█"
            if not touch.urgent:
                yield Static(plain("\n".join(big(f"{touch.due:%H:%M}", sign))), markup=False)
            yield Static(plain(self._hands()), markup=False)
            yield from (Static(plain(f"! {says}"), markup=False) for says in self._warns())
            yield Static("", id="late", markup=False)
            own = self.home.own_keys
            done = called("bell.touched", own).partition(" or ")[0]
            later = called("bell.later", own)
            yield Static(plain(f"{done}: done now      {later}: ring again in 5 minutes"), markup=False)
            late = minutes_between(touch.due, self.home.now())
            if not touch.urgent and late > figure("heat.touch_late_minutes"):
                marks = f"Done in time? {later}, then {{any.tonight}} and {{tonight.catch_up}} tell when."
                yield Static(plain(self.home.keyed(marks)), markup=False)

    def _warns(self) -> list[str]:
        """What boxes or notes of the tapes of this touch warn of, that nobody answered."""
        from core.conditioning.box_asked import boxes_meanwhile

        boxes = boxes_meanwhile(self.home.shelf)
        return [boxes[key] for key in self.touch.reels if key in boxes and not self.touch.urgent]

    def _what(self, touch: NextTouch) -> str:
        return f"{touch.do}  -  {f'chamber {touch.chamber}' if touch.chamber else touch.reels[0]}"

    def _hands(self) -> str:
        """What the hands do to each reel: its place before and after, told where the log tells them."""
        from core.conditioning.loads.places_now import place_words
        from tui.board.chamber import places_of_touch

        touch = self.touch
        if touch.urgent:
            return f"{', '.join(touch.reels)}\n"
        out, now = touch.reels if touch.do == "take out" else (), self.home.now()
        standing = places_of_touch(self.home.shelf, touch.chamber, touch.due, out, now)
        if standing is None:
            return ", ".join(touch.reels)
        over = "\neach that stays is laid over; place 1 is the lowest" if standing.turns else ""
        return f"{place_words(standing)}{over}"

    def on_mount(self) -> None:
        """Says how late it is."""
        self.tick(self.home.now())

    def tick(self, now: datetime) -> None:
        """How late it is by now; the bell rings again every so often."""
        for late in self.query("#late").results(Static):
            late.update(plain(self.touch.words(now)))
        if self._rang is None or now - self._rang >= AGAIN:
            self._rang = now
            self.app.bell()

    def action_touched(self) -> None:
        """The touch was done at this moment: it is logged, with how late it came."""
        now = self.home.now()
        touch = self.touch
        what = f"{touch.do} chamber {touch.chamber}" if touch.chamber else f"{touch.do} {touch.reels[0]}"
        self.dismiss()
        self.home.quiet_until, self.home.quiet_for = None, set()
        logged = self.home.do(
            lambda: self.home.book.change(lambda shelf: touch.done(shelf, now), what=what, at=now),
            self.home.undoable(f"{what}: logged at {now:%H:%M}"),
        )
        if logged is None:  # why not is read at the foot before it rings again
            self._put_off(now, AGAIN)

    def action_later(self) -> None:
        """Puts the bell off for this; the bar at the foot goes on counting, and what is new rings."""
        self._put_off(self.home.now(), LATER)
        self.dismiss()

    def _put_off(self, now: datetime, long: timedelta) -> None:
        if self.home.quiet_until is None or now >= self.home.quiet_until:
            self.home.quiet_for = set()
        self.home.quiet_until = now + long
        self.home.quiet_for.add(self.touch.known_by)
