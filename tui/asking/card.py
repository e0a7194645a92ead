"""What the cards share: fields as lines, one line to type in, each field taken and undone on its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, TypeVar

from textual.widget import Widget

from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Song
from tui.asking.field_list import FieldLine, FieldList
from tui.asking.typing import Typing
from tui.board.fields import Field, groups
from tui.frame.acts.held import Acts, Here
from tui.frame.drawn.beside import Line

if TYPE_CHECKING:
    from core.shelving.named_in import Kind

T = TypeVar("T", Reel, Song)
W = TypeVar("W", bound=Widget)


class OnCard(Here, Protocol[T]):
    """The card of one thing: it tells the thing, its lines, and how it is put back."""

    KIND: ClassVar[Kind]

    def is_there(self) -> bool:
        """True while the thing is still on the shelf."""

    def thing(self) -> T:
        """The thing as it is on the shelf now."""

    def fresh(self, shelf: Shelf) -> T:
        """The thing on that shelf."""

    def put_back(self, shelf: Shelf, thing: T) -> Shelf:
        """The shelf with the thing changed."""

    def top_lines(self) -> list[FieldLine]:
        """What is told above the fields."""

    def end_lines(self) -> list[FieldLine]:
        """What is told below the fields."""

    def side_lines(self) -> Iterable[Line]:
        """What stands in the right third of a wide terminal."""

    def beside(self, field: Field) -> str:
        """A word beside a field."""

    def proposed(self, field: Field) -> str:
        """What stands in an empty field when it is opened, for Enter to take; empty for nothing."""

    def odd(self, field: Field, thing: T) -> str:
        """What is asked once before the thing is written down with that field so; empty for nothing."""

    def reads(self, field: Field, text: str) -> tuple[str, bool]:
        """How that text reads in the field, in words, and whether it is wrong."""

    def meant(self, field: Field, text: str) -> str | None:
        """What a short word in that field stands for; None where it stands for itself."""

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the card."""

    def refresh_head(self) -> None:
        """Draws the head anew."""

    def refresh_foot(self) -> None:
        """Draws the foot anew."""

    @property
    def query_one(self) -> Callable[[type[W]], W]:
        """The one widget of that kind."""

    @property
    def is_attached(self) -> bool:
        """True while the card is on the screen."""

    @property
    def dismiss(self) -> Callable[[], object]:
        """Closes the card."""


def fields_and_line() -> Iterable[Widget]:
    """The fields, beside them in a wide terminal what else belongs to it; the line to type in."""
    yield FieldList()
    yield Typing()


class CardActs(Acts[OnCard[Any]]):
    """The fields of one thing of the shelf: shown, typed in, taken and undone each on its own."""

    def __init__(self, here: OnCard[Any], key: str, keys: Sequence[str] = ()) -> None:
        super().__init__(here)
        self.key = key
        self.keys = tuple(keys) or (key,)
        self._over = False
        self._odd_before = ("", "")  # the field, and the text in it of which it was asked whether it is so

    def show_beside(self) -> None:
        width = self.home.size.width
        self.here.query_one(FieldList).show_beside(self.here.side_lines, width)

    def gone(self) -> None:
        """Its thing is not on the shelf under this key: the card goes on with the new one, or is closed.

        What was being typed goes along, or is kept for when the thing comes back. Asked for once all else
        was done that came with it: whoever renamed it or took it off here has told the card by then.
        """
        if self.here.is_there() or not self.here.is_attached or self._over:
            return
        old, new = self.key, self.home.book.shelving.key_now(self.key, self.here.KIND)
        if new is None:
            self.other_key("")
            self.home.say(f"{old} is not on the shelf any more: its card is closed", bad=True)
            return
        for name in [name for name in self.home.drafts if name.startswith(f"{old} ")]:
            self.home.drafts[f"{new} {name.removeprefix(f'{old} ')}"] = self.home.drafts.pop(name)
        self.other_key(new)
        self.here.say(f"{old} is {new} now")

    def laid(self) -> None:
        """Shows the card anew."""
        if not self.here.is_there():
            self.home.call_later(self.gone)
            return
        units = self.home.units
        thing, drafts = self.here.thing(), self.home.drafts
        lines: list[FieldLine] = self.here.top_lines()
        for title, fields in groups(thing):
            lines.append(FieldLine("", title, role="head"))
            lines += [
                FieldLine(
                    f.name, f.label, f.shown(thing, units), drafts.get(self._draft(f)), self.here.beside(f)
                )
                for f in fields
            ]
        self.here.query_one(FieldList).show([*lines, *self.here.end_lines()])
        self.show_beside()

    def _draft(self, field: Field) -> str:
        return f"{self.key} {field.label}"

    @property
    def field(self) -> Field | None:
        """The field under the cursor."""
        name = self.here.query_one(FieldList).name_here
        return next((f for _, fields in groups(self.here.thing()) for f in fields if f.name == name), None)

    @property
    def word_here(self) -> str:
        """What the field under the cursor is called."""
        return self.field.label if self.field is not None else ""

    def reason_not(self, action: str) -> str | None:
        """A card that stands alone has no next one."""
        if action in ("next_one", "one_before") and len(self.keys) < 2:
            return "no other card was opened with this one"
        return None

    def action_edit(self) -> None:
        """Opens the field to type in."""
        field = self.field
        if field is not None:
            kept = field.text(self.here.thing())
            text = self.home.drafts.get(self._draft(field), kept or self.here.proposed(field))
            self.here.query_one(Typing).open(
                text,
                field.label,
                lambda typed: self.here.reads(field, typed),
                over=field.short and text in (kept, self.here.proposed(field)),
            )

    def typed(self, event: Typing.Changed) -> None:
        """Keeps what is half typed."""
        field = self.field
        if field is None:
            return
        if event.text != field.text(self.here.thing()):
            self.home.drafts[self._draft(field)] = event.text
        else:
            self.home.drafts.pop(self._draft(field), None)

    def taken(self, event: Typing.Done) -> None:
        """Takes what was typed, and goes on to the next field."""
        field = self.field
        if field is None or not self._take(field, event.text):
            return
        self.here.query_one(Typing).close()
        self.here.query_one(FieldList).focus()
        self.here.query_one(FieldList).action_move(1)

    def _take(self, field: Field, text: str) -> bool:
        studio, thing = self.home.shelf.studio, self.here.thing()
        wrong, bad = self.here.reads(field, text)
        if bad:
            self.here.say(f"{field.label} {wrong}", bad=True)
            return False
        self.home.drafts.pop(self._draft(field), None)
        text = self.here.meant(field, text) or text
        if text == field.text(thing):
            self.laid()
            return True
        odd = self.here.odd(field, field.put(thing, text, studio))
        if odd and self._odd_before != (field.name, text):
            self._odd_before = (field.name, text)
            self.home.drafts[self._draft(field)] = text
            self.here.say(
                self.home.keyed(f"{field.label} {text}? {odd}; {{ask.yes}} again takes it"), bad=True
            )
            return False
        what = f"{self.key} {field.label}"

        def act(shelf: Shelf) -> Shelf:
            return self.here.put_back(shelf, field.put(self.here.fresh(shelf), text, shelf.studio))

        said = self.home.undoable(f"{what}: {text or 'emptied'}")
        if self.home.do(lambda: self.home.book.change(act, what=what), said) is None:
            self.home.drafts[self._draft(field)] = text  # refused: what was typed stays in the field
            return False
        return True

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
        there = self.home.shelf.reels if self.here.KIND == "reel" else self.home.shelf.songs
        self.keys = tuple(key for key in self.keys if key in there)
        self.key = self.keys[(self.keys.index(self.key) + step) % len(self.keys)]
        self.laid()
        self.here.refresh_head()
        self.here.refresh_foot()

    def other_key(self, key: str) -> None:
        """The card goes on with another key; the thing is gone without one, and so is its card."""
        if not key:
            self._over = True
            self.here.dismiss()
            return
        self.keys = tuple(key if one == self.key else one for one in self.keys)
        self.key = key
        self.laid()
        self.here.refresh_head()

    def closes_field(self) -> bool:
        """True where the line to type in was open: it is closed, and what was typed is kept."""
        typing = self.here.query_one(Typing)
        if not typing.is_open:
            return False
        typing.close()
        field = self.field
        if field is not None and not self.home.drafts.get(self._draft(field), "").strip():
            self.home.drafts.pop(self._draft(field), None)  # nothing was typed
        self.here.query_one(FieldList).focus()
        self.laid()
        if field is not None and self._draft(field) in self.home.drafts:
            self.here.say(f"{field.label}: what was typed is kept until you come back to it")
        return True
