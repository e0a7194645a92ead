"""A reel's captures: verdict, what became of the files, the lanes, and the places to listen to."""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from core.evening.playing.passes import notes_of
from core.findings import Check, Finding
from core.shelf import Shelf
from core.standing.kept_checks import checks_of, listened, wanted_passes
from core.standing.proof import unchecked
from core.words import counted
from tui.board.reading_words import reading_words
from tui.board.rows import ChartRow
from tui.board.words import moment_words
from tui.frame.acts.on_reels import ReelActs
from tui.frame.drawn.line_list import LineList
from tui.frame.drawn.said_line import RoleLine
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.captures.capture_acts import CaptureActs
from tui.places.captures.finding_rows import finding_rows
from tui.places.captures.kept_words import kept_words
from tui.places.captures.lane_levels import Lanes
from tui.places.captures.lanes import LETTERS, letter
from tui.places.captures.lanes_view import LanesView
from tui.places.captures.listening import ListeningActs
from tui.places.captures.places_list import PlacesList, place_words
from tui.safe_text import fit, plain

if TYPE_CHECKING:
    from core.raw import RawCheck

_VERDICTS = {"pass": "PASS", "remarks": "REMARKS: look or listen", "fail": "FAIL: capture again"}


class CaptureScreen(Place):
    """One reel's captures, opened from its line, its card or Tonight: what is known; the acts are held."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "capture.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("capture",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("capture")

    def __init__(self, reel: str) -> None:
        super().__init__()
        reels = ReelActs(self)
        self.listening = ListeningActs(self)
        self.holds(CaptureActs(self, reels), self.listening, reels)
        self.reel = reel
        self.trouble = ""  # why the files that were chosen last could not be measured
        self.treble = False  # whether the lanes show treble in place of the level
        self.number = 0  # the pass that is shown; 0 before any is
        self._checks: tuple[Shelf | None, tuple[Check, ...]] = (None, ())

    def body(self) -> Iterable[Widget]:
        """What runs, the verdict, how the files are kept, the lanes, the places, and what is said of one."""
        yield RoleLine(id="reading")
        yield RoleLine(id="verdict")
        yield RoleLine(id="left")
        yield RoleLine(id="safe")
        yield LanesView()
        yield PlacesList()
        yield Static("", id="says", markup=False)

    def heading(self) -> str:
        """The reel, and the pass that is shown."""
        row = self.row
        return f"{self.reel}  captures  {row.stage}" if row is not None else self.reel

    @property
    def row(self) -> ChartRow | None:
        """The reel's row on the chart."""
        return self.home.board.row(self.reel) if self.reel in self.home.shelf.reels else None

    @property
    def checks(self) -> tuple[Check, ...]:
        """The newest check of every pass, read when the shelf has changed."""
        shelf = self.home.shelf
        if self._checks[0] is not shelf:
            self._checks = (shelf, self.home.book.captures.kept_checks(self.reel))
        return self._checks[1]

    @property
    def check(self) -> Check | None:
        """The check of the pass that is shown; the first one where that has none."""
        return next(
            (one for one in self.checks if one.pass_number == self.number), next(iter(self.checks), None)
        )

    @property
    def word_here(self) -> str:
        """What kind of finding is under the cursor."""
        return self.finding.kind if self.finding is not None else ""

    @property
    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        return self.query_one(PlacesList).finding if self.is_laid_out else None

    def on_mount(self) -> None:
        """What is being read is looked at four times a second."""
        super().on_mount()
        self.set_interval(0.25, self.refresh_reading)

    def laid(self) -> None:
        """Shows everything as the shelf has it now."""
        if self.reel not in self.home.shelf.reels:
            self.say(f"{self.reel} is not on the shelf any more", bad=True)
            return
        check = self.check
        self.number = check.pass_number if check is not None else 0
        self._line("verdict").show([(fit(f" {self._verdict(check)}", self.size.width), self._role(check))])
        self._line("safe").show([(fit(f" {self._safe(check)}", self.size.width), "dim")] if check else None)
        self._line("left").show(self._left())
        record = self.record(check)
        marks = listened(self.home.shelf, record) if record else {}
        self.query_one(PlacesList).show(self._rows_of(check), marks, check.seconds if check else 0.0)
        self.refresh_reading()
        self._draw()

    def _line(self, name: str) -> RoleLine:
        return self.query_one(f"#{name}", RoleLine)

    def record(self, check: Check | None) -> RawCheck | None:
        """The record in which that check is kept."""
        if check is None:
            return None
        return checks_of(self.home.shelf, self.reel)[check.pass_number]

    def _role(self, check: Check | None) -> str:
        return {"pass": "good", "fail": "bad"}.get(check.verdict if check else "", "next")

    def _verdict(self, check: Check | None) -> str:
        shelf, now = self.home.shelf, self.home.now()
        wanted = wanted_passes(shelf, shelf.reel(self.reel))
        if check is None:
            return "no check is kept of its files: F chooses the files of a pass and measures them"
        when = f", checked {moment_words(check.at.astimezone(now.tzinfo), now)}" if check.at else ""
        tracks = counted(len(check.tracks), "track")
        what = f"pass {check.pass_number} of {max(*wanted, check.pass_number)}, {tracks}"
        return f"{_VERDICTS[check.verdict]}   {what}, {place_words(check.seconds)[:-2]}{when}"

    def _left(self) -> list[tuple[str, str]] | None:
        """Passes that are still to be checked, once one is."""
        left = unchecked(self.home.shelf, self.home.shelf.reel(self.reel)) if self.checks else ()
        words = f" still to check: pass {', '.join(map(str, left))}"
        return [(fit(words, self.size.width), "next")] if left else None

    def _safe(self, check: Check | None) -> str:
        record = self.record(check)
        if check is None or record is None:
            return ""
        return kept_words(self.home.shelf, check, record, self.home.now())

    def _rows_of(self, check: Check | None) -> list[Finding | str]:
        return finding_rows(check, self._notes(check.pass_number)) if check is not None else []

    def _notes(self, number: int) -> list[tuple[float, str]]:
        """What was noted while that pass ran: where, and in what words."""
        mine = notes_of(self.home.shelf, self.reel)
        return [(note.seconds, note.told) for _, note in mine if note.number == number]

    def _draw(self) -> None:
        check, here = self.check, self.finding
        view = None
        if check is not None and check.strip is not None and check.strip.tracks:
            view = Lanes(check.strip, check.findings, here, self.home.plain_signs, self.treble)
        self.query_one(LanesView).show(view, self.size.height - 3)
        self.query_one("#says", Static).update(plain(self._says(here)))

    def _says(self, here: Finding | None) -> str:
        if self.trouble or here is None:
            return self.trouble
        notes = f" You noted: {'; '.join(here.notes)}." if here.notes else ""
        sign = f"{letter(here)}: " if here.kind in LETTERS else ""
        return f"{sign}{here.says}{notes}"

    @on(LineList.Moved)
    def _moved(self) -> None:
        self.trouble = ""
        self._draw()
        self.refresh_foot()

    def place_on(self, step: int) -> None:
        """The cursor goes on by so many lines."""
        self.query_one(PlacesList).action_move(step)

    def on_unmount(self) -> None:
        """Nothing plays on behind one's back."""
        self.listening.closed()

    def on_resize(self, event: Resize) -> None:
        """Lanes and lines are as wide as the place."""
        if self.is_laid_out:
            self.laid()

    def refresh_reading(self) -> None:
        """The line of what is being read: how much, how fast, how long still."""
        if not self.is_laid_out:
            return
        reading, width = self.home.reading, self.size.width
        if reading is None:
            self._line("reading").show(None)
            return
        what = f"{reading.reel} {reading.word}"
        stop = self.home.keyed("{capture.stop}")
        words = reading_words(what, reading.progress, width, plain=self.home.plain_signs, stop=stop)
        self._line("reading").show([(fit(words, width), "next")])
