"""A song in time: every capture's place, rings, what is open; ties found or tapped, copies laid."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.album.place import CaptureKey, SongClock
from core.album.ties import capture_name
from core.capture.files.progress import Asked, Told
from core.errors import ReelturnError
from core.words import counted
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.board.glyphs import glyphs
from tui.board.reading_words import reading_words
from tui.frame.drawn.beside import Line
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.drawn.said_line import RoleLine
from tui.frame.place import Place
from tui.frame.side import track_lines, wrapped
from tui.keys.keys import bindings
from tui.places.clock.clock_lines import ClockLine, clock_lines
from tui.safe_text import fit
from tui.text.songs.ties import tie_line
from tui.workers.reading import Reading

if TYPE_CHECKING:
    from core.album.ties import Tie
    from core.workbook.in_time.old_mix_kept import OldMix
    from core.workbook.laying import LaidOut

_WAYS = (
    ("zero", "all files begin at one moment: drag them to the start"),
    ("stamped", "as captured, with their times in them"),
    ("clock", "read along the curve, on the song's clock"),
)
_NEED_CAPTURE = ("find", "tap", "let_go", "old_mix")
_READ = ("find", "find_all", "lay", "old_mix")


class ClockList(LineList):
    """The lines of a song in time."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[ClockLine, ...] = ()

    def show(self, lines: Sequence[ClockLine]) -> None:
        """Shows these lines; the cursor stays where it was, on a capture if it can."""
        self.lines = tuple(lines)
        self.lay(len(lines))

    def skips(self, index: int) -> bool:
        """Heads are passed over."""
        return self.lines[index].role == "head"

    @property
    def line(self) -> ClockLine | None:
        """The line under the cursor."""
        return self.lines[self.cursor] if self.cursor < len(self.lines) else None

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line."""
        line = self.lines[index]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        sign = signs.cursor if index == self.cursor else " "
        return [(fit(f"{sign} {line.words}", width), line.role)]


class ClockScreen(Place):
    """One song in time."""

    PLACES: ClassVar[tuple[str, ...]] = ("time",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("time")

    def __init__(self, song: str) -> None:
        super().__init__()
        self.song = song
        self.clock = SongClock()

    def body(self) -> Iterable[Widget]:
        """What runs, and the list."""
        yield RoleLine(id="reading")
        yield ClockList()

    def heading(self) -> str:
        """The song."""
        song = self.home.shelf.songs.get(self.song)
        return f"{song.title or self.song if song is not None else self.song}: in time"

    def on_mount(self) -> None:
        """What is being read is looked at four times a second."""
        super().on_mount()
        self._moved()
        self.set_interval(0.25, self._refresh_reading)

    def _refresh_reading(self) -> None:
        reading = self.home.reading
        if self.is_laid_out:
            width = self.size.width
            what = f"{reading.reel} {reading.word}" if reading is not None else ""
            words = (
                reading_words(what, reading.progress, width, plain=self.home.plain_signs) if reading else ""
            )
            self.query_one("#reading", RoleLine).show([(fit(words, width), "next")] if words else None)

    def laid(self) -> None:
        """Shows how everything lies now."""
        book = self.home.book
        if self.song not in self.home.shelf.songs:
            self.say(f"{self.song} is not on the shelf any more", bad=True)
            return
        try:
            self.clock = book.songs.clock(self.song)
            captures = book.time.captures_of(self.home.shelf.song(self.song))
            heard = book.songs.told_by_sound(self.song)
        except ReelturnError as error:
            self.say(str(error), bad=True)
            return
        self.query_one(ClockList).show(tuple(clock_lines(self.clock, captures, heard)))
        self._show_beside()
        self._refresh_reading()
        self.refresh_foot()

    @property
    def capture(self) -> CaptureKey | None:
        """The capture under the cursor."""
        line = self.query_one(ClockList).line if self.is_laid_out else None
        return line.key if line is not None else None

    @on(LineList.Moved)
    def _moved(self) -> None:
        line = self.query_one(ClockList).line
        self.say(line.says if line is not None else "")
        self._show_beside()
        self.refresh_foot()

    def _show_beside(self) -> None:
        self.query_one(ClockList).show_beside(self._beside, self.app.size.width)

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out:
            self._show_beside()

    def _beside(self) -> Iterator[Line]:
        """Of the capture under the cursor: where it lies and why, how it is tied, what its tracks carry."""
        line = self.query_one(ClockList).line
        if line is None:
            return
        yield "head", capture_name(line.key) if line.key is not None else "Of this line"
        yield from wrapped(line.says or line.words)
        yield "word", ""
        if line.key is None:
            return
        ties = [tie for tie in self.home.book.time.kept_ties() if line.key in (tie.one, tie.two)]
        yield "head", f"Ties of it: {len(ties) or 'none is kept'}"
        for tie in ties:
            yield from wrapped(tie_line(tie))
        yield "word", ""
        yield from track_lines(self.home.shelf, line.key[0], song=self.song)

    def reason_not(self, action: str) -> str | None:
        """One reading at a time; ties are between the capture under the cursor and that of the clock."""
        reading = self.home.reading
        if action in _READ and reading is not None:
            stops = self.home.keyed("{time.stop} stops that")
            return f"{reading.reel} is being {reading.word}: {stops}"
        if action == "halt":
            return None if reading is not None else "nothing is being read"
        if action in _NEED_CAPTURE and self.capture is None:
            return "the cursor is on no capture"
        if action in _NEED_CAPTURE and self.capture == self.clock.own:
            return "the song's clock is this capture's own"
        if action == "let_go" and self.capture is not None and not self._kept():
            return "no tie of this capture is kept"
        if action in ("lay", "find_all") and not self.clock.places:
            return "no tape of the song is captured and checked"
        return super().reason_not(action)

    def _kept(self) -> list[tuple[CaptureKey, CaptureKey]]:
        here, kept = self.capture, self.home.book.time.kept_ties()
        return [(tie.one, tie.two) for tie in kept if here in (tie.one, tie.two)]

    # Ties -----------------------------------------------------------------------------------------------

    def action_find(self) -> None:
        """Looks by sound how the capture lies to that of the clock, in a thread."""
        own, here = self.clock.own, self.capture
        if own is None or here is None:
            return
        book, home, song = self.home.book, self.home, self.home.shelf.song(self.song)

        def work(told: Told, asked: Asked) -> Tie:
            return book.time.found(
                own[0], here[0], passes=(own[1], here[1]), song=song, progress=told, cancelled=asked
            )

        def done(tie: Tie) -> None:
            home.do(lambda: book.time.keep(tie), f"{capture_name(here)} lies by sound: {tie.says}")

        Reading(home, capture_name(here), "looked through", work, done).start()
        self.laid()

    def action_find_all(self) -> None:
        """Looks by sound for every capture that nothing ties yet, then listens to every copy."""
        book, home, song = self.home.book, self.home, self.home.shelf.song(self.song)

        def work(told: Told, asked: Asked) -> list[str]:
            return book.claims.tie_all(song, progress=told, cancelled=asked)

        def done(said: list[str]) -> None:
            home.book.reload()
            home.say("; ".join(said) or "every capture of the song has its place, and every copy was heard")

        Reading(home, self.song, "looked through", work, done).start()
        self.laid()

    def action_tap(self) -> None:
        """Asks at which places of both captures the same is heard."""
        own, here = self.clock.own, self.capture
        if own is None or here is None:
            return
        words = (
            f"The same beat, heard in both: its time in {capture_name(own)}, then in {capture_name(here)}, "
            "as 0:32.1 0:20.4. Four times tell the speed too."
        )
        question = AskText(
            f"{capture_name(here)}: where does it lie?", words, draft=f"tap {self.song} {capture_name(here)}",
            hint="0:32.1 0:20.4 1:02.3 0:50.0", check=_wrong_taps,
        )  # fmt: skip
        self.app.push_screen(question, lambda text: self._tapped(own, here, text))

    def _tapped(self, own: CaptureKey, here: CaptureKey, text: str | None) -> None:
        if text is None:
            return
        home, at = self.home, _taps(text)
        home.do(
            lambda: home.book.time.tie_said(own[0], here[0], at, (own[1], here[1])),
            f"{capture_name(here)} lies as told",
        )

    def action_let_go(self) -> None:
        """Lets the kept ties of the capture go; one undo brings each back."""
        home = self.home
        for one, two in self._kept():
            said = f"the tie of {capture_name(one)} and {capture_name(two)} is let go"
            home.do(partial(home.book.time.let_go, one[0], two[0], (one[1], two[1])), said)

    def action_halt(self) -> None:
        """Stops what is being read."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.say("stopping ...")

    def action_old_mix(self) -> None:
        """Holds the mix under the cursor against every captured track, in a thread; remarks, no verdict."""
        here = self.capture
        if here is None:
            return
        book, home = self.home.book, self.home

        def work(told: Told, asked: Asked) -> OldMix:
            return book.old_mixes.found(self.song, here[0], here[1], progress=told, cancelled=asked)

        def done(mix: OldMix) -> None:
            from core.workbook.in_time.old_mix_kept import old_mix_says

            home.do(lambda: book.old_mixes.keep(mix), "; ".join(old_mix_says(mix)))

        Reading(home, here[0], "held against the tracks", work, done).start()
        self.laid()

    # Copies ---------------------------------------------------------------------------------------------

    def action_lay(self) -> None:
        """Asks which way and into which folder, then lays copies of the used tracks."""
        self.app.push_screen(AskChoice("Lay copies in their places: which way?", _WAYS, "zero"), self._way)

    def _way(self, way: str | None) -> None:
        if way is None:
            return
        folder = self.home.book.path.absolute().parent / "laid" / re.sub(r"[^\w-]+", "-", self.song)
        question = AskText(
            "Into which folder?", "Files of others in it are not touched; a run that was stopped goes on.",
            draft=f"lay {self.song}", text=str(folder),
        )  # fmt: skip
        self.app.push_screen(question, lambda text: self._lay(way, text))

    def _lay(self, way: str, text: str | None) -> None:
        if text is None:
            return
        home, book, folder = self.home, self.home.book, Path(text).expanduser()

        def work(told: Told, asked: Asked) -> LaidOut:
            return book.laying.lay(self.song, folder, way, progress=told, cancelled=asked)  # type: ignore[arg-type]

        def done(laid: LaidOut) -> None:
            left = f"; not laid: {'; '.join(laid.left_out)}" if laid.left_out else ""
            home.say(f"{counted(len(laid.files), 'file')} in {laid.folder}{left}", bad=bool(laid.left_out))

        Reading(home, self.song, "laid", work, done).start()
        self.laid()


def _taps(text: str) -> list[tuple[float, float]]:
    """Pairs of seconds; ValueError where they are none."""
    from tui.text.songs.ties import seconds_of

    words = re.split(r"[\s,;]+", text.strip())
    if len(words) not in (2, 4):
        raise ValueError("two times are wanted, or four")
    at = [seconds_of(word) for word in words]
    return list(zip(at[::2], at[1::2], strict=True))


def _wrong_taps(text: str) -> str | None:
    try:
        _taps(text)
    except ValueError as error:
        return str(error)
    return None
