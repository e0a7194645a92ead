"""The foot of every place: the keys that work there, as many as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import RenderResult
from textual.content import Content
from textual.widget import Widget

from tui.keys.key import Key
from tui.keys.keys import shown_keys
from tui.safe_text import plain


class FootLine(Widget):
    """The keys of the place, as many as there is room for; the one that explains all keys is always there."""

    def __init__(self, keys: Sequence[Key]) -> None:
        super().__init__()
        self.keys = keys

    def render(self) -> RenderResult:
        """Keys that cannot be used now are dim; the one that is pressed all the same says why."""
        screen, keymap = self.screen, getattr(self.app, "own_keys", {})
        ask = getattr(screen, "reason_not", lambda action: None)
        keys = [key for key in self.keys if key.action != f"place('{self.app.current_mode}')"]
        not_now = frozenset(key.id for key in keys if key.foot and ask(key.action))
        gap, kept = chosen(keys, keymap, self.size.width - 1, not_now)
        pieces: list[Content] = []
        for key in kept:
            dim = "dim " if key.id in not_now else ""
            name = shown_keys(key, keymap)[0]
            pieces += [plain(f" {name}", f"{dim}bold $primary"), plain(f" {key.word}{gap}", dim.strip())]
        return Content("").join(pieces)


def chosen(
    keys: Sequence[Key], keymap: dict[str, str], width: int, not_now: frozenset[str] = frozenset()
) -> tuple[str, list[Key]]:
    """The gap between keys, and those that fit into ``width`` columns, in the list's order, `keys` last.

    Keys that can be used now go before those that cannot; the gap is given up where that saves a key one
    works with all the time.
    """
    wide, narrow = (_fitting(keys, keymap, width, not_now, gap) for gap in (1, 0))
    often = [sum(key.foot <= 8 for key in kept) for kept in (wide, narrow)]
    gap, kept = (" ", wide) if often[0] == often[1] else ("", narrow)
    order = {key.id: number for number, key in enumerate(keys)}
    return gap, sorted(kept, key=lambda key: (key.id == "any.keys", order[key.id]))


def _fitting(
    keys: Sequence[Key], keymap: dict[str, str], width: int, not_now: frozenset[str], gap: int
) -> list[Key]:
    kept: list[Key] = []
    shown: set[str] = set()  # a place's own key stands in front of the same key everywhere
    for key in sorted((key for key in keys if key.foot), key=lambda key: (key.id in not_now, key.foot)):
        if shown_keys(key, keymap)[0] in shown:
            continue
        taken = len(shown_keys(key, keymap)[0]) + len(key.word) + 2 + gap
        if taken <= width:
            kept.append(key)
            shown.add(shown_keys(key, keymap)[0])
            width -= taken
    return kept
