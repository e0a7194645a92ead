"""Parts of a song: which track is used for each, where it lies, why, and what is left open."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual import on
from textual.app import RenderResult
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.errors import ReelturnError
from core.songs.parts import Part, SongParts, Source, place_words
from core.songs.written.likeness import likeness
from core.songs.written.part_names import folded, sided
from core.words import often
from tui.asking.choosing import AskChoice
from tui.frame.acts.printing import print_off
from tui.frame.drawn.beside import Line
from tui.frame.drawn.line_list import LineList
from tui.frame.drawn.lines import HeadLine
from tui.frame.place import Place
from tui.frame.side import wrapped
from tui.frame.text_page import TextPage
from tui.keys.keys import bindings
from tui.places.parts.parts_list import PartsList, heads
from tui.safe_text import cells, fit, plain
from tui.text.songs.parts import family_lines, parts_head

LET_GO = "-"
_AROUND = 7  # columns that part the title, the clock and the bench window


class Heads(Widget):
    """The heads of the columns."""

    def render(self) -> RenderResult:
        """One line, as wide as the list."""
        return plain(heads(self.size.width))


class PartsScreen(Place):
    """One song's parts."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "parts.tcss")
    PLACES: ClassVar[tuple[str, ...]] = ("parts",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("parts")

    def __init__(self, song: str) -> None:
        super().__init__()
        self.song = song
        self.found: SongParts | None = None
        self._said = False  # the head is said once; then what was done stays, until the cursor moves on

    def body(self) -> Iterable[Widget]:
        """Heads and list."""
        yield Heads()
        yield PartsList()

    def heading(self) -> str:
        """The song, and how many of its parts are to hand."""
        song = self.home.shelf.songs.get(self.song)
        title = song.title or self.song if song is not None else self.song
        if self.found is None:
            return f"{title}: parts"
        many = f": {self.found.to_hand} of {len(self.found.parts)} to hand"
        head = self.query_one(HeadLine)
        taken = cells(head.middle) + cells(head.right) + _AROUND + len(many)
        room = max(8, self.size.width - taken)  # a long title is cut, the figures never
        return f"{fit(title, room).rstrip() if cells(title) > room else title}{many}"

    def laid(self) -> None:
        """Shows the parts as they are now; copies in a ring are told in one line."""
        try:
            self.found = self.home.book.songs.parts(self.song)
        except ReelturnError as error:
            self.found = None
            self.query_one(PartsList).show_wrong(str(error))
            self.say("the parts cannot be told until that is mended", bad=True)
            return
        self.query_one(PartsList).show(self.found)
        self._show_beside()
        self.refresh_head()
        if not self._said:
            self.say(parts_head(self.found))
        self._said = True
        if not self.found.parts:
            self.say(
                self.home.keyed("no sheet tells of a part of this song: {parts.loose} shows loose ones"),
                bad=True,
            )

    @property
    def part(self) -> Part | None:
        """The part under the cursor."""
        return self.query_one(PartsList).part if self.is_laid_out else None

    @on(LineList.Moved)
    def _moved(self) -> None:
        listed = self.query_one(PartsList)
        if listed.cursor < len(listed.lines):
            self.say(listed.words(listed.cursor))
        self._show_beside()
        self.refresh_foot()

    def _show_beside(self) -> None:
        self.query_one(PartsList).show_beside(self._beside, self.app.size.width)

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out:
            self._show_beside()

    def _beside(self) -> Iterator[Line]:
        """Of the part under the cursor why it is so, and what else carries it; else the whole of its line."""
        listed, part = self.query_one(PartsList), self.part
        told = _why(part) if part is not None else self._rest()
        for role, text in told if listed.lines else ():
            yield from ((role, line) for _, line in wrapped(text))

    def reason_not(self, action: str) -> str | None:
        """Most keys are about the part under the cursor."""
        if action == "same" and self.part is not None and len(self._names()) < 2 and not self._joined():
            return "there is no other name to be one part with"
        if action in ("source", "reel", "why", "choose", "same"):
            part = self.part
            if part is None and action == "why" and self.found is not None and self._rest():
                return None
            if part is None:
                return "the cursor is on no part"
            if action in ("source", "reel") and self._source(part) is None:
                return f"no tape on the shelf carries {part.name}"
            if action == "choose" and not any(
                s.reel in self.home.shelf.reels for s in (*part.use, *part.others)
            ):
                return f"no tape on the shelf carries {part.name}"
        return super().reason_not(action)

    def _source(self, part: Part) -> Source | None:
        return next((s for s in (*part.use, *part.others) if s.reel in self.home.shelf.reels), None)

    def action_source(self) -> None:
        """The track sheet of the source, with the cursor on its track."""
        source = self._source(self.part) if self.part is not None else None
        if source is not None:
            self.home.open_door("track sheet", source.reel, source.sheet, source.track or 0)

    def action_reel(self) -> None:
        """The card of the source's reel."""
        source = self._source(self.part) if self.part is not None else None
        if source is not None:
            self.home.open_door("reel", source.reel)

    def action_why(self) -> None:
        """The whole of what is known of the part; on a line below the parts, all that stands there."""
        part = self.part
        if part is None and self.found is not None:
            self.app.push_screen(
                TextPage(f"{self.found.title or self.song}: open", lambda: tuple(self._rest()))
            )
        if part is not None:
            self.app.push_screen(TextPage(f"Why: {part.called}", lambda: tuple(_why(part))))

    def _rest(self) -> list[tuple[str, str]]:
        """What is open and what is not used, whole."""
        if self.found is None:
            return []
        unused = list(self.found.not_used_lines())
        lines = [("head", "Open"), *(("word", line) for line in self.found.open)] if self.found.open else []
        return [*lines, *([("head", "Not used")] if unused else []), *(("dim", line) for line in unused)]

    def action_choose(self) -> None:
        """Asks which track to use."""
        part = self.part
        if part is None:
            return
        there = self.home.shelf.reels
        listed = [s for s in (*part.use, *part.others) if s.reel in there]
        choices = [(s.label, _source_words(s)) for s in listed]
        if part.chosen:
            choices.append((LET_GO, "as the program chooses"))
        question = AskChoice(f"Which track for {part.called}?", tuple(dict(choices).items()))
        name = f"{part.name}/{part.take}" if part.take else part.name
        self.app.push_screen(question, lambda track: self._chosen(name, track))

    def _chosen(self, part: str, track: str | None) -> None:
        if track is not None:
            home = self.home
            said = home.do(lambda: home.book.songs.use(self.song, part, track))
            if said:
                self.say(home.undoable(said))

    def _names(self) -> list[str]:
        """What the song's parts are called, this one first, then those most like it."""
        part = self.part
        if part is None or self.found is None or part.name.startswith("("):  # a row that nobody named
            return []
        named = (one.name for one in self.found.parts if not one.name.startswith("("))
        names = [name for name in dict.fromkeys(named) if name != part.name]
        return [part.name, *sorted(names, key=lambda name: -likeness(part.name, name))]

    def _joined(self) -> bool:
        """True where the owner said that this part has two names."""
        part, equals = self.part, self.home.shelf.chosen.equal_parts
        return part is not None and not {folded(part.name), sided(part.name)[0]}.isdisjoint(
            {*equals, *equals.values()}
        )

    def action_same(self) -> None:
        """Asks which other name is the same part, on every sheet from now on; or lets that go."""
        names = self._names()
        if not names or (len(names) < 2 and not self._joined()):
            return
        choices = [(name, name) for name in names[1:]]
        if self._joined():
            choices.append((names[0], "its own part again"))
        words = "It holds on every sheet of every song; takes stay apart."
        question = AskChoice(f"Which name is the same part as {names[0]}?", choices, words=words)
        self.app.push_screen(question, lambda other: self._one_part(names[0], other))

    def _one_part(self, name: str, other: str | None) -> None:
        if other is not None:
            home = self.home
            said = home.do(lambda: home.book.songs.same_part(self.song, name, other))
            if said:
                self.say(home.undoable(said))

    def action_family(self) -> None:
        """The song's tapes as a tree."""
        book, song = self.home.book, self.song
        title = self.found.title if self.found is not None else song
        self.app.push_screen(
            TextPage(f"Family: {title}", lambda: tuple(family_lines(book.songs.family(song))))
        )

    def action_time(self) -> None:
        """The song in time."""
        self.home.open_door("in time", self.song)

    def action_loose(self) -> None:
        """The loose sheets."""
        self.home.open_door("loose sheets")

    def action_pages(self) -> None:
        """Prints both pages of the song."""
        book, song = self.home.book, self.song
        print_off(self.home, "parts and family", lambda folder: book.papers.parts(folder, song=song))


def _why(part: Part) -> Iterable[tuple[str, str]]:
    yield "head", f"{part.called}: {part.labels}, {part.state}"
    yield "word", part.why
    yield "word", place_words(part.place) + (f": {part.place.says}" if part.place.says else "")
    if part.use:
        yield "head", "Used"
        yield from (("word", _source_words(source)) for source in part.sounding)
    if part.others:
        yield "head", "What else carries it"
        yield from (("word", _source_words(source)) for source in part.others)


def _source_words(source: Source) -> str:
    copied = f"copied {often(source.generation)}" if source.generation else "first recording"
    words = [source.label, source.part, copied, source.stage]
    words += [f"check: {source.verdict}"] if source.verdict else []
    words += [f"from {source.copied_from}"] if source.copied_from else []
    words += [source.player] if source.player else []
    return ", ".join(word for word in words if word)
