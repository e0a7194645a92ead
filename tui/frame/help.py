"""The `?` page: the keys of the place that is open, made from the one list of keys; then its words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import ClassVar

from textual.binding import BindingType
from textual.screen import Screen
from textual.widget import Widget

from core.tape.told.glossary import entries, words_of
from tui.asking.asking import Question
from tui.board.glyphs import WORDS, glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.drawn.lines import SayLine
from tui.keys.key import PLACES, Key
from tui.keys.keys import bindings, keys_of, shown_keys
from tui.keys.words import Told
from tui.safe_text import clean, fit

_KEYS = 18  # columns for the names of the keys
_LEAD = "  "  # before a line that is neither key nor heading


class KeyLines(LineList):
    """Headings and keys; a long sentence goes on below; what cannot be used now is dim, with the reason."""

    def __init__(self, told: Sequence[tuple[Key | None, str, str]]) -> None:
        super().__init__()
        self.told = tuple(told)
        self._rows: list[tuple[int, str]] = []  # which of what is told, and the piece of its words
        self._broken_to = 0

    def on_mount(self) -> None:
        """Shows them all, as wide as the page will be, the cursor on the first key."""
        first = next((number for number, one in enumerate(self.told) if one[0] is not None), 0)
        self._wrap(first, self.app.size.width - 2)

    def on_resize(self) -> None:
        """Another width breaks the sentences anew."""
        if self.size.width != self._broken_to:
            self._wrap(self._rows[self.cursor][0] if self._rows else 0, self.size.width)

    def _wrap(self, at: int, columns: int) -> None:
        self._broken_to = columns
        width = max(20, columns - _KEYS - 1)
        self._rows = []
        for number, (key, text, why) in enumerate(self.told):
            words = f"{text}  (not now: {why})" if why else text
            pieces = wrap(clean(words), width) if key is not None else _set(text, columns)
            self._rows += [(number, piece) for piece in pieces or [""]]
        self.lay(len(self._rows), next((n for n, row in enumerate(self._rows) if row[0] == at), 0))

    @property
    def key_here(self) -> Key | None:
        """The key under the cursor."""
        return self.told[self._rows[self.cursor][0]][0] if self._rows else None

    def skips(self, index: int) -> bool:
        """Headings, and lines on which a sentence goes on, are passed over."""
        number = self._rows[index][0]
        key, text, _ = self.told[number]
        heading = key is None and not text.startswith(_LEAD)
        return heading or (index > 0 and self._rows[index - 1][0] == number)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Key, what it does, and why it cannot be used now."""
        number, words = self._rows[index]
        key, text, why = self.told[number]
        if key is None:
            return [(fit(words, width), "word" if text.startswith(_LEAD) else "head" if text else "dim")]
        keys = " or ".join(shown_keys(key, getattr(self.app, "own_keys", {})))
        first = index == 0 or self._rows[index - 1][0] != number
        return [
            (fit(f"{self.sign_at(index)} {keys}" if first else "", _KEYS), "dim" if why else "next"),
            (fit(words, width - _KEYS), "dim" if why else "word"),
        ]


def _set(text: str, columns: int) -> list[str]:
    """A heading as it is; a word of the glossary as a paragraph."""
    if not text.startswith(_LEAD):
        return [text]
    return wrap(clean(text), max(20, columns - 2), initial_indent=_LEAD, subsequent_indent=f"{_LEAD}  ")


class KeysPage(Question[None]):
    """Explains the keys of the place under it, and its words; Enter on a key does it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list", "keys")
    FOOT = (
        "{ask.yes} does it   {keys.bind} binds another key   {keys.beside} one more   "
        "{keys.ours} as it came   {keys.all_ours} all   {ask.out} leaves"
    )

    def __init__(self, place: Screen[object]) -> None:
        super().__init__("Keys and words of this place")
        self.place = place
        self.add_class("-page")

    def answers(self) -> Iterable[Widget]:
        """The place's own keys first, then those that work everywhere, then the signs."""
        why_not = getattr(self.place, "reason_not", lambda action: None)
        lines: list[tuple[Key | None, str, str]] = []
        here: tuple[str, ...] = getattr(self.place, "told_here", ())
        if here:
            lines += [
                (None, "The word under the cursor", ""),
                *((None, f"{_LEAD}{told}", "") for told in here),
                (None, "", ""),
            ]
        said = self.place.query(SayLine)
        if said and said.first().text:
            lines += [
                (None, "What was said last", ""),
                (None, f"{_LEAD}{said.first().text}", ""),
                (None, "", ""),
            ]
        parts = getattr(self.place, "PLACES", ())
        for part in (*parts, "any", "list"):
            lines += [(None, PLACES[part], "")]
            lines += [(key, key.says, why_not(key.action) or "") for key in keys_of(part)]
            lines.append((None, "", ""))
        signs = glyphs(plain=self.home.plain_signs)
        lines.append((None, "Signs of the chart", ""))
        lines += [(None, f"{_LEAD}{signs.state(name)}  {words}", "") for name, words in WORDS.items()]
        own = words_of(parts)
        rest = tuple(one for one in entries() if one not in own)
        for title, told in (("Words of this place", own), ("Other words", rest)):
            lines += [(None, "", ""), (None, title, "")]
            lines += [(None, f"{_LEAD}{one.told}", "") for one in told]
        yield KeyLines(lines)

    async def action_yes(self) -> None:  # type: ignore[override]
        """Leaves the page and does what the line says."""
        listed = self.query_one(KeyLines)
        key = listed.key_here
        await self.dismiss(None)
        if key is not None and key.place not in ("list",):
            await self.home.run_action(key.action, self.home if key.place == "any" else self.place)

    def action_bind(self) -> None:
        """Another key in place of this line's."""
        self._ask(beside=False)

    def action_beside(self) -> None:
        """One more key for this line."""
        self._ask(beside=True)

    def _ask(self, *, beside: bool) -> None:
        from tui.frame.bind_key import BindKey

        key = self.query_one(KeyLines).key_here
        if key is not None:
            self.app.push_screen(BindKey(key, beside=beside), lambda done: self._drawn() if done else None)

    def action_as_it_came(self) -> None:
        """This line's key as it came."""
        from tui.keys.binding import as_ours

        key = self.query_one(KeyLines).key_here
        if key is None or key.id not in self.home.own_keys:
            self.trouble("this line has the key that it came with")
            return
        said = self.home.undoable(f"{key.word}: the key as it came")
        self._keep(as_ours(self.home.own_keys, key), said)

    def action_all_as_they_came(self) -> None:
        """Every key as it came."""
        if not self.home.own_keys:
            self.trouble("every line has the key that it came with")
            return
        self._keep({}, self.home.undoable("all keys as they came"))

    def _keep(self, own: dict[str, str], said: Told) -> None:
        self.home.keep_choice("keys", own or None, said)
        self._drawn()

    def _drawn(self) -> None:
        """The lines show the keys as they are now."""
        self.trouble("")
        self.query_one(KeyLines).refresh()
