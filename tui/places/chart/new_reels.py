"""A run of new reels from one shelf, in one dialog: what they share is typed once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from core.errors import Refused
from core.reels.reel import Reel
from core.shelf import Shelf
from core.store.exchange.edits import allowed
from core.store.rows.tables import REELS
from core.words import counted
from tui.asking.field_list import FieldLine, FieldList
from tui.asking.typing import Typing
from tui.board.fields import Field, reading
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.places.chart.reel_run import SHARED, next_reel, run_of_reels

#: Of the run itself, what is typed over, as a figure of what its reels share is.
_FIGURES = ("first", "how many")


class NewReels(Place):
    """First key, how many, what the boxes say, and the fields that all of them share."""

    PLACES: ClassVar[tuple[str, ...]] = ("run",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("run")

    def body(self) -> Iterable[Widget]:
        """The fields, and the line to type in."""
        yield FieldList()
        yield Typing()

    def heading(self) -> str:
        """What this is."""
        return "New reels"

    @property
    def texts(self) -> dict[str, str]:
        """What was typed so far; it stays until the reels are added."""
        drafts = self.home.drafts
        texts = {
            name: drafts.get(f"new reels {name}", "") for name in ("first", "how many", "boxes", *SHARED)
        }
        texts["first"] = texts["first"] or next_reel(self.home.shelf)
        texts["how many"] = texts["how many"] or "1"
        return texts

    def laid(self) -> None:
        """Shows the fields, and what will be added."""
        texts = self.texts
        lines = [FieldLine("", "The run", role="head"), FieldLine("first", "first key", texts["first"])]
        lines.append(FieldLine("how many", "how many", texts["how many"]))
        lines.append(
            FieldLine("boxes", "boxes say", texts["boxes"], beside="one for each reel, with | between")
        )
        lines.append(FieldLine("", "What all of them share", role="head"))
        lines += [self._shared_line(name, texts[name]) for name in SHARED]
        self.query_one(FieldList).show(lines)
        self.say(self._preview())

    def _shared_line(self, name: str, text: str) -> FieldLine:
        """The field; a text that cannot be, as one that was left in the middle, says so."""
        words, bad = self._reading(name, text)
        label = name.replace("_", " ")
        return (
            FieldLine(name, label, text, beside=f"! {words}", role="bad")
            if bad
            else FieldLine(name, label, text)
        )

    def _reading(self, name: str, text: str) -> tuple[str, bool]:
        """How that reads, beside what else stands in the form."""
        studio, beside = self.home.shelf.studio, Reel("")
        for other, there in self.texts.items():
            if other not in SHARED or other == name:
                continue
            field = Field(other, REELS.columns[other])
            beside = beside if reading(field, there, studio)[1] else field.put(beside, there, studio)
        return reading(Field(name, REELS.columns[name]), text, studio, beside)

    def _preview(self) -> str:
        try:
            reels = run_of_reels(self.texts, self.home.shelf.studio)
        except ValueError as error:
            return str(error)
        keys = f"{reels[0].key} to {reels[-1].key}" if len(reels) > 1 else reels[0].key
        adds = self.home.keyed("{run.add} adds")
        return f"{adds} {len(reels)} reel{'s' if len(reels) > 1 else ''}: {keys}"

    def action_edit(self) -> None:
        """Opens the field to type in."""
        name = self.query_one(FieldList).name_here
        field = Field(name, REELS.columns[name]) if name in SHARED else None

        def read(text: str) -> tuple[str, bool]:
            return self._reading(name, text) if field is not None else ("", False)

        over = name in _FIGURES or (field is not None and field.short)
        self.query_one(Typing).open(self.texts[name], name.replace("_", " "), read, over=over)

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        self.home.drafts[f"new reels {self.query_one(FieldList).name_here}"] = event.text

    @on(Typing.Done)
    def _entered(self, event: Typing.Done) -> None:
        name = self.query_one(FieldList).name_here
        if name in SHARED:
            words, bad = self._reading(name, event.text)
            if bad:
                self.say(f"{name.replace('_', ' ')} {words}", bad=True)
                return
            meant = Field(name, REELS.columns[name]).meant(event.text, self.home.shelf.studio)
            if meant is not None:
                self.home.drafts[f"new reels {name}"] = meant
        self.query_one(Typing).close()
        self.query_one(FieldList).focus()
        self.laid()
        self.query_one(FieldList).action_move(1)

    def action_clear(self) -> None:
        """Empties the field."""
        self.home.drafts.pop(f"new reels {self.query_one(FieldList).name_here}", None)
        self.laid()

    def action_add_all(self) -> None:
        """Adds the whole run as one change."""
        home = self.home
        try:
            reels = run_of_reels(self.texts, home.shelf.studio)
        except ValueError as error:
            self.say(str(error), bad=True)
            return

        def act(shelf: Shelf) -> Shelf:
            there = [reel.key for reel in reels if reel.key in shelf.reels]
            if there:
                raise Refused(f"{', '.join(there[:3])} is on the shelf already: begin at {next_reel(shelf)}")
            return allowed(shelf, shelf.with_reel(*reels))

        what = f"add {counted(len(reels), 'reel')} from {reels[0].key}"
        if home.do(lambda: home.book.change(act, what=what)) is None:
            return
        for name in [name for name in home.drafts if name.startswith("new reels ")]:
            del home.drafts[name]
        self.dismiss(reels[0].key)
        back = home.keyed("{any.undo} takes them back")
        home.say(f"{counted(len(reels), 'reel was', 'reels were')} added from {reels[0].key}. {back}")

    def action_out(self) -> None:
        """Out of the field first; what was typed is there at the next time."""
        typing = self.query_one(Typing)
        if typing.is_open:
            typing.close()
            self.query_one(FieldList).focus()
            self.laid()
        else:
            self.dismiss(None)
