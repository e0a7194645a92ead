"""The first pass over a shelf: box by box, a line each; what is left out is as on the box before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input, Static

from core.errors import Refused
from core.reels.box.words import called_calibration, told_by_box, told_in_a_line
from core.reels.possible import impossible
from core.reels.reel import Reel
from core.reels.width_words import width_and_tracks
from core.shelf import Shelf
from core.store.exchange.edits import allowed
from core.store.rows.columns import read_key
from core.store.rows.tables import REELS
from core.studio.studio import Studio
from tui.asking.asking import AskFoot, Question
from tui.board.fields import Field, reading
from tui.keys.keys import bindings
from tui.places.chart.reel_run import next_reel
from tui.safe_text import assemble, plain

DRAFT = "box by box"
PARTS = ("width", "location")


class Added(Static):
    """The box that was written down last."""


class AskBoxes(Question[str]):
    """Stays open: Enter writes a box down and asks for the next."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("boxes")
    FOOT = "{ask.yes} adds it and asks for the next   {ask.out} ends; then {any.undo} takes the last back"

    def __init__(self, key: str, before: Mapping[str, str]) -> None:
        super().__init__(f"{key}: what does the box say?")
        self.key, self.before = key, dict(before)
        self.last = ""
        self.with_words = False  # whether what the words on the box tell goes into its fields
        self.words = (
            "Its words; width; place, with ; between. "
            "Another key goes first, with = behind it: R-050= Low Tide; 1/4; A3"
        )

    def answers(self) -> Iterable[Widget]:
        """What was written down last, and one line to type in."""
        yield Added(plain(self._as_before()), markup=False)
        yield Input(self.home.drafts.get(DRAFT, ""), select_on_focus=False)

    def _as_before(self) -> str:
        kept = ", ".join(text for text in self.before.values() if text) or "nothing yet"
        return f"{f'{self.last} was added. ' if self.last else ''}What is left out is taken as: {kept}."

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self.home.drafts[DRAFT] = event.value
        self._read(event.value)

    def _read(self, text: str) -> None:
        """Says what is wrong with the line, else what the words on the box tell."""
        try:
            reel = self._told(text)
        except ValueError as error:
            self.trouble(str(error) if text.strip() else "")
            return
        told = told_in_a_line(reel)
        sentence = (
            f"taken into the fields: {told} ({{boxes.words}} lets go)"
            if self.with_words
            else f"the words tell {told}: {{boxes.words}} takes that into the fields"
        )
        self.query_one(AskFoot).trouble("", self.home.keyed(sentence) if told else "")

    def _told(self, text: str) -> Reel:
        studio = self.home.shelf.studio
        reel = box_told(text, self.key, self.before, studio)
        told = with_its_words(reel, studio) if self.with_words else reel
        for cannot in impossible(told, studio):
            raise ValueError(cannot.told)
        return told

    def action_take_words(self) -> None:
        """Takes what the words tell into the fields of this box, or lets go of it."""
        self.with_words = not self.with_words
        self._read(self.query_one(Input).value)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_yes()

    def action_yes(self) -> None:
        """Adds the box as one change, and asks for the next."""
        home = self.home
        try:
            reel = self._told(self.query_one(Input).value)
        except ValueError as error:
            self.trouble(str(error))
            return

        def act(shelf: Shelf) -> Shelf:
            if reel.key in shelf.reels:
                raise Refused(f"{reel.key} is on the shelf already")
            return allowed(shelf, shelf.with_reel(reel))

        try:
            home.book.change(act, what=f"add {reel.key}")
        except Refused as error:
            self.trouble(str(error))
            return
        home.took_over()
        self.last = reel.key
        self.before = {name: Field(name, REELS.columns[name]).text(reel) for name in PARTS}
        self.key = _after(reel.key, home.shelf)
        self._next()

    def _next(self) -> None:
        title = f"{self.key}: what does the box say?"
        self.query(Static).first().update(assemble((title, "bold $primary"), f"\n{self.words}"))
        self.query_one(Added).update(plain(self._as_before()))
        self.query_one(Input).value, self.with_words = "", False
        self.home.drafts.pop(DRAFT, None)
        self.query_one(AskFoot).trouble("")

    def action_out(self) -> None:
        """Ends; answers with the box added last."""
        self.dismiss(self.last or None)


def _after(key: str, shelf: Shelf) -> str:
    """The key to go on with: counted on from one that was typed, where it ends in a number that is free."""
    head = key.rstrip("0123456789")
    tail = key[len(head) :]
    following = f"{head}{int(tail) + 1:0{len(tail)}}" if tail and not called_calibration(key) else ""
    return following if following and following not in shelf.reels else next_reel(shelf)


def box_told(text: str, key: str, before: Mapping[str, str], studio: Studio) -> Reel:
    """The reel of one line, ``Low Tide; 1/4; A3``; ValueError says what would be right."""
    first, sign, rest = text.partition("=")
    if sign and first.strip() and ";" not in first:
        key, text = _key_before(first.strip(), key, text), rest
    elif text.partition(";")[0].strip() == "?":
        raise ValueError(
            "wanted: what is written on the box; its width; its place, as in Low Tide; 1/4; A3. "
            f"Where a ? is all that it says: {key}= ?"
        )
    parts = [part.strip() for part in text.split(";")]
    if len(parts) > 3:
        raise ValueError("its words; width; place: at most two ; on a line")
    if not any(parts):
        raise ValueError("words, or ; and a width")
    reel = Reel(key, parts[0])
    for number, name in enumerate(PARTS, 1):
        typed = parts[number] if len(parts) > number else ""
        given = before.get(name, "") if typed in ("", ".") else typed  # in a run `.` keeps the field, too
        if name == "width" and (beside := width_and_tracks(given)):
            given, tracks = beside[0] or before.get(name, ""), beside[1]
            reel = _put(reel, "tracks", tracks, studio) if tracks else reel
        reel = _put(reel, name, given, studio)
    return replace(reel, box_label=parts[0])


def _key_before(first: str, key: str, text: str) -> str:
    """The key that stands before a ``=``; ValueError where it is more likely words of the box."""
    if " " in first and not any(map(str.isdigit, first)):
        raise ValueError(
            f"{first!r} is no key such as {key}: words with a = in them go behind one, {key}= {text}"
        )
    return read_key(first)


def _put(reel: Reel, name: str, given: str, studio: Studio) -> Reel:
    """The reel with that field read from what was given; ValueError says what would be right."""
    field = Field(name, REELS.columns[name])
    wrong, bad = reading(field, given, studio)
    if bad:
        raise ValueError(wrong if name in wrong else f"{name} {wrong}")
    return field.put(reel, given, studio)


def with_its_words(reel: Reel, studio: Studio) -> Reel:
    """The reel with what the words on its box tell in the fields that nothing else fills."""
    for name, text in told_by_box(reel).items():
        field = Field(name, REELS.columns[name])
        if not field.text(reel):
            reel = field.put(reel, text, studio)
    return reel
