"""Looking at a reel: one form of what the eye can tell, the likely answers first; one undo for all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from core.conditioning.box_asked import box_warns
from core.conditioning.spreading.lies_apart import lies_apart
from core.reels.box.warnings import told as warned
from core.reels.box.words import called_calibration, told_by_box
from core.reels.looked_at import BASE_SEEN, BY_THE_BOX, BY_THE_BOX_BEHIND, LOOKED_AT
from core.reels.needs import stays_closed
from core.reels.possible import made_impossible
from core.reels.reel import Reel
from core.reels.unlikely import odd_tracks
from core.tape.written_like import written_like
from tui.asking.choosing import AskChoice
from tui.asking.form_lines import FormLine, Values
from tui.asking.look.answers import Asked
from tui.asking.look.likely import likely_answers, likely_tracks
from tui.asking.look.look_page import LookPage
from tui.asking.look.seen import FIELDS, LABELS, Also, Seen
from tui.board.fields import reading

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


def look_along(home: Home, keys: Sequence[str], then: Callable[[], object] | None = None) -> None:
    """Asks what is seen of reel after reel; Escape ends; a form taken as it stands may pass one over.

    ``then`` is done behind the last.
    """
    total = len(keys)

    def at(number: int) -> None:
        if number < total:
            place = f", {number + 1} of {total}"
            ask_look(home, keys[number], onward=lambda: at(number + 1), place=place)
        elif then is not None:
            then()

    at(0)


def ask_look(
    home: Home,
    key: str,
    then: Callable[[], object] | None = None,
    *,
    also: Also | None = None,
    onward: Callable[[], object] | None = None,
    place: str = "",
) -> None:
    """Asks what is seen of that reel, writes it down and marks it identified: one undo.

    ``then`` is done once the reel is identified; ``also`` goes into the same change, as a step that is over.
    ``onward`` is done after any answer, and one that tells nothing then passes the reel over; ``place`` says
    where in the row of reels it stands.
    """
    _Looking(home, key, then, onward, also).ask(place)


def _asked(by_the_box: Sequence[str]) -> list[str]:
    """The lines of a look in their order, with those that the box alone tells."""
    names = list(LOOKED_AT)
    place = names.index(BY_THE_BOX_BEHIND) + 1
    return [*names[:place], *by_the_box, *names[place:]]


class _Looking:
    """One look at a reel: what stood there, what is asked, and what becomes of the answer."""

    def __init__(
        self,
        home: Home,
        key: str,
        then: Callable[[], object] | None,
        onward: Callable[[], object] | None,
        also: Also | None = None,
    ) -> None:
        self.home, self.key, self.then, self.onward, self.also = home, key, then, onward, also
        self.reel, self.at = home.shelf.reel(key), home.now()
        self.warned: list[Values] = []
        self.place = ""

    def ask(self, place: str, first: str = "") -> None:
        """Opens the form; ``place`` says where in the row of reels this one stands, ``first`` what is new."""
        self.place = place
        where = f" (place {self.reel.location})" if self.reel.location else ""
        title = f"What is {self.key}{place}? {self.reel.box_label or 'no words on its box'}{where}"
        words = f"{first}To look is not to play. A digit answers and goes on; "
        words += "PgDn, then Enter takes what stands here"
        words += " (nothing typed: the next reel)." if self.onward is not None else "."
        likely = likely_answers(self.home.shelf, self.reel)
        self.page = LookPage(
            title,
            words,
            self.lines,
            likely.get,
            self.asks,
            told_by_box(self.reel),
            draft=f"look {self.key}",
            wrong=self.wrong,
        )
        self.home.push_screen(self.page, self.answered)

    def asks(self, values: Values) -> Asked | None:
        """Which stock it is, where what stands there only resembles one that becomes sticky."""
        if self.onward is not None and self._untouched(values) and self.page.form.here.name != "stock":
            return None  # the reel is passed over
        like = written_like(values["stock"], self.home.shelf.own_stocks())
        if like is None:
            return None
        name = f"{like.makers[0]} {like.model}" if like.makers else like.model
        return Asked("stock", f"written like {name}: is it?", name, "another tape: test it first")

    def lines(self, values: Values) -> Sequence[FormLine]:
        """The lines with what the shelf knows, or takes for likely."""
        start = {name: field.text(self.reel) for name, field in FIELDS.items()}
        width = values.get("width") or start["width"]
        width = FIELDS["width"].meant(width, self.home.shelf.studio) or width
        tape = self._as_wide_as(width)
        told, hints = told_by_box(self.reel), dict(HINTS)
        start["tracks"] = start["tracks"] or told.get("tracks", "") or likely_tracks(self.home.shelf, width)
        found = self.reel.stage == "found"
        if "signs" in told:
            hints["signs"] = f"the box says {told['signs']}: is it so?"
        for name in ("stock", "speed", *BY_THE_BOX):
            if name in told and found:
                start[name] = start[name] or told[name]
                says = "its key" if name == "role" and called_calibration(self.reel.key) else "the box"
                hints[name] = f"as {says} says; emptied where it is not so"
            elif name in told:
                hints[name] = f"the box says {told[name]}; right arrow takes it"
        return [
            FormLine(name, LABELS[name], start[name], hints.get(name, ""), self._wrong_text(name, tape))
            for name in _asked([name for name in BY_THE_BOX if name in told and found])
        ]

    def wrong(self, values: Values) -> str | None:
        """What gainsays itself; and once, why the reel stays found with no more than that."""
        if self.onward is not None and self._untouched(values):
            return None
        seen = self._seen(values)
        gainsaid = seen.of(self.reel).contradiction()
        if gainsaid is not None:
            return f"{gainsaid[0]}: {gainsaid[1]}"
        for cannot in made_impossible(self.reel, seen.of(self.reel), self.home.shelf.studio):
            return cannot.told
        asked = self._asked_once(seen)
        if not asked or values in self.warned:
            return None
        self.warned.append(dict(values))
        return self.home.keyed("; ".join(asked))

    def _asked_once(self, seen: Seen) -> list[str]:
        """What is said before such an answer is taken: a stock on the box left out, why it stays found."""
        asked, told, tape = [], told_by_box(self.reel), seen.of(self.reel)
        stock, warns = told.get("stock"), box_warns(self.home.shelf, tape)
        if stock and not tape.stock:
            asked.append(f"the box says {stock}: right arrow at stock takes it, {{ask.yes}} leaves it out")
        if warns:
            asked.append(f"it says {warned(warns)}: {{ask.yes}} again: looked into, and it is not so")
        odd = odd_tracks(tape, self.home.shelf.studio)
        if odd and {"tracks", "width"} & {*seen.answered()}:
            asked.append(f"tracks {tape.tracks}? {odd}; {{ask.yes}} again takes it")
        why = seen.stays_found(self.home.shelf)
        if why is not None:
            asked.append(f"{why}; {{ask.yes}} again writes down what is known, and the reel stays found")
        return asked

    def answered(self, values: dict[str, str] | None) -> None:
        """Writes it down, marks the reel where that is met, and goes on."""
        if values is None:
            return
        if self.onward is None or not self._untouched(values):
            self._take(values)
        elif self.reel.stage == "found" and self._seen(values).stays_found(self.home.shelf) is None:
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
        key, home, seen = self.key, self.home, self._seen(values)
        why = seen.stays_found(home.shelf)
        known = f"{key}: written down" if self.reel.stage != "found" else f"{key} is identified"
        said = known if why is None else f"{key}: written down, but it stays found: {why}"
        done = home.do(
            lambda: home.book.change(
                lambda shelf: seen.written(shelf, home.plan, self.also), what=f"look at {key}", at=self.at
            )
        )
        if done is None:
            self._ask_again(values)
            return
        after = home.shelf.reels.get(key)
        apart = lies_apart(after) if after is not None and after.troubles != self.reel.troubles else ""
        said = f"{key}: lay it {apart}" if apart else said
        home.say(home.with_struck(home.undoable(said)), bad=bool(apart))
        over = why is None or (after is not None and self.also is not None and stays_closed(after))
        if self.then is not None and over:
            self.then()
        if self.onward is not None:
            self.onward()

    def _ask_again(self, values: Values) -> None:
        """What was typed stands in the form again, beside what the shelf says now."""
        for name in self._seen(values).answered():
            self.home.drafts[f"look {self.key} {name}"] = values[name]
        there = self.home.book.shelf.reels.get(self.key)
        if there is not None and there != self.reel:
            otherwise = self._seen(values).otherwise(there)
            self.reel = there
            self.ask(self.place, f"Another program wrote meanwhile: {'; '.join(otherwise)}. ")

    def _seen(self, values: Values) -> Seen:
        other, word = values["stock"] in self.page.told_no, self.page.told_yes.get(values["stock"], "")
        return Seen(
            self.reel,
            values,
            self.home.shelf.studio,
            self.at,
            other_stock=other,
            box_word=word,
            answers_box=values in self.warned,
        )

    def _untouched(self, values: Values) -> bool:
        return all(line.text.strip() == values[line.name].strip() for line in self.lines(values))

    def _as_wide_as(self, width: str) -> Reel | None:
        """The reel with the width that stands in the form; None where none can be read there."""
        try:
            return FIELDS["width"].put(self.reel, width, self.home.shelf.studio) if width.strip() else None
        except ValueError:
            return None

    def _wrong_text(self, name: str, tape: Reel | None) -> Callable[[str], str | None]:
        beside = tape if name == "tracks" else None  # the others are held against the whole at the end

        def say(text: str) -> str | None:
            words, bad = reading(FIELDS[name], text, self.home.shelf.studio, beside)
            return words if bad else None

        return say
