"""Lining a deck up: clean and demagnetise, then tones; every tick and reading is kept at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from core.clock import minutes_between
from core.conditioning.spreading.dirty_path import dirty_path
from core.conditioning.spreading.shared_air import to_be_looked_at
from core.errors import ReelturnError
from core.lineup.on_shelf import (
    drift_since_last,
    keep,
    lineups_of,
    own_tolerances,
    sheet_for,
    without_targets,
)
from core.lineup.picture import response_picture
from core.lineup.record import LineupRecord, ToneReading, When
from core.lineup.rows import sheet_rows
from core.lineup.sheet import BEFORE_A_TAPE, CHOICES, Choice, LineupSheet, choice_of
from core.lineup.verdict import judge, track_verdicts, turn_first
from core.logbook.on_decks import OWN
from core.reels.assumed import with_setup
from core.standing.gates import lines_up
from core.studio.setup import width_key
from core.tape.where import figure
from core.words import listed
from tui.asking.typing import Typing
from tui.frame.drawn.line_list import LineList
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.keys.words import Told
from tui.places.lineup.reading_grid import ReadingGrid, named, shortened
from tui.safe_text import plain
from tui.text.captures.lineup import verdict_words

_TICKED = {"safe": "all tracks safe"}
_ANOTHER = "the sheet has changed meanwhile"
_CALLED: dict[When, str] = {"before": "as found", "after": "as left"}


class LineupScreen(Place):
    """One deck lined up to one reel's set-up."""

    CSS = (
        "LineupScreen Static { height: auto; max-height: 3; color: $secondary; padding: 0 1; }"
        "LineupScreen #about { min-height: 2; }"
    )
    PLACES: ClassVar[tuple[str, ...]] = ("lineup",)
    FIGURES = "lineup"
    BINDINGS: ClassVar[list[BindingType]] = bindings("lineup")

    def __init__(self, reel: str, deck: str, calibration: str = "", by: str = "") -> None:
        super().__init__()
        self.reel, self.deck, self.calibration = reel, deck, calibration
        self.choice: Choice = choice_of(calibration, by)
        self.when: When = "before"
        self._record: LineupRecord | None = None
        self._asked: tuple[str, str, str, int] = (self.choice, calibration, "", 0)

    def body(self) -> Iterable[Widget]:
        """The sheet, the whole of the line under the cursor, tracks, what to turn, the line to type in."""
        yield ReadingGrid()
        yield Static("", id="about", markup=False)
        yield Static("", id="tracks", markup=False)
        yield Static("", id="turn", markup=False)
        yield Typing()

    def on_mount(self) -> None:
        """A line-up that has readings as left goes on there; a new one begins as found."""
        if any(one.when == "after" for one in self.record.readings):
            self.when = "after"
        super().on_mount()

    def heading(self) -> str:
        """The deck, and which readings are shown."""
        return f"Line-up of {self.deck}, {_CALLED[self.when].upper()}"

    @property
    def sheet(self) -> LineupSheet:
        """The sheet; by the reel's own tones or as it stands where the calibration tape gives no targets."""
        shelf = self.home.shelf
        try:
            return sheet_for(shelf, self.deck, self.reel, self.calibration, choice=self.choice)
        except ReelturnError as error:
            setup = with_setup(shelf.reel(self.reel), shelf.studio).setup
            self.choice, why = without_targets(shelf, setup, self.calibration, str(error))
            self.calibration = ""
            self.say(why, bad=True)
            return sheet_for(shelf, self.deck, self.reel, choice=self.choice)

    @property
    def record(self) -> LineupRecord:
        """The line-up that is being made, as the shelf has it."""
        now, shelf = self.home.now(), self.home.shelf
        setup = with_setup(shelf.reel(self.reel), shelf.studio).setup.words()
        fresh = LineupRecord(
            self._record.at if self._record else now, self.deck, setup, self.choice, self.calibration,
            reel=self.reel,
        )  # fmt: skip
        mine = [
            one for one in lineups_of(shelf)
            if (one.same, one.choice, one.calibration) == (fresh.same, fresh.choice, fresh.calibration)
            and (one.reel == fresh.reel or one.choice == "calibration tape")  # it reads alike for every reel
            and 0 <= minutes_between(one.at, now) < 60 * figure("lineup.goes_on_hours")
        ]  # fmt: skip
        self._record = mine[-1] if mine else fresh
        return self._record

    def laid(self) -> None:
        """Shows the sheet with its readings."""
        if self.reel not in self.home.shelf.reels:
            self.say(f"{self.reel} is not on the shelf any more", bad=True)
            return
        self.query_one(ReadingGrid).show(sheet_rows(self.sheet, self.record, self.when))
        self._tell(self.record)

    def _tell(self, record: LineupRecord) -> None:
        sheet = self.sheet
        judged = judge(sheet, record, self.when)
        steps = turn_first(sheet, record, self.when, own_tolerances(self.home.shelf))
        told = verdict_words(track_verdicts(judged, sheet.tracks))
        self.query_one("#tracks", Static).update(plain(f"{_CALLED[self.when]}: {told}"))
        read = any(one.value is not None for one in judged)
        blank = next((one for one in judged if one.verdict == "blank"), None)
        blank_one = _called(sheet, blank.line.key, blank.track) if blank is not None else ""
        to_read = f"read on, {blank_one[:1].lower()}{blank_one[1:]}"
        passes = to_read if blank_one else "nothing: all that was read passes"
        words = steps[0] if steps else passes if read else "read the tones"
        if self.when == "before" and not any(one.verdict == "blank" for one in judged):
            words = words.removesuffix(".") + "; then V, and read as left"
        row = self.query_one(ReadingGrid).row
        if row is not None and words.startswith(row.says):
            words = "the line under the cursor"  # which is told above already
        self.query_one("#turn", Static).update(plain(f"next: {words}"))
        self._about()

    def _about(self) -> None:
        row, setup = self.query_one(ReadingGrid).row, self.home.shelf.reel(self.reel).setup
        says = f"{row.says} {row.must}".strip() if row is not None else ""
        track = self._place[1]
        says = f"Track {track}: {says}" if track else says
        how = f"by {self.calibration}" if self.calibration else self.choice
        why = self._not_now()
        if why:
            more = f" {self.home.keyed('{lineup.choose}: another')}" if "played" in why else ""
            self.query_one("#about", Static).update(plain(f"! No reading now: {why}.{more}"))
            return
        self.query_one("#about", Static).update(plain(f"{self.deck} {how} for {self.reel}, {setup}. {says}"))

    @on(LineList.Moved)
    def _moved(self) -> None:
        self._tell(self.record)
        self.refresh_foot()

    def reason_not(self, action: str) -> str | None:
        """No tape goes over a path that was not cleaned and demagnetised; none that may not run at all."""
        row = self.query_one(ReadingGrid).row if self.is_laid_out else None
        if action in ("edit", "clear") and row is not None:
            if not row.cells:
                return self.home.keyed("this line has no reading: {lineup.tick} ticks it")
            why = self._not_now() if action == "edit" else ""
            if why:
                return why
            left = [_TICKED.get(one, one) for one in BEFORE_A_TAPE if one not in self.record.ticked]
            if action == "edit" and left:
                return f"tick {listed(left)} first: no tape over a dirty path or past armed tracks"
        return super().reason_not(action)

    def _keep(self, record: LineupRecord, said: str | Told) -> None:
        home = self.home
        home.do(lambda: home.book.change(lambda s: keep(s, record), what=f"line up {self.deck}"), said)

    def action_tick(self) -> None:
        """Ticks a line, or lets it go."""
        row, record = self.query_one(ReadingGrid).row, self.record
        if row is not None:
            ticked = record.ticked ^ {row.key}
            says = f"{shortened(named(row), 50).rstrip('.')}: {'ticked' if row.key in ticked else 'let go'}"
            self._keep(replace(record, ticked=ticked), says)
            self.query_one(ReadingGrid).action_move(1)

    @property
    def _place(self) -> tuple[str, int]:
        grid = self.query_one(ReadingGrid)
        line = self.sheet.line(grid.row.key) if grid.row is not None else None
        if grid.row is None or line is None:
            return "", 0
        return line.key, (min(grid.cell, len(grid.row.cells) - 1) + 1 if line.per_track else 0)

    def action_along(self, step: int) -> None:
        """The cell beside."""
        self.query_one(ReadingGrid).along(step)

    def action_edit(self) -> None:
        """Opens the cell to type the reading in."""
        key, track = self._place
        self._asked = (self.choice, self.calibration, key, track)
        old = self.record.reading(key, track, self.when)
        word = _called(self.sheet, key, track)
        kept = "" if old is None else f"{old:g}"
        self.query_one(Typing).open(self.home.drafts.get(self._draft, kept), word, self._reads)

    @property
    def _draft(self) -> str:
        key, track = self._place
        return f"line-up {self.deck} {_called(self.sheet, key, track)} {self.when}"

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        self.home.drafts[self._draft] = event.text

    def _with(self, text: str) -> tuple[LineupRecord, int]:
        """The record with those readings, one a track from the cell on, and how many; else ValueError."""
        record, (key, track) = self.record, self._asked[2:]
        bare = text.replace("dB", " ").replace("°", " ").replace("−", "-").replace(",", ".").split()
        line = self.sheet.line(key)
        most = len(line.over(self.sheet.tracks)) - track + 1 if track and line is not None else 1
        if not 0 < len(bare) <= most:
            raise ValueError(text)
        read = [ToneReading(key, track + n, float(one), self.when) for n, one in enumerate(bare)]
        over = {(one.line, one.track, one.when) for one in read}
        kept = [r for r in record.readings if (r.line, r.track, r.when) not in over]
        return replace(record, readings=(*kept, *read)), len(read)

    def _reads(self, text: str) -> tuple[str, bool]:
        """Pass or fail, as it is typed; what to turn first goes with it."""
        if not text.strip():
            line = self.sheet.line(self._place[0])
            if line is not None and line.unit == "°":
                return ("degrees", False)
            more = "; several at once: 0.1 -0.3 0" if self._place[1] else ""
            return (f"dB{more}", False)
        if self._is_another():
            return (_ANOTHER, True)
        try:
            record, count = self._with(text)
        except ValueError:
            return ("wants a number such as -0.4", True)
        self._tell(record)
        place = (self._asked[2], self._asked[3] + count - 1)
        one = next((j for j in judge(self.sheet, record, self.when) if (j.line.key, j.track) == place), None)
        if one is None or one.off is None:
            return ("only written down", False)
        return (f"{one.verdict}, {one.off:+.1f} off", one.verdict == "fail")

    def _is_another(self) -> bool:
        """True where the sheet became another while a reading was typed: it is no reading of that one."""
        if self.reel not in self.home.shelf.reels:
            return True
        gone = self.sheet.line(self._asked[2]) is None  # this sets how the deck is lined up now
        return gone or self._asked[:2] != (self.choice, self.calibration)

    @on(Typing.Done)
    def _entered(self, event: Typing.Done) -> None:
        if self._is_another():
            self._close()
            self.say(f"{_ANOTHER}: {event.text} is not kept", bad=True)
            return
        try:
            record, count = self._with(event.text)
        except ValueError:
            self.say("a reading is a number such as -0.4", bad=True)
            return
        self.home.drafts.pop(self._draft, None)
        grid, (key, track) = self.query_one(ReadingGrid), self._asked[2:]
        line = self.sheet.line(key)
        unit = "" if line is None else "°" if line.unit == "°" else " dB"
        shown = " ".join(f"{one.value:+g}" for one in record.readings[-count:])
        self._keep(record, self.home.undoable(f"{_called(self.sheet, key, track)}: {shown}{unit}"))
        if grid.row is not None and grid.cell + count < len(grid.row.cells):
            grid.along(count)
        else:
            grid.action_move(1)
            grid.cell = 0
        if grid.row is not None and grid.row.cells and not self._not_now():
            self.action_edit()
        else:
            self._close()

    def _close(self) -> None:
        self.query_one(Typing).close()
        self.query_one(ReadingGrid).focus()
        self.laid()

    def action_clear(self) -> None:
        """Takes a reading out."""
        record, (key, track) = self.record, self._place
        kept = tuple(r for r in record.readings if (r.line, r.track, r.when) != (key, track, self.when))
        self._keep(
            replace(record, readings=kept),
            self.home.undoable(f"{_called(self.sheet, key, track)}: emptied"),
        )

    def action_found(self) -> None:
        """Readings as found, or as left."""
        self.when = "before" if self.when == "after" else "after"
        self.laid()
        self.refresh_head()

    def action_choose(self) -> None:
        """Asks by what the deck is lined up; the choice is kept with the record."""
        from tui.asking.choosing import AskChoice

        choices = [*self._tapes(), *((c, c) for c in CHOICES[1:])]
        self.app.push_screen(
            AskChoice("Line up by what?", choices, self.calibration or self.choice, why_not=self._barred()),
            self._chosen,
        )

    def _not_by(self, calibration: str) -> str | None:
        """Why the deck is not lined up by that reel now; None where it may be, and for none."""
        shelf = self.home.shelf
        if calibration not in shelf.reels:
            return None
        why = lines_up(shelf, calibration, self.home.now())
        return why or to_be_looked_at(shelf, shelf.reel(calibration)) or None

    def _not_now(self) -> str:
        """Why nothing is read here now: what the tape waits for, or what lies on the path; else empty."""
        row = self.query_one(ReadingGrid).row if self.is_laid_out else None
        own = self.choice == CHOICES[1] or (row is not None and row.key.startswith(OWN))
        tape = self.reel if own else self.calibration
        why, path = self._not_by(tape), dirty_path(self.home.shelf, self.deck)
        if why is not None:
            return f"{tape} may not be played: {why}"
        return "" if path is None or path.reel == tape else f"{path.says} ({path.told_by.partition(';')[0]})"

    def _barred(self) -> dict[str, str]:
        """By calibration reel, why it cannot be chosen now."""
        told = {key: self._not_by(key) for key, one in self.home.shelf.reels.items() if one.calibration}
        return {key: why for key, why in told.items() if why is not None}

    def _tapes(self) -> list[tuple[str, str]]:
        """The calibration tapes, those of the reel's width first; of another it is said."""
        width = width_key(self.home.shelf.reel(self.reel).width)
        tapes = [one for one in self.home.shelf.reels.values() if one.calibration]
        return [
            (one.key, f"by calibration tape {one.key}{'' if same else ', of another width'}")
            for same in (True, False)
            for one in tapes
            if (width_key(one.width) == width) == same
        ]

    def _chosen(self, chosen: str | None) -> None:
        if chosen is None:
            return
        wanted: Choice = next((c for c in CHOICES[1:] if c == chosen), "calibration tape")
        self.choice, self.calibration = wanted, chosen if wanted == "calibration tape" else ""
        self._record = None
        if self.sheet.choice == wanted:  # a tape that gives no targets was told of, and is not taken
            self._keep(self.record, f"lined up by: {chosen}")
        self.laid()
        self.refresh_head()

    def action_picture(self) -> None:
        """The response before and after, and what has drifted."""
        from tui.frame.text_page import TextPage
        from tui.text.captures.response import drift_lines, response_lines

        sheet, record, shelf = self.sheet, self.record, self.home.shelf
        width, letters = self.size.width - 4, self.home.plain_signs
        told = (
            *response_lines(response_picture(sheet, record), width, plain=letters),
            *drift_lines(drift_since_last(shelf, record)),
        )
        self.app.push_screen(TextPage(f"{self.deck}: response and drift", lambda: told, figures="lineup"))

    def action_out(self) -> None:
        """Out of the cell first."""
        if self.query_one(Typing).is_open:
            self._close()
        else:
            super().action_out()


def _called(sheet: LineupSheet, key: str, track: int) -> str:
    """A line by its name and, where it has one, its track: ``1 kHz level, track 3``."""
    line = sheet.line(key)
    name = line.says.partition(" reads")[0].partition(":")[0] if line is not None else key
    return f"{name}, track {track}" if track else name
