"""The song's card: every field, whether it is ready, and what each reel it needs stands at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.clock import clock_text
from core.errors import Refused
from core.reels.by_number import by_number, needs_by_number
from core.shelf import Shelf
from core.songs.song import Song
from core.store.exchange.edits import allowed
from tui.asking.card import CardActs, fields_and_line
from tui.asking.field_list import FieldLine
from tui.asking.typing import Typing
from tui.board.fields import Field, reading
from tui.frame.drawn.beside import Line
from tui.frame.place import Place
from tui.frame.side import track_lines, wrapped
from tui.keys.keys import bindings
from tui.places.songs.song_rows import song_row

if TYPE_CHECKING:
    from core.shelving.named_in import Kind


class SongCard(Place):
    """One song."""

    FIGURES = "card"
    KIND: ClassVar[Kind] = "song"
    PLACES: ClassVar[tuple[str, ...]] = ("card", "song")
    BINDINGS: ClassVar[list[BindingType]] = bindings("card", "song")

    def __init__(self, key: str, keys: Sequence[str] = ()) -> None:
        super().__init__()
        self.card = CardActs(self, key, keys)
        self.holds(self.card)

    @property
    def key(self) -> str:
        """The key of what is shown."""
        return self.card.key

    def body(self) -> Iterable[Widget]:
        """The fields, and the line to type in."""
        return fields_and_line()

    def laid(self) -> None:
        """Shows the card anew."""
        self.card.laid()

    def other_key(self, key: str) -> None:
        """The card goes on with another key, or is closed without one."""
        self.card.other_key(key)

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out and self.is_there():
            self.card.show_beside()

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        self.card.typed(event)

    @on(Typing.Done)
    def _taken(self, event: Typing.Done) -> None:
        self.card.taken(event)

    def action_out(self) -> None:
        """Out of the field first, keeping what was typed; then out of the card."""
        if not self.card.closes_field():
            super().action_out()

    def action_parts(self) -> None:
        """The parts of the song."""
        self.home.open_door("parts", self.key)

    def action_key_acts(self) -> None:
        """Another key, or off the shelf."""
        from tui.asking.key_acts import ask_key

        ask_key(self.home, "song", self.key, self.other_key)

    def heading(self) -> str:
        """Key and title."""
        song = self.home.shelf.songs.get(self.key)
        return f"{self.key}  {song.title}" if song is not None else self.key

    def is_there(self) -> bool:
        """True while the song is on the shelf."""
        return self.key in self.home.shelf.songs

    def thing(self) -> Song:
        """The song."""
        return self.home.shelf.song(self.key)

    def fresh(self, shelf: Shelf) -> Song:
        """The song on that shelf."""
        return shelf.song(self.key)

    def reads(self, field: Field, text: str) -> tuple[str, bool]:
        """As the field reads it; reels by their numbers alone with their keys."""
        told = self._by_number(field, text)
        return (
            (f"{told}? Enter takes it so", False)
            if told
            else reading(field, text, self.home.shelf.studio, self.thing())
        )

    def meant(self, field: Field, text: str) -> str | None:
        """Reels by their numbers alone stand for their keys."""
        return self._by_number(field, text) or field.meant(text, self.home.shelf.studio)

    def _by_number(self, field: Field, text: str) -> str:
        reels = self.home.shelf.reels
        if field.name == "needs" and text.strip():
            return needs_by_number(text, reels)
        return by_number(text, reels) if field.name == "clock_reel" else ""

    def put_back(self, shelf: Shelf, thing: Song) -> Shelf:
        """The shelf with the song changed; unknown and calibration reels are refused."""
        for need in thing.needs:
            reel = shelf.reels.get(need.reel)
            if reel is None:
                parts = "; between two reels stands ;" if "," in need.reel or " " in need.reel else ""
                raise Refused(f"{thing.key} needs {need.reel}, which is not on the shelf{parts}")
            if reel.calibration:
                raise Refused(f"{thing.key} needs {need.reel}, which is a calibration reel")
        return allowed(shelf, shelf.with_song(thing))

    def top_lines(self) -> list[FieldLine]:
        """Ready or not."""
        row = song_row(self.thing(), self.home.board)
        role = {"ready": "good", "barred": "bad", "no reels": "dim"}.get(row.state, "next")
        return [FieldLine("", row.says, role=role)]

    def side_lines(self) -> Iterator[Line]:
        """What the tracks of its reels carry by the sheets of this song, and where it lies on each."""
        shelf, song = self.home.shelf, self.thing()
        for need in song.needs:
            if need.reel not in shelf.reels:
                continue
            at = (
                ""
                if need.start is None or need.end is None
                else f"{clock_text(need.start)}-{clock_text(need.end)}"
            )
            yield from wrapped(f"{need.reel} {at or 'place not known'}")
            yield from track_lines(shelf, need.reel, song=song.key)
        if not song.needs:
            yield "head", "No reel is needed yet"

    def end_lines(self) -> list[FieldLine]:
        """Every reel that it needs, with where that stands."""
        board = self.home.board
        lines = [FieldLine("", "Its reels", role="head")]
        for need in self.thing().needs:
            if need.reel in board.shelf.reels:
                row = board.row(need.reel)
                words = f"{need.reel:<8} {row.stage:<12} {row.step.words or 'done'}   {row.says}"
            else:
                words = f"{need.reel} is not on the shelf"
            lines.append(FieldLine("", f"  {words}", role="word"))
        return [*lines, *self._family()]

    def _family(self) -> list[FieldLine]:
        """The tapes that carry it, and which was copied from which."""
        try:
            kin = self.home.book.songs.family(self.key)
        except Refused as error:
            return [FieldLine("", "Its family", role="head"), FieldLine("", f"  {error}", role="bad")]
        lines = [FieldLine("", "Its family", role="head")] if kin else []
        for one in kin:
            limb = "   " * one.depth
            sign = ">" if one.used else " "  # as the command tells it: never by colour alone
            lines.append(
                FieldLine("", f" {limb}{sign} {one.tracks}  {one.words}", role="good" if one.used else "word")
            )
        return lines

    def beside(self, field: Field) -> str:
        """Nothing stands beside a field of a song."""
        return ""

    def proposed(self, field: Field) -> str:
        """Nothing is proposed of a song."""
        return ""

    def odd(self, field: Field, thing: Song) -> str:
        """Nothing of a song is asked twice."""
        return ""
