"""The chart, home: one line a reel, stages as columns, what is next in the right half."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.app import RenderResult
from textual.binding import BindingType
from textual.reactive import reactive
from textual.widget import Widget

from core.conditioning.box_asked import boxes_meanwhile
from core.words import counted
from tui.asking.typing import Typing
from tui.board.rows import ChartRow
from tui.board.totals import lapse_line, stage_line, time_line
from tui.frame.acts.on_reels import ReelActs
from tui.frame.drawn.line_list import LineList
from tui.frame.drawn.lines import SayLine
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.chart.chart_list import ChartList
from tui.places.chart.columns import ColumnHeads
from tui.places.chart.filters import Filter, widths_of
from tui.places.chart.finding import Finder
from tui.places.chart.sorting import in_order
from tui.safe_text import fit, plain, whole

#: Of tapes under way that warn of something, so many are told under the chart.
WARNS = 2


class Totals(Widget):
    """The lines under the chart: what lapses soon, how many reels stand where, what is left to do."""

    lines: reactive[tuple[str, ...]] = reactive(("", ""))

    def watch_lines(self, lines: tuple[str, ...]) -> None:
        """As many lines as there are."""
        self.styles.height = len(self._rows())

    def on_resize(self) -> None:
        """Another width breaks the loud ones anew."""
        self.styles.height = len(self._rows())

    def _rows(self) -> list[str]:
        """What must be known stands whole, on as many rows as that takes; the totals have one each."""
        width = self.size.width or self.app.size.width
        lines = (f" {one}" for one in self.lines)
        rows = (whole(one, width) if one.startswith(" !") else fit(one, width) for one in lines)
        return [row for told in rows for row in told.split("\n")]

    def render(self) -> RenderResult:
        """The lines, the loud ones broken by words."""
        return plain("\n".join(self._rows()))


class ChartScreen(Place):
    """Where does everything stand? Rows are worked out for what is seen; the totals come a moment later."""

    PLACES: ClassVar[tuple[str, ...]] = ("chart", "reel")
    BINDINGS: ClassVar[list[BindingType]] = bindings("chart", "reel")

    def __init__(self) -> None:
        super().__init__()
        self.holds(ReelActs(self))
        self.shown_filter = Filter()
        self.order, self.backwards = "as on the shelf", False
        self._finder: tuple[object, Finder] | None = None
        self._where: dict[str, str] = {}
        self._totals_due = False
        self._blocked = ""  # what was said last of the reel under the cursor

    def body(self) -> Iterable[Widget]:
        """Heads, rows, the line to find in, totals."""
        rows = ChartList()
        yield ColumnHeads(rows.columns_of)
        yield rows
        yield Typing("find")
        yield Totals()

    @property
    def rows(self) -> ChartList:
        """The list of reels."""
        return self.query_one(ChartList)

    def laid(self) -> None:
        """Shows the reels that are wanted, in the order that is wanted; the cursor stays on its reel."""
        typed = self.query_one(Typing).text.strip()
        self.rows.hides = f"Nothing on the shelf holds {typed!r}: {{any.out}} shows all." if typed else ""
        self.rows.show(self._wanted(), self.home.board, self._where, plain_signs=self.home.plain_signs)
        self.query_one(ColumnHeads).refresh()
        if self._blocked and self.query_one(SayLine).text == self._blocked:
            self._tell_blocked()  # what it waited for may be there now
        if not self._totals_due:
            self._totals_due = True
            self.call_after_refresh(self._total)

    def _wanted(self) -> tuple[str, ...]:
        keys = self._found()
        board = self.home.board
        if self.shown_filter != Filter():
            keys = tuple(key for key in keys if self.shown_filter.shows(board.row(key), board.at))
        if self.order != "as on the shelf" or self.backwards:
            ordered = in_order(board.rows(keys), self.order, backwards=self.backwards)
            keys = tuple(row.key for row in ordered)
        return keys

    def _found(self) -> tuple[str, ...]:
        typed = self.query_one(Typing).text.strip()
        if not typed:
            self._where = {}
            return tuple(self.home.shelf.reels)
        if self._finder is None or self._finder[0] is not self.home.shelf:
            self._finder = (self.home.shelf, Finder(self.home.shelf))
        found = self._finder[1].find(typed)
        self._where = {one.reel: one.where for one in found if one.where}
        loose = self._finder[1].find_loose(typed)
        if loose:
            told = f"{counted(len(loose), 'loose sheet')} {'answers' if len(loose) == 1 else 'answer'} too"
            self.say(self.home.keyed(f"{told}: {', '.join(loose)} ({{any.loose}} shows them)"))
        return tuple(one.reel for one in found)

    def _total(self) -> None:
        self._totals_due = False
        if not self.is_laid_out:
            return
        board = self.home.board
        unplanned = board.plan is None and bool(board.shelf.reels)
        how = self.home.keyed(f" ({self._how_planned()})") if unplanned else ""
        second = time_line(board, self.size.width - 2 - len(how)) + how
        kept = ""
        if self.shown_filter != Filter():
            kept = self.shown_filter.words(widths_of(board.shelf.reels.values()))
        shown, there = self.rows.count, len(board.shelf.reels)
        if kept or shown != there:
            second = f"{shown} of {counted(there, 'reel')} shown{f': {kept}' if kept else ''}; Esc shows all"
        if self.order != "as on the shelf" or self.backwards:
            second += f"; by {self.order}{', backwards' if self.backwards else ''}"
        soon = lapse_line(board)
        late, stale = self.home.unmarked_words(), self.home.stale()
        first = [self.home.keyed(f"! {{any.tonight}}, {{tonight.catch_up}}: {late}")] if late else []
        first += [f"! {stale}"] if stale and not late else []
        warns = [f"!! {says}" for says in boxes_meanwhile(board.shelf).values()][:WARNS]
        self.query_one(Totals).lines = (*warns, *first, *([soon] if soon else []), stage_line(board), second)

    def _how_planned(self) -> str:
        if self.home.search is not None:
            return "{any.week} shows the search"
        return "{any.week}: a new one waits" if self.home.new_plan is not None else "{any.plan} plans"

    # The reel under the cursor ---------------------------------------------------------------------------

    @property
    def row(self) -> ChartRow | None:
        """The row under the cursor."""
        return self.rows.row

    @on(LineList.Moved)
    def _moved(self) -> None:
        self._tell_blocked()
        self.refresh_foot()

    def _tell_blocked(self) -> None:
        row = self.row
        self._blocked = f"{row.key} waits, {row.blocked}" if row is not None and row.blocked else ""
        self.say(self._blocked or self.rows.cut_words(row))

    def reason_not(self, action: str) -> str | None:
        """Nothing can be done to no reel; the rest is told by the reel itself."""
        if action in ("card", "song", *ReelActs.REEL_ACTIONS) and self.row is None:
            adds = self.home.keyed("there is no reel yet: {chart.add} adds some")
            return "no reel is shown" if self.home.shelf.reels else adds
        if action == "song" and self.row is not None and not self.row.songs:
            return f"no song needs {self.row.key}"
        return super().reason_not(action)

    def action_card(self) -> None:
        """Opens the reel's card."""
        if self.row is not None:
            self.home.open_door("reel", self.row.key, self.rows.keys)

    def action_song(self) -> None:
        """Opens the card of the first song that needs the reel."""
        if self.row is not None:
            self.home.open_door("song", self.row.songs[0], self.row.songs)

    def action_filter(self) -> None:
        """Asks which reels to show."""
        from tui.places.chart.chart_filter import AskFilter

        self.app.push_screen(AskFilter(self.shown_filter, self.home.board), self._take_filter)

    def _take_filter(self, chosen: Filter | None) -> None:
        if chosen is not None:
            self.shown_filter = chosen
            self.laid()

    def action_order(self) -> None:
        """Asks for the order; the order that is on already turns round."""
        from tui.asking.choosing import AskChoice
        from tui.places.chart.sorting import ORDERS

        choices = tuple((name, name) for name in ORDERS)
        self.app.push_screen(AskChoice("Order of the chart", choices, self.order), self._take_order)

    def _take_order(self, chosen: str | None) -> None:
        if chosen is not None:
            self.backwards = chosen == self.order and not self.backwards
            self.order = chosen
            self.laid()

    def action_add(self) -> None:
        """Adds a run of new reels."""
        from tui.places.chart.new_reels import NewReels

        self.app.push_screen(NewReels(), self._added)

    def action_boxes(self) -> None:
        """A first pass: the boxes, then what was seen, or files that tell of them."""
        from tui.places.chart.first_pass import ask_first_pass

        ask_first_pass(self.home, self._added)

    def _added(self, key: str | None) -> None:
        if key is not None:
            self.rows.go_to(key)

    # Find as you type ------------------------------------------------------------------------------------

    def open_find(self) -> None:
        """Opens the line to find in; what was typed there before is still in it, and typing replaces it."""
        self.query_one(Typing).open(self.home.drafts.get("find", ""), over=True)
        self.laid()

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        self.home.drafts["find"] = event.text
        self.laid()

    @on(Typing.Done)
    def _entered(self) -> None:
        self.rows.focus()

    def action_out(self) -> None:
        """Out of finding first, then out of the filter; what was typed is there at the next find."""
        typing = self.query_one(Typing)
        if typing.is_open:
            typing.close()
            self.rows.focus()
            self.laid()
        elif self.shown_filter != Filter():
            self.shown_filter = Filter()
            self.laid()
        else:
            super().action_out()
