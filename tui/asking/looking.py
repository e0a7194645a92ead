"""Looking at a reel: one form of what the eye can tell, the likely answers first; one undo for all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from textual import events
from textual.widget import Widget
from textual.widgets import Input, Static

from core.errors import Refused
from core.evening.mark import mark
from core.reels.box_words import told_by_words
from core.reels.looked_at import ANSWERS, BASE_SEEN, LOOKED_AT, SEVERAL
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import unmet
from core.store.exchange.edits import allowed
from core.store.rows.tables import REELS
from core.studio.setup import width_key
from tui.asking.choosing import AskChoice
from tui.asking.field_list import FieldList
from tui.asking.form import FormLine, FormPage, Lines, Values
from tui.board.fields import Field, reading
from tui.safe_text import plain

if TYPE_CHECKING:
    from tui.home import Home

HINTS = {
    "width": "1/4, 1/2, 1 or 2; right arrow: as others",
    "tracks": "how many the heads have, not how many are used",
    "base_seen": BASE_SEEN,
    "splices": "how many to remake; empty: none seen",
    "stock": "as on box or flange; right arrow: as others",
    "speed": "if it is written; right arrow: as others",
}


@dataclass(frozen=True, slots=True)
class Answers:
    """What one line can be answered with by a digit; ``many``: several of them together."""

    words: tuple[str, ...]
    many: bool = False
    by_digit: bool = True


class OneAnswer(Input):
    """The line to type in; a digit chooses where the line has answers, the arrows go through them."""

    async def _on_key(self, event: events.Key) -> None:
        page = self.screen
        if isinstance(page, LookPage) and page.chose(event.key):
            event.stop()
            event.prevent_default()
            return
        await super()._on_key(event)


class Choosable(Static):
    """The answers of the line under the cursor, with their digits."""


class LookPage(FormPage):
    """The form; a digit answers a line and goes on to the next."""

    FOOT = (
        "{ask.yes}: next line, at the last takes all   PgDn: last line   {ask.word} tells its words   "
        "{ask.out} leaves"
    )

    def __init__(
        self,
        title: str,
        words: str,
        lines: Lines,
        answers: Callable[[str], Answers | None],
        **more: Any,
    ):
        super().__init__(title, words, lines, **more)
        self.answers_of = answers

    def answers(self) -> Iterable[Widget]:
        """The lines, the answers of one, and the line to type in."""
        listed = FieldList()
        listed.can_focus = False
        yield listed
        yield Choosable("", markup=False)
        yield OneAnswer(select_on_focus=False)

    def on_mount(self) -> None:
        """The cursor is on the first line that nothing answers yet."""
        super().on_mount()
        values = self.values
        empty = [n for n, line in enumerate(self._shown) if not values[line.name]]
        if empty:
            self.query_one(FieldList).cursor = empty[0]

    def _put(self) -> None:
        super()._put()
        one = self.answers_of(self.here.name)
        told = "  ".join(f"{n} {word}" for n, word in enumerate(one.words, 1)) if one and one.by_digit else ""
        several = "   several may be, Enter goes on" if one is not None and one.many else ""
        self.query_one(Choosable).update(plain(f"{told}{several}"))

    def words_here(self) -> tuple[str, ...]:
        """What the line is called, and its answers."""
        one = self.answers_of(self.here.name)
        return (*super().words_here(), *(one.words if one is not None else ()))

    def chose(self, key: str) -> bool:
        """Takes a digit or an arrow as an answer; False where it is to be typed."""
        one = self.answers_of(self.here.name)
        if one is None or not one.words:
            return False
        typed = self.query_one(Input).value
        if key in ("right", "left") and (not one.many):
            if key == "left" and typed not in one.words:
                return False
            step = 1 if key == "right" else -1
            place = one.words.index(typed) + step if typed in one.words else 0
            self._answer(one.words[place % len(one.words)])
            return True
        if not (one.by_digit and key.isdigit() and 0 < int(key) <= len(one.words)):
            return False
        word = one.words[int(key) - 1]
        if one.many and word != "ok":
            there = [part.strip() for part in typed.split(";") if part.strip() not in ("", "ok")]
            there = [part for part in there if part != word] if word in there else [*there, word]
            self._answer("; ".join(there))
            return True
        self._answer(word)
        self._on()
        return True

    def _answer(self, text: str) -> None:
        field = self.query_one(Input)
        with field.prevent(Input.Changed):
            field.value = text
        field.cursor_position = len(text)
        self.trouble("")
        self._keep(text)

    def _keep(self, text: str) -> None:
        line = self.here
        self.home.drafts[f"{self.draft} {line.name}"] = text
        self._lay()

    def _on(self) -> None:
        """The next line; past the signs where the tape is ok, since a sign would gainsay that.

        They can be gone to by hand. Where the digits of two lines mean other things, no line is passed over.
        """
        listed = self.query_one(FieldList)
        condition = [one.strip() for one in self.values["condition"].split(";")]
        ok = self.here.name == "condition" and condition == ["ok"]
        steps = 2 if ok else 1
        if listed.cursor < listed.count - 1:
            listed.action_move(min(steps, listed.count - 1 - listed.cursor))
            self._put()


def look_along(home: Home, keys: Sequence[str]) -> None:
    """Asks what is seen of reel after reel; Escape ends; a form taken as it stands may pass one over."""
    total = len(keys)

    def at(number: int) -> None:
        if number < total:
            place = f", {number + 1} of {total}"
            ask_look(home, keys[number], onward=lambda: at(number + 1), place=place)

    at(0)


def ask_look(
    home: Home,
    key: str,
    then: Callable[[], object] | None = None,
    *,
    also: Callable[[Shelf], Shelf] | None = None,
    onward: Callable[[], object] | None = None,
    place: str = "",
) -> None:
    """Asks what is seen of that reel, writes it down and marks it identified: one undo.

    ``then`` is done once the reel is identified; ``also`` goes into the same change, as a step that is over.
    ``onward`` is done after any answer, and one that tells nothing then passes the reel over; ``place`` says
    where in the row of reels it stands.
    """
    _Looking(home, key, then, onward, also).ask(place)


_FIELDS = {name: Field(name, REELS.columns[name]) for name in LOOKED_AT}


class _Looking:
    """One look at a reel: what stood there, what is asked, and what becomes of the answer."""

    def __init__(
        self,
        home: Home,
        key: str,
        then: Callable[[], object] | None,
        onward: Callable[[], object] | None,
        also: Callable[[Shelf], Shelf] | None = None,
    ) -> None:
        self.home, self.key, self.then, self.onward, self.also = home, key, then, onward, also
        self.reel, self.at = home.shelf.reel(key), home.now()
        self.warned: list[Values] = []
        self.place = ""

    def ask(self, place: str, first: str = "") -> None:
        """Opens the form; ``place`` says where in the row of reels this one stands, ``first`` what is new."""
        self.place = place
        told = " ".join(one for one in (self.reel.box_label, self.reel.location) if one)
        title = f"What is {self.key}{place}? {told}".rstrip()
        words = f"{first}To look is not to play. A digit answers and goes on; "
        words += "PgDn, then Enter takes what stands here"
        words += " (nothing typed: the next reel)." if self.onward is not None else "."
        likely = likely_answers(self.home.shelf, self.reel)
        form = LookPage(title, words, self.lines, likely.get, draft=f"look {self.key}", wrong=self.wrong)
        self.home.push_screen(form, self.answered)

    def lines(self, values: Values) -> Sequence[FormLine]:
        """The lines with what the shelf knows, or takes for likely."""
        start = {name: field.text(self.reel) for name, field in _FIELDS.items()}
        width = values.get("width") or start["width"]
        width = _FIELDS["width"].meant(width, self.home.shelf.studio) or width
        told, hints = told_by_words(self.reel.box_label), dict(HINTS)
        start["tracks"] = start["tracks"] or told.get("tracks", "") or likely_tracks(self.home.shelf, width)
        if "speed" in told:
            hints["speed"] = f"the box says {told['speed']}; right arrow takes it"
        return [
            FormLine(name, label, start[name], hints.get(name, ""), self._wrong_text(name))
            for name, label in LOOKED_AT.items()
        ]

    def wrong(self, values: Values) -> str | None:
        """What gainsays itself; and once, why the reel stays found with no more than that."""
        if self.onward is not None and self._untouched(values):
            return None
        tape = self._seen(self.reel, values)
        gainsaid = tape.contradiction()
        if gainsaid is not None:
            return f"{gainsaid[0]}: {gainsaid[1]}"
        why = self._stays_found(tape)
        if why is None or values in self.warned:
            return None
        self.warned.append(dict(values))
        return self.home.keyed(
            f"{why}; {{ask.yes}} again writes down what is known, and the reel stays found"
        )

    def answered(self, values: dict[str, str] | None) -> None:
        """Writes it down, marks the reel where that is met, and goes on."""
        if values is None:
            return
        if self.onward is None or not self._untouched(values):
            self._take(values)
        elif self.reel.stage == "found" and self._stays_found(self._seen(self.reel, values)) is None:
            self._ask_as_it_stands(values)
        else:
            self.onward()

    def _ask_as_it_stands(self, values: dict[str, str]) -> None:
        """Whether a reel of which all is told was seen so, or is not looked at yet."""

        def answered(what: str | None) -> None:
            if what == "seen":
                self._take(values)
            elif what == "next" and self.onward is not None:
                self.onward()
            elif what is None:
                self.ask(self.place)

        choices = (
            ("seen", "it was looked at and is so: identified"),
            ("next", "not looked at: the next reel"),
        )
        self.home.push_screen(AskChoice(f"{self.key} as it stands?", choices), answered)

    def _take(self, values: dict[str, str]) -> None:
        """Writes the answers down as one change, and goes on."""
        why = self._stays_found(self._seen(self.reel, values))
        key, home = self.key, self.home
        known = f"{key}: written down" if self.reel.stage != "found" else f"{key} is identified"
        said = known if why is None else f"{key}: written down, but it stays found: {why}"
        done = home.do(
            lambda: home.book.change(
                lambda shelf: self._written(shelf, values), what=f"look at {key}", at=self.at
            )
        )
        if done is None:
            self._ask_again(values)
            return
        home.say(f"{said}. {home.takes_back}")
        if self.then is not None and why is None:
            self.then()
        if self.onward is not None:
            self.onward()

    def _ask_again(self, values: Values) -> None:
        """What was typed stands in the form again, beside what the shelf says now."""
        for name in self._answered(values):
            self.home.drafts[f"look {self.key} {name}"] = values[name]
        there = self.home.book.shelf.reels.get(self.key)
        if there is not None and there != self.reel:
            otherwise = self._otherwise(there, values)
            self.reel = there
            self.ask(self.place, f"Another program wrote meanwhile: {'; '.join(otherwise)}. ")

    def _written(self, shelf: Shelf, values: Values) -> Shelf:
        there = shelf.reel(self.key)
        otherwise = self._otherwise(there, values)
        if otherwise:
            raise Refused(f"{self.key} was changed by another program: {'; '.join(otherwise)}")
        now = self._seen(there, values)
        after = allowed(shelf, shelf.with_reel(now), by_the_field=True)
        if now.stage != "found" or unmet(after, now, "identified", self.at) is not None:
            return after
        after = mark(after, self.key, "identified", self.at)
        if self.also is not None:
            return self.also(after)
        from core.evening.tonight.looked import look_is_over

        return look_is_over(shelf, after, self.home.plan, self.key, self.at)

    def _otherwise(self, there: Reel, values: Values) -> list[str]:
        """Answered lines of which the shelf says by now something else than it did, and than the answer."""
        kept = {name: _FIELDS[name].text(there) for name in self._answered(values)}
        return [
            f"{LOOKED_AT[name]} {text or 'emptied'}" for name, text in kept.items()
            if text not in (_FIELDS[name].text(self.reel), values[name].strip())
        ]  # fmt: skip

    def _answered(self, values: Values) -> list[str]:
        """The lines that say something else than stood there when the form was opened."""
        return [name for name, text in values.items() if text.strip() != _FIELDS[name].text(self.reel)]

    def _seen(self, tape: Reel, values: Values) -> Reel:
        """That reel with what is seen of it; a line that nobody answered stays as it is on the shelf now."""
        for name in self._answered(values):
            if values[name].strip() != _FIELDS[name].text(tape):
                tape = _FIELDS[name].put(tape, values[name], self.home.shelf.studio)
        return tape

    def _stays_found(self, tape: Reel) -> str | None:
        if self.reel.stage != "found":
            return None
        return unmet(self.home.shelf.with_reel(tape), tape, "identified", self.at)

    def _untouched(self, values: Values) -> bool:
        return all(line.text.strip() == values[line.name].strip() for line in self.lines(values))

    def _wrong_text(self, name: str) -> Callable[[str], str | None]:
        def say(text: str) -> str | None:
            words, bad = reading(_FIELDS[name], text, self.home.shelf.studio)
            return words if bad else None

        return say


def likely_answers(shelf: Shelf, reel: Reel) -> dict[str, Answers]:
    """The answers of each line, the likely ones first: as most of this shelf's reels have them."""
    decks = [str(width) for deck in shelf.studio.decks for width in deck.widths]
    same = [one for one in shelf.reels.values() if width_key(one.width) == width_key(reel.width)]
    speeds = [str(speed) for deck in shelf.studio.decks for speed in deck.speeds]
    written = told_by_words(reel.box_label).get("speed")
    often = _often([str(one.speed) for one in same if one.speed], speeds)
    return {
        # Widths begin with digits themselves: 1/2 is typed, and no answer is taken for its first digit.
        "width": Answers(
            _often([str(one.width) for one in shelf.reels.values() if one.width], decks), by_digit=False
        ),
        **{name: Answers(words, many=name in SEVERAL) for name, words in ANSWERS.items()},
        "stock": Answers(_often([one.stock for one in same if one.stock], []), by_digit=False),
        "speed": Answers(tuple(dict.fromkeys([written, *often] if written else often)), by_digit=False),
    }


def _often(found: Sequence[str], more: Sequence[str]) -> tuple[str, ...]:
    """Each once, the most frequent first, then the others; at most nine."""
    return tuple(dict.fromkeys([*(word for word, _ in Counter(found).most_common()), *more]))[:9]


def likely_tracks(shelf: Shelf, width: str) -> str:
    """As most reels of that width have; else as the only deck that takes it; empty if neither tells."""
    from core.quantities import read_quantity

    try:
        key = width_key(read_quantity(width, "length"))
    except ValueError:
        return ""
    same = [one.tracks for one in shelf.reels.values() if one.tracks and width_key(one.width) == key]
    if same:
        return str(Counter(same).most_common(1)[0][0])
    decks = {deck.tracks for deck in shelf.studio.decks if key in {width_key(own) for own in deck.widths}}
    return str(decks.pop()) if len(decks) == 1 else ""
