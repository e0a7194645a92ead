"""The chamber: the load that runs, or one past, with its temperatures, turns, weights and hours."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.conditioning.load_state import LoadState, load_state, newest_load
from core.conditioning.loads.degrees import Degrees, degrees_of
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.loads.trial import trial_words
from core.shelf import Shelf
from tui.board.rows import ChartRow
from tui.frame.acts.on_reels import ReelActs
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.chamber.chamber_acts import ChamberActs
from tui.places.chamber.chamber_list import ChamberList
from tui.text.chamber import Row, care_rows, load_lines, title


class ChamberScreen(Place):
    """What the chamber's place shows; what can be done there are acts that it holds."""

    PLACES: ClassVar[tuple[str, ...]] = ("chamber", "list")
    BINDINGS: ClassVar[list[BindingType]] = bindings("chamber")

    def __init__(self) -> None:
        super().__init__()
        self.holds(ChamberActs(self), ReelActs(self))
        self.chosen = ""  # a load that was chosen; else the one that runs, or the newest
        self._newest = ""  # which load ran when it was chosen: one that begins later is shown all the same
        self._shown = ""
        self._stood: tuple[Shelf, datetime, LoadState] | None = None

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
        newest = newest_load(self.shelf)
        if newest != self._newest:
            self.chosen, self._newest = "", newest or ""
        key = self.chosen if self.chosen in self.keys else newest
        return self._state_of(key) if key else None

    def _state_of(self, key: str) -> LoadState:
        """One picture asks a dozen times: what stood within this second stands."""
        now, known = self.home.now(), self._stood
        fresh = known is not None and timedelta() <= now - known[1] < timedelta(seconds=1)
        if known is None or not fresh or known[0] is not self.shelf or known[2].key != key:
            known = self._stood = (self.shelf, now, load_state(self.shelf, key, now))
        return known[2]

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
            yield "word", "The studio has no chamber yet: nothing can be warmed here.", ""
            yield "word", self.home.keyed("{any.studio} goes to the studio, {studio.add} there adds one."), ""
            return
        yield "head", f"Chamber {self.chamber}: no load yet", ""
        yield "bad", trial_words(self.shelf, self.chamber), ""
        yield (
            "word",
            self.home.keyed("{chamber.empty} begins the empty run, {chamber.load} puts reels in."),
            "",
        )
        yield "head", "Take care", ""
        yield from care_rows()

    def alter(self, act: Callable[[Shelf], Shelf], what: str, said: str, at: datetime | None = None) -> bool:
        """One change of the shelf, to be taken back as one; True if it was made."""
        moment = at or self.home.now()
        done = self.home.do(
            lambda: self.home.book.change(act, what=what, at=moment), self.home.undoable(said)
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
        self.choose(keys[at])

    def action_choose_load(self) -> None:
        """Asks which load, newest first."""
        from tui.asking.choosing import AskChoice

        now = self.home.now()
        choices = [(key, title(load_state(self.shelf, key, now), now)) for key in reversed(self.keys)]
        here = self.state.key if self.state is not None else ""
        if choices:
            self.app.push_screen(AskChoice("Which load?", choices, here), self.choose)

    def choose(self, key: str | None) -> None:
        """Shows that load."""
        if key:
            self.chosen = key
            self.laid()
            self.refresh_head()
            self.refresh_foot()
