"""What the cards share: fields as lines, one line to type in, each field taken and undone on its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from textual import on
from textual.binding import BindingType
from textual.events import Resize
from textual.widget import Widget

from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Song
from tui.asking.field_list import FieldLine, FieldList
from tui.asking.fields_beside import FieldsBeside
from tui.asking.typing import Typing
from tui.board.fields import Field, groups, reading
from tui.frame.place import Place
from tui.frame.side import Line
from tui.keys.keys import bindings

if TYPE_CHECKING:
    from core.shelving.named_in import Kind

T = TypeVar("T", Reel, Song)


class Card(Place, Generic[T]):
    """One thing of the shelf with all its fields. Subclasses tell the thing and how it is put back."""

    PLACES: ClassVar[tuple[str, ...]] = ("card",)
    FIGURES: ClassVar[str] = "card"
    BINDINGS: ClassVar[list[BindingType]] = bindings("card")
    KIND: ClassVar[Kind]

    def __init__(self, key: str, keys: Sequence[str] = ()) -> None:
        super().__init__()
        self.key = key
        self.keys = tuple(keys) or (key,)
        self._over = False
        self._odd_before = ("", "")  # the field, and the text in it of which it was asked whether it is so

    def body(self) -> Iterable[Widget]:
        """The fields, beside them in a wide terminal what else belongs to it; the line to type in."""
        yield FieldsBeside()
        yield Typing()

    def on_resize(self, event: Resize) -> None:
        """Another width has a third to spare, or not."""
        if self.is_laid_out and self.is_there():
            self._show_beside()

    def _show_beside(self) -> None:
        width = self.app.size.width
        self.query_one(FieldsBeside).show_beside(self.side_lines, width)

    def side_lines(self) -> Iterable[Line]:
        """What stands in the right third of a wide terminal."""
        return ()

    def thing(self) -> T:
        """The thing as it is on the shelf now."""
        raise NotImplementedError

    def put_back(self, shelf: Shelf, thing: T) -> Shelf:
        """The shelf with the thing changed."""
        raise NotImplementedError

    def top_lines(self) -> list[FieldLine]:
        """What is told above the fields."""
        return []

    def end_lines(self) -> list[FieldLine]:
        """What is told below the fields."""
        return []

    def beside(self, field: Field) -> str:
        """A word beside a field."""
        return ""

    def proposed(self, field: Field) -> str:
        """What stands in an empty field when it is opened, for Enter to take; empty for nothing."""
        return ""

    def odd(self, field: Field, thing: T) -> str:
        """What is asked once before the thing is written down with that field so; empty for nothing."""
        return ""

    def reads(self, field: Field, text: str) -> tuple[str, bool]:
        """How that text reads in the field, in words, and whether it is wrong."""
        return reading(field, text, self.home.shelf.studio, self.thing())

    def meant(self, field: Field, text: str) -> str | None:
        """What a short word in that field stands for; None where it stands for itself."""
        return field.meant(text, self.home.shelf.studio)

    def is_there(self) -> bool:
        """True while the thing is still on the shelf."""
        return True

    def gone(self) -> None:
        """Its thing is not on the shelf under this key: the card goes on with the new one, or is closed.

        What was being typed goes along, or is kept for when the thing comes back. Asked for once all else
        was done that came with it: whoever renamed it or took it off here has told the card by then.
        """
        if self.is_there() or not self.is_attached or self._over:
            return
        old, new = self.key, self.home.book.shelving.key_now(self.key, self.KIND)
        if new is None:
            self.other_key("")
            self.home.say(f"{old} is not on the shelf any more: its card is closed", bad=True)
            return
        for name in [name for name in self.home.drafts if name.startswith(f"{old} ")]:
            self.home.drafts[f"{new} {name.removeprefix(f'{old} ')}"] = self.home.drafts.pop(name)
        self.other_key(new)
        self.say(f"{old} is {new} now")

    def laid(self) -> None:
        """Shows the card anew."""
        if not self.is_there():
            self.home.call_later(self.gone)
            return
        units = self.home.units
        thing, drafts = self.thing(), self.home.drafts
        lines: list[FieldLine] = self.top_lines()
        for title, fields in groups(thing):
            lines.append(FieldLine("", title, role="head"))
            lines += [
                FieldLine(f.name, f.label, f.shown(thing, units), drafts.get(self._draft(f)), self.beside(f))
                for f in fields
            ]
        self.query_one(FieldList).show([*lines, *self.end_lines()])
        self._show_beside()

    def _draft(self, field: Field) -> str:
        return f"{self.key} {field.label}"

    @property
    def field(self) -> Field | None:
        """The field under the cursor."""
        name = self.query_one(FieldList).name_here
        return next((f for _, fields in groups(self.thing()) for f in fields if f.name == name), None)

    @property
    def word_here(self) -> str:
        """What the field under the cursor is called."""
        return self.field.label if self.field is not None else ""

    def reason_not(self, action: str) -> str | None:
        """A card that stands alone has no next one."""
        if action in ("next_one", "one_before") and len(self.keys) < 2:
            return "no other card was opened with this one"
        return super().reason_not(action)

    def action_edit(self) -> None:
        """Opens the field to type in."""
        field = self.field
        if field is not None:
            kept = field.text(self.thing())
            text = self.home.drafts.get(self._draft(field), kept or self.proposed(field))
            self.query_one(Typing).open(
                text,
                field.label,
                lambda typed: self.reads(field, typed),
                over=field.short and text in (kept, self.proposed(field)),
            )

    @on(Typing.Changed)
    def _typed(self, event: Typing.Changed) -> None:
        field = self.field
        if field is None:
            return
        if event.text != field.text(self.thing()):
            self.home.drafts[self._draft(field)] = event.text
        else:
            self.home.drafts.pop(self._draft(field), None)

    @on(Typing.Done)
    def _taken(self, event: Typing.Done) -> None:
        field = self.field
        if field is None or not self._take(field, event.text):
            return
        self.query_one(Typing).close()
        self.query_one(FieldList).focus()
        self.query_one(FieldList).action_move(1)

    def _take(self, field: Field, text: str) -> bool:
        studio, thing = self.home.shelf.studio, self.thing()
        wrong, bad = self.reads(field, text)
        if bad:
            self.say(f"{field.label} {wrong}", bad=True)
            return False
        self.home.drafts.pop(self._draft(field), None)
        text = self.meant(field, text) or text
        if text == field.text(thing):
            self.laid()
            return True
        odd = self.odd(field, field.put(thing, text, studio))
        if odd and self._odd_before != (field.name, text):
            self._odd_before = (field.name, text)
            self.home.drafts[self._draft(field)] = text
            self.say(self.home.keyed(f"{field.label} {text}? {odd}; {{ask.yes}} again takes it"), bad=True)
            return False
        what = f"{self.key} {field.label}"

        def act(shelf: Shelf) -> Shelf:
            return self.put_back(shelf, field.put(self.fresh(shelf), text, shelf.studio))

        said = f"{what}: {text or 'emptied'}. {self.home.takes_back}"
        if self.home.do(lambda: self.home.book.change(act, what=what), said) is None:
            self.home.drafts[self._draft(field)] = text  # refused: what was typed stays in the field
            return False
        return True

    def fresh(self, shelf: Shelf) -> T:
        """The thing on that shelf."""
        raise NotImplementedError

    def action_clear(self) -> None:
        """Empties the field."""
        if self.field is not None:
            self._take(self.field, "")

    def action_next_one(self) -> None:
        """The next card of those it was opened with."""
        self._turn(1)

    def action_one_before(self) -> None:
        """The card before."""
        self._turn(-1)

    def _turn(self, step: int) -> None:
        there = self.home.shelf.reels if self.KIND == "reel" else self.home.shelf.songs
        self.keys = tuple(key for key in self.keys if key in there)
        self.key = self.keys[(self.keys.index(self.key) + step) % len(self.keys)]
        self.laid()
        self.refresh_head()
        self.refresh_foot()

    def other_key(self, key: str) -> None:
        """The card goes on with another key; the thing is gone without one, and so is its card."""
        if not key:
            self._over = True
            self.dismiss()
            return
        self.keys = tuple(key if one == self.key else one for one in self.keys)
        self.key = key
        self.laid()
        self.refresh_head()

    def action_out(self) -> None:
        """Out of the field first, keeping what was typed; then out of the card."""
        typing = self.query_one(Typing)
        if typing.is_open:
            typing.close()
            field = self.field
            if field is not None and not self.home.drafts.get(self._draft(field), "").strip():
                self.home.drafts.pop(self._draft(field), None)  # nothing was typed
            self.query_one(FieldList).focus()
            self.laid()
            if field is not None and self._draft(field) in self.home.drafts:
                self.say(f"{field.label}: what was typed is kept until you come back to it")
        else:
            super().action_out()
