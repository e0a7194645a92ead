"""The reel's card: every field, what is next, what it will take, and what must be said loudly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from textwrap import wrap
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.clock import clock_text
from core.conditioning.advisor import advice_of
from core.conditioning.alarms import alarm_of
from core.conditioning.base_look import in_a_load
from core.conditioning.hours_had import short_hours
from core.evening.playing.again import alarm, assumed, treatments_had
from core.evening.playing.passes import notes_of, where_tape_is
from core.evening.tonight.heard_otherwise import follow
from core.logbook.noted import noted_of
from core.reels.box.words import told_by_box
from core.reels.estimate import estimate
from core.reels.photographs import looked_for, photograph_names, photographs_gone
from core.reels.reel import Reel
from core.reels.unlikely import house_curve, odd_tracks
from core.shelf import Shelf
from core.store.exchange.edits import allowed
from core.words import counted, day_text, often
from tui.asking.card import CardActs, fields_and_line
from tui.asking.field_list import FieldLine
from tui.asking.typing import Typing
from tui.board.fields import Field, in_words, reading
from tui.board.rows import ChartRow
from tui.frame.acts.on_reels import ReelActs
from tui.frame.drawn.beside import Line
from tui.frame.place import Place
from tui.frame.side import note_lines, track_lines, wrapped
from tui.keys.keys import bindings

if TYPE_CHECKING:
    from core.shelving.named_in import Kind

#: So many notes stand on a card; the history tells the others.
_NOTES = 3


class ReelCard(Place):
    """One reel; opened from anywhere, and goes back to where it was opened."""

    FIGURES = "card"
    KIND: ClassVar[Kind] = "reel"
    PLACES: ClassVar[tuple[str, ...]] = ("card", "reel")
    BINDINGS: ClassVar[list[BindingType]] = bindings("card", "reel")

    def __init__(self, key: str, keys: Sequence[str] = ()) -> None:
        super().__init__()
        self.card = CardActs(self, key, keys)
        self.holds(self.card, ReelActs(self))

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

    def heading(self) -> str:
        """The reel's key and stage."""
        row = self.row
        return f"{self.key}  {row.stage}" if row is not None else self.key

    def side_lines(self) -> Iterator[Line]:
        """Its songs with their places, what its tracks carry, what was noted in each pass."""
        shelf, key = self.home.shelf, self.key
        needs = [(song.title or song.key, need) for song in shelf.songs.values() for need in song.needs]
        mine = [(title, need) for title, need in needs if need.reel == key]
        yield "head", "Its songs" if mine else "No song needs it"
        for title, need in mine:
            span = ""
            if need.start is not None and need.end is not None:
                span = f" {clock_text(need.start)}-{clock_text(need.end)}"
            yield from wrapped(f"{title}{span}")
        yield "word", ""
        yield from track_lines(shelf, key)
        notes = [note for _, note in notes_of(shelf, key)]
        for number in sorted({note.number for note in notes}):
            yield "head", f"Noted in pass {number}"
            yield from note_lines(note for note in notes if note.number == number)

    @property
    def row(self) -> ChartRow | None:
        """The reel's row on the chart."""
        return self.home.board.row(self.key) if self.is_there() else None

    def is_there(self) -> bool:
        """True while the reel is on the shelf."""
        return self.key in self.home.shelf.reels

    def thing(self) -> Reel:
        """The reel."""
        return self.home.shelf.reel(self.key)

    def fresh(self, shelf: Shelf) -> Reel:
        """The reel on that shelf."""
        return shelf.reel(self.key)

    def put_back(self, shelf: Shelf, thing: Reel) -> Shelf:
        """The shelf with the reel changed."""
        return follow(shelf, allowed(shelf, shelf.with_reel(thing), by_the_field=True), self.home.now())

    def beside(self, field: Field) -> str:
        """Facts of the recording are assumed until it was heard; photographs may be gone."""
        if field.name == "photographs":
            return self._not_there(self.thing())
        if field.name == "eq" and house_curve(self.thing().eq):
            return "(no standard is called so: a house's own?)"
        if field.name == "tracks" and odd_tracks(self.thing(), self.home.shelf.studio):
            return "(no head that is known has so many)"
        written = self.proposed(field) if not field.text(self.thing()) else ""
        if written:
            return self.home.keyed(f"(the box says {written}: {{card.edit}} twice takes it)")
        return "(assumed)" if field.name in assumed(self.thing()) else ""

    def odd(self, field: Field, thing: Reel) -> str:
        """Tracks that no head has on that width; photographs that are not there."""
        if field.name == "photographs" and looked_for(thing, self.home.book.path.parent):
            return "not there"
        return odd_tracks(thing, self.home.shelf.studio) if field.name in ("tracks", "width") else ""

    def proposed(self, field: Field) -> str:
        """What the words on the box tell of that field."""
        return told_by_box(self.thing()).get(field.name, "")

    def reads(self, field: Field, text: str) -> tuple[str, bool]:
        """As the field reads it; where photographs were looked for that are not there."""
        told, wrong = reading(field, text, self.home.shelf.studio, self.thing())
        if field.name == "photographs" and not wrong:
            typed = field.put(self.thing(), text, self.home.shelf.studio)
            lost = looked_for(typed, self.home.book.path.parent)
            told = f"not there: {'; '.join(lost)}" if lost else told
        return told, wrong

    def _not_there(self, reel: Reel) -> str:
        """Which photographs are not there, and the key that tells where they were looked for."""
        gone = photographs_gone(reel, self.home.book.path.parent)
        if not gone:
            return ""
        named = f": {', '.join(gone)}" if len(gone) < len(photograph_names(reel)) else ""
        return self.home.keyed(f"(not there{named}; {{card.edit}} tells where)")

    def top_lines(self) -> list[FieldLine]:
        """Next step, what it waits for, the alarm, the estimate."""
        row, reel, shelf = self.row, self.thing(), self.home.shelf
        if row is None:
            return []
        loud = alarm_of(shelf, reel.key) or alarm(shelf, reel)
        lines = [FieldLine("", f"!! {loud}", role="bad")] if loud else []
        lines.append(FieldLine("", f"next: {row.step.words or 'nothing is left to do'}", role="next"))
        if row.step.does == "warm":
            why = advice_of(shelf, reel, self.home.now()).because
            lines.append(FieldLine("", f"why: {why}", role="dim"))
        if row.blocked and row.blocked != row.step.words:
            lines.append(FieldLine("", f"waits: {row.blocked}", role="bad"))
        if row.struck is not None:
            when = f"{day_text(row.struck.start)} {row.struck.start:%H:%M}"
            lines.append(FieldLine("", f"planned {row.struck.kind} {when}: struck out", role="bad"))
        short = short_hours(shelf, reel)
        if short:
            lines.append(FieldLine("", f"it {short.says}", role="bad"))
        had = treatments_had(shelf, reel.key)
        songs = ", ".join(row.songs) or "no song"
        lines_up = self._lines_up() if reel.calibration and not row.songs and not had else ""
        was = "warm for the first time" if reel.chamber else "warmed, not for its hours"
        never = was if in_a_load(shelf, reel) or reel.chamber else "never warmed"
        warmed = f"warmed {often(had)}" if had else never
        lines.append(FieldLine("", lines_up or f"needed by {songs}; {warmed}", role="dim"))
        where = where_tape_is(shelf, reel.key)
        if where is not None:
            lines.append(
                FieldLine("", f"the tape {where if 'stands' in where else f'is {where}'}", role="dim")
            )
        if not lines_up:
            lines.append(FieldLine("", self._estimate(), role="dim"))
        lines += self._noted()
        return [piece for line in lines for piece in _whole(line)]

    def _noted(self) -> Iterator[FieldLine]:
        """The last notes in its history, the newest first."""
        noted = noted_of(self.home.shelf, self.key)
        for one in reversed(noted[-_NOTES:]):
            yield FieldLine("", f"note {day_text(one.at.date())} {one.at:%H:%M}: {one.note}")
        if len(noted) > _NOTES:
            yield FieldLine("", self.home.keyed(f"{{reel.history}} tells all {len(noted)} notes"), role="dim")

    def _lines_up(self) -> str:
        """Of a calibration tape: that it lines decks up, and how long it runs; nothing of it is captured."""
        told = estimate(self.thing(), self.home.shelf.studio, self.home.shelf.own_stocks())
        runs = f"; plays {clock_text(Fraction(round(told.play_seconds)))}" if told.play_seconds else ""
        return f"a calibration tape: it lines decks up, and no capture is made of it{runs}"

    def _estimate(self) -> str:
        shelf = self.home.shelf
        told = estimate(self.thing(), shelf.studio, shelf.own_stocks())
        if told.length_feet is None:
            return "length not known: nothing can be said of its play time"
        from core.quantities import Quantity

        word = self.home.units.get("length", "as typed")
        length = f"{told.length_feet:.0f} ft"
        if word in ("m", "mm", "in"):
            length = in_words(Quantity("", Fraction(told.length_feet) * 12), "length", word)
        play = clock_text(Fraction(round(told.play_seconds))) if told.play_seconds is not None else "?"
        size = f", {told.capture_bytes / 1e9:.1f} GB" if told.capture_bytes else ""
        how = dict(told.how).get("length_feet", "")
        how = "as given" if how.startswith("given as ") else how  # so that the line is whole at 80 columns
        sure = told.sure.removeprefix("length ").replace(" %", "%")  # of the length that stands before it
        passes = counted(told.passes, "pass", "passes") if told.passes else "passes not known"
        return f"{length} ({how}, {sure}); plays {play}, {passes}, {told.machine_minutes or '?'} min{size}"

    def end_lines(self) -> list[FieldLine]:
        """Nothing is told below the fields."""
        return []

    def meant(self, field: Field, text: str) -> str | None:
        """As the field has it."""
        return field.meant(text, self.home.shelf.studio)


def _whole(line: FieldLine) -> Iterator[FieldLine]:
    """The line broken to a terminal of eighty columns: nothing of it is cut."""
    for piece in wrap(line.label, 76, subsequent_indent="  ", break_on_hyphens=False):
        yield replace(line, label=piece)
