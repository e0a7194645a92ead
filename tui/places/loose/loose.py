"""Loose sheets: proposals decided together, each taken, changed or let go with one key."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from math import exp
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.capture.files.progress import Asked, Told
from core.errors import ReelturnError
from core.sheets.papers import Paper
from core.sheets.proposals import Papers, Proposal
from core.sheets.stretch import Stretch
from core.shelf import Shelf
from core.songs.song import Song
from tui.asking.choosing import AskChoice
from tui.board.reading_words import reading_words
from tui.faults import fault_words
from tui.frame.acts.printing import print_off
from tui.frame.drawn.beside import Line
from tui.frame.drawn.line_list import LineList
from tui.frame.drawn.said_line import RoleLine
from tui.frame.place import Place
from tui.frame.side import wrapped
from tui.frame.text_page import TextPage
from tui.keys.keys import bindings
from tui.places.loose.loose_list import Decided, LooseList, lines_of
from tui.safe_text import fit
from tui.text.songs.papers import because_words, papers_head, sheet_lines, stretch_words, takes_lines
from tui.text.songs.ties import sharing_lines
from tui.workers.reading import Reading

Span = tuple[Fraction, Fraction]
_FOR = (
    ("takes", "which song is each stretch without a sheet? another take counts"),
    ("sharing", "which captures share sound, whatever their sheets say?"),
)
_HEARING = ("held against its songs", "held against itself")


class LooseScreen(Place):
    """The loose sheets, the stretches without a sheet, and what was decided."""

    PLACES: ClassVar[tuple[str, ...]] = ("loose",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("loose")

    def __init__(self) -> None:
        super().__init__()
        self.found: Papers | None = None
        self._of: Shelf | None = None
        self._asked: Shelf | None = None

    def body(self) -> Iterable[Widget]:
        """What runs, and the list."""
        yield RoleLine(id="reading")
        yield LooseList()

    def heading(self) -> str:
        """How many, and how sure."""
        if self.found is None:
            return "Loose sheets"
        return f"Loose sheets: {len(self.found.proposals)}"

    def on_mount(self) -> None:
        """What is being listened to is looked at four times a second."""
        super().on_mount()
        self.set_interval(0.25, self._refresh_reading)

    def _refresh_reading(self) -> None:
        if self.is_laid_out:
            reading, home = self.home.reading, self.home
            if reading is None:
                self.query_one("#reading", RoleLine).show(None)
                return
            mine, width = reading.word in _HEARING, self.size.width
            words = reading_words(
                f"{reading.reel} {reading.word}", reading.progress, width, plain=home.plain_signs,
                stop=home.keyed("{loose.hear}"), sized=not mine,
            )  # fmt: skip
            self.query_one("#reading", RoleLine).show([(fit(words, width), "next")])

    def laid(self) -> None:
        """Shows the sheets; what is not worked out yet is, in a thread."""
        shelf = self.home.shelf
        if self.found is not None and self._of is shelf:
            self._show()
        elif self._asked is not shelf:
            self._asked = shelf
            if self.found is None:  # later, what was done stays said while the rest is worked out anew
                self.say("holding the sheets against the tapes ...")
            self.home.run_worker(self._work, thread=True, group="loose", exit_on_error=False)

    def _work(self) -> None:
        shelf = self.home.book.shelf
        try:
            found: Papers | str = self.home.book.loose.proposals()
        except ReelturnError as error:
            found = str(error)
        except Exception as error:
            found = fault_words(error, self.home.book.path, self.home.now())
        self.home.call_from_thread(self._ready, found, shelf)

    def _ready(self, found: Papers | str, shelf: Shelf) -> None:
        if not self.is_laid_out:
            return
        if isinstance(found, str):
            self.say(found, bad=True)
            return
        first, self.found, self._of = self.found is None, found, shelf
        self._show()
        self.refresh_head()
        self.refresh_foot()
        if first or found.lost:
            self.say("; ".join(found.lost) or papers_head(found), bad=bool(found.lost))

    def _show(self) -> None:
        if self.found is not None:
            self.query_one(LooseList).show(lines_of(self.found))
            self._show_beside()

    @property
    def line(self) -> object:
        """The line under the cursor."""
        return self.query_one(LooseList).line if self.is_laid_out else None

    @on(LineList.Moved)
    def _moved(self) -> None:
        line = self.line
        self.say(because_words(line.because) if isinstance(line, Proposal) else getattr(line, "take", ""))
        self._show_beside()
        self.refresh_foot()

    def _show_beside(self) -> None:
        self.query_one(LooseList).show_beside(self._beside, self.app.size.width)

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out:
            self._show_beside()

    def _beside(self) -> Iterator[Line]:
        """Of the sheet under the cursor why it may be of that tape, and what is written on it."""
        line = self.line
        told: list[tuple[str, str]] = []
        if isinstance(line, Proposal):
            told += [*_why(line), ("word", "")]
        elif isinstance(line, Stretch):
            told += [("head", stretch_words(line)), ("word", line.take)]
        key = line.paper.key if isinstance(line, Proposal) else getattr(line, "sheet", "")
        if key:
            told += sheet_lines(self.home.shelf, self.home.book.loose.paper(key))
        for role, text in told:
            yield from ((role, one) for _, one in wrapped(text))

    def reason_not(self, action: str) -> str | None:
        """Each key is about a sheet, or about a stretch."""
        line = self.line
        if action == "take" and not isinstance(line, Proposal | Stretch):
            return "the cursor is on no loose sheet and no stretch"
        if action == "take" and isinstance(line, Proposal) and line.choice is None:
            return self.home.keyed("no tape is proposed: {loose.other} chooses one")
        if action == "why" and (isinstance(line, Decided) or (isinstance(line, Stretch) and line.take)):
            return None
        if action in ("other", "why") and not isinstance(line, Proposal):
            return "the cursor is on no loose sheet"
        if action == "of_none" and not isinstance(line, Proposal):
            return "the cursor is on no loose sheet"
        if action == "hear" and self.home.reading is not None and self.home.reading.word not in _HEARING:
            return f"{self.home.reading.reel} is being {self.home.reading.word}"
        if action == "part" and not isinstance(line, Decided):
            return "the cursor is on no sheet that was decided"
        if action == "parts" and not self._songs():
            return "no song that is on the shelf is told there"
        if action == "rows" and not isinstance(line, Proposal | Decided | Paper):
            return "the cursor is on no sheet"
        return super().reason_not(action)

    # Deciding --------------------------------------------------------------------------------------------

    def action_take(self) -> None:
        """The proposal is right; or the stretch is a song, which is asked for."""
        line = self.line
        if isinstance(line, Proposal) and line.choice is not None:
            because = f"proposed, {line.sure}: {because_words(line.because)}"
            self._belongs(line.paper.key, line.choice, because)
        elif isinstance(line, Stretch):
            self._ask_song(line)

    def _belongs(self, sheet: str, place: Stretch, because: str) -> None:
        loose, span = self.home.book.loose, _span(place)
        self._decide(lambda: loose.belongs(sheet, place.reel, span, because))

    def _decide(self, act: Callable[[], str]) -> None:
        """Does it, and says so."""
        said = self.home.do(act)
        if said:
            self.say(self.home.undoable(said))

    def action_other(self) -> None:
        """Asks which place it is, the likeliest first."""
        line = self.line
        if not isinstance(line, Proposal) or self.found is None:
            return
        first = [place for place, _ in line.others]
        places = [*([line.choice] if line.choice else []), *first]
        places += [
            place for place in self.found.bare
            if place not in places and not (place.spanned and line.paper.songs
                                            and not {*place.songs} & {*line.paper.songs})
        ]  # fmt: skip
        places += [Stretch(key) for key, reel in self.home.shelf.reels.items()
                   if not reel.calibration and all(one.reel != key for one in places)]  # fmt: skip
        reels = self.home.shelf.reels
        boxes = [reels[place.reel].box_label or reels[place.reel].contents for place in places]
        choices = [
            (str(n), stretch_words(place) + (f"; {box}" if box else ""))
            for n, (place, box) in enumerate(zip(places, boxes, strict=True))
        ]
        question = AskChoice(f"Which tape is {line.paper.key} of?", choices, words=line.paper.words)

        def taken(number: str | None) -> None:
            if number is not None:
                self._belongs(line.paper.key, places[int(number)], "chosen")

        self.app.push_screen(question, taken)

    def _ask_song(self, place: Stretch) -> None:
        listed = _likeliest_first(self.home.shelf, place)
        if not listed:
            self.say("there is no song yet: add one first", bad=True)
            return
        choices = [(song.key, f"{song.key}  {song.title}") for song in listed]
        span = _span(place)
        loose = self.home.book.loose

        def taken(song: str | None) -> None:
            if song is not None and span is not None:
                self._decide(lambda: loose.song_span(song, place.reel, span))

        self.app.push_screen(AskChoice(f"Which song is {place.label}?", choices), taken)

    def action_of_none(self) -> None:
        """The sheet is of no tape we have."""
        line, loose = self.line, self.home.book.loose
        if isinstance(line, Proposal):
            self._decide(lambda: loose.of_no_tape(line.paper.key))

    def action_part(self) -> None:
        """The sheet is undecided again."""
        line, loose = self.line, self.home.book.loose
        if isinstance(line, Decided):
            self._decide(lambda: loose.loose(line.sheet))

    # Hearing ---------------------------------------------------------------------------------------------

    def action_hear(self) -> None:
        """Asks what to listen for, and does it in a thread; while one runs, the same key stops it."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.say("stopping ...")
            return
        self.app.push_screen(
            AskChoice("Listen for what? It reads the captures and takes its time.", _FOR), self._hear
        )

    def _hear(self, what: str | None) -> None:
        if what is None:
            return
        book, home = self.home.book, self.home

        def work(told: Told, asked: Asked) -> tuple[str, ...]:
            if what == "takes":
                looked = book.takes.look(progress=told, cancelled=asked)
                return tuple(takes_lines(looked.found, looked.stretches, looked.songs, book.shelf))
            return tuple(sharing_lines(book.sharing.look(progress=told, cancelled=asked)))

        def done(lines: tuple[str, ...]) -> None:
            home.book.reload()
            home.say(lines[-1])

        word = _HEARING[what == "sharing"]
        Reading(home, "the shelf", word, work, done, kept="what was found so far is kept").start()
        self._refresh_reading()

    # Looking ---------------------------------------------------------------------------------------------

    def action_why(self) -> None:
        """All the evidence, and the other places."""
        line = self.line
        if isinstance(line, Proposal):
            self.app.push_screen(TextPage(f"Why: {line.paper.key}", lambda: tuple(_why(line))))
        elif isinstance(line, Stretch):
            told = (("head", stretch_words(line)), ("word", line.take))
            self.app.push_screen(TextPage(f"Why: {line.label}", lambda: told))
        elif isinstance(line, Decided):
            self.action_rows()  # the reason stands with what the sheet says

    def action_rows(self) -> None:
        """What is written on the sheet."""
        line = self.line
        key = line.paper.key if isinstance(line, Proposal) else getattr(line, "sheet", "")
        if key:
            book = self.home.book
            page = TextPage(f"Sheet {key}", lambda: tuple(sheet_lines(book.shelf, book.loose.paper(key))))
            self.app.push_screen(page)

    def _songs(self) -> list[str]:
        """The songs of the sheet or stretch under the cursor, as far as they are on the shelf."""
        line = self.line
        if isinstance(line, Stretch):
            named = [line.take_of, *line.songs]
        else:
            key = line.paper.key if isinstance(line, Proposal) else getattr(line, "sheet", "")
            named = [row.song for row in self.home.shelf.sheets if key and row.sheet == key]
        return [key for key in dict.fromkeys(named) if key in self.home.shelf.songs]

    def action_parts(self) -> None:
        """The parts of the song; of several it is asked which."""
        songs, home = self._songs(), self.home
        if len(songs) == 1:
            home.open_door("parts", songs[0])
            return
        choices = [(key, f"{key}  {home.shelf.songs[key].title}") for key in songs]

        def taken(song: str | None) -> None:
            if song is not None:
                home.open_door("parts", song)

        self.app.push_screen(AskChoice("The parts of which song?", choices), taken)

    def action_pages(self) -> None:
        """Prints the list and the sheets."""
        print_off(self.home, "loose sheets", self.home.book.papers.loose)


def _span(place: Stretch) -> Span | None:
    if place.start is None or place.end is None:
        return None
    return Fraction(round(place.start)), Fraction(round(place.end))


def _why(one: Proposal) -> Iterable[tuple[str, str]]:
    where = one.choice.label if one.choice is not None else "none of the tapes"
    yield "head", f"{one.paper.key} {one.paper.words}: {where}, {one.sure}"
    yield (
        "dim",
        f"without it the best whole answer is worse by {one.margin:.1f} nats, "
        f"{min(999_999, round(exp(one.margin))):,} : 1; sure from 4, likely from 2",
    )
    yield from (("word", said) for said in one.because)
    for place, because in one.others:
        yield "head", f"else {stretch_words(place)}"
        yield from (("word", said) for said in because)
    readings = " or ".join(reading.edtf for reading in one.paper.dates)
    if readings:
        yield "dim", f"{one.paper.date} is read as {readings}"


def _likeliest_first(shelf: Shelf, place: Stretch) -> list[Song]:
    """Every song: what the stretch sounds like, then those of its reel, first the ones without a place."""
    songs = shelf.songs.values()
    here = [song for song in songs if any(need.reel == place.reel for need in song.needs)]
    bare = [song for song in here if (need := song.span_on(place.reel)) is None or need.start is None]
    sounds = [song for song in songs if song.key == place.take_of]
    return list({song.key: song for song in (*sounds, *bare, *here, *songs)}.values())
