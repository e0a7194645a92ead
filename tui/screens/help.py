"""The `?` page: the keys of the place that is open, made from the one list of keys."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType
from textual.screen import Screen
from textual.widget import Widget

from tui.board.glyphs import WORDS, glyphs
from tui.keys import PLACES, Key, bindings, keys_of, shown_keys
from tui.safe_text import fit
from tui.screens.asking import Question
from tui.widgets.line_list import LineList, Part


class KeyLines(LineList):
    """Headings and keys, one line each; keys that cannot be used now are dim, with the reason."""

    def __init__(self, lines: Sequence[tuple[Key | None, str, str]]) -> None:
        super().__init__()
        self.lines = tuple(lines)

    def on_mount(self) -> None:
        """Shows them all."""
        self.lay(len(self.lines), 0)

    def skips(self, index: int) -> bool:
        """Headings are passed over."""
        return self.lines[index][0] is None

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Key, what it does, and why it cannot be used now."""
        key, text, why = self.lines[index]
        if key is None:
            return [(fit(text, width), "head" if text else "dim")]
        keys = " or ".join(shown_keys(key, getattr(self.app, "own_keys", {})))
        words = f"{text}  (not now: {why})" if why else text
        return [
            (fit(f"  {keys}", 18), "dim" if why else "next"),
            (fit(words, width - 18), "dim" if why else "word"),
        ]


class KeysPage(Question[None]):
    """Explains the keys of the place under it; Enter on a key does it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    FOOT = "Enter does what the line says   Esc leaves   keys can be bound anew: see docs/keys.md"

    def __init__(self, place: Screen[Any]) -> None:
        super().__init__("Keys of this place")
        self.place = place
        self.add_class("-page")

    def answers(self) -> Iterable[Widget]:
        """The place's own keys first, then those that work everywhere, then the signs."""
        why_not = getattr(self.place, "reason_not", lambda action: None)
        lines: list[tuple[Key | None, str, str]] = []
        for part in (*getattr(self.place, "PLACES", ()), "any", "list"):
            lines += [(None, PLACES[part], "")]
            lines += [(key, key.says, why_not(key.action) or "") for key in keys_of(part)]
            lines.append((None, "", ""))
        signs = glyphs(self.home.plain_signs)
        lines.append((None, "Signs of the chart", ""))
        lines += [(None, f"  {signs.state(name)}  {words}", "") for name, words in WORDS.items()]
        yield KeyLines(lines)

    async def action_yes(self) -> None:  # type: ignore[override]
        """Leaves the page and does what the line says."""
        listed = self.query_one(KeyLines)
        key = listed.lines[listed.cursor][0]
        await self.dismiss(None)
        if key is not None and key.place not in ("list",):
            await self.home.run_action(key.action, self.home if key.place == "any" else self.place)
