"""Asks for a key to be pressed: whatever the terminal sends will do, a foot switch too."""

from __future__ import annotations

from collections.abc import Iterable

from textual import events
from textual.widget import Widget
from textual.widgets import Static

from tui.asking.asking import Question
from tui.keys.binding import bound, why_not
from tui.keys.key import Key
from tui.keys.keys import shown, shown_keys
from tui.safe_text import plain


class Catcher(Static, can_focus=True):
    """Hears every key before anything else does."""

    def on_key(self, event: events.Key) -> None:
        """Esc leaves; any other key is the one that was meant."""
        event.stop()
        event.prevent_default()
        page = self.screen
        if isinstance(page, BindKey):
            page.heard(event.key)


class BindKey(Question[bool]):
    """The next key that is pressed does this from now on; one that is taken is refused in one line."""

    FOOT = "Press the key, or step on the switch   {ask.out} leaves everything as it is"

    def __init__(self, key: Key, *, beside: bool) -> None:
        super().__init__(f"Which key for: {key.says}")
        self.key, self.beside = key, beside

    def answers(self) -> Iterable[Widget]:
        """What does it now."""
        now = " or ".join(shown_keys(self.key, self.home.own_keys))
        how = "beside it" if self.beside else "in its place"
        yield Catcher(plain(f"It is {now} now. The new key stands {how}."), markup=False)

    def on_mount(self) -> None:
        """The next key is heard here."""
        self.query_one(Catcher).focus()

    def heard(self, pressed: str) -> None:
        """Takes the key, or says why not and waits for another."""
        if pressed == "escape":
            self.dismiss(None)
            return
        home = self.home
        wrong = why_not(self.key, pressed, home.own_keys)
        if wrong:
            self.trouble(wrong)
            return
        home.keep_choice(
            "keys",
            bound(home.own_keys, self.key, pressed, beside=self.beside),
            self.home.undoable(f"{shown(pressed)}: {self.key.word}"),
        )
        self.dismiss(True)
