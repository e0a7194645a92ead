"""Windows that open without being asked for: a key that was meant for something else answers none of them."""

from __future__ import annotations

from datetime import datetime, timedelta
from time import monotonic
from typing import TYPE_CHECKING, Any

from textual.widgets import Static

from tui.safe_text import plain

if TYPE_CHECKING:
    from textual.screen import Screen

    from tui.home import Home

    Mixed = Screen[Any]
else:
    Mixed = object  # the style sheet takes a screen's kind from its first base that is one

#: For so long after it has opened such a window hears no key: a hand on its way is not stopped sooner.
DEAF_SECONDS = 1.5
#: A line at which nothing was typed for so long is not being typed any more: someone may have walked away.
IDLE_SECONDS = 120.0


class ByItself(Mixed):
    """Mixed into a screen that opens by itself."""

    by_itself = True
    _opened_at: float | None = None

    def on_mount(self) -> None:
        """Its time begins."""
        self._opened_at = monotonic()

    @property
    def deaf(self) -> bool:
        """True while keys may still be meant for what was there before."""
        since = self._opened_at
        return self.by_itself and (since is None or monotonic() - since < DEAF_SECONDS)

    def hears(self, key: str) -> None:
        """A key that is none of its own is meant for something else, as are those that follow at once."""
        if self.by_itself and key not in self.active_bindings:
            self._opened_at = monotonic()


def types_a_line(app: Home) -> bool:
    """Whether a line is being typed now."""
    focused = app.focused
    kinds = () if focused is None else tuple(base.__name__ for base in type(focused).__mro__)
    return ("Input" in kinds or "TextArea" in kinds) and monotonic() - app.last_key_at < IDLE_SECONDS


class WaitsAbove(Static):
    """What waits above a line that is being typed; one at most on a screen."""

    DEFAULT_CSS = """
    WaitsAbove { dock: top; width: 100%; height: 1; text-style: bold; }
    WaitsAbove { background: $error; color: $background; }
    WaitsAbove:nocolor { text-style: bold reverse; }
    """
    rang: datetime | None = None

    def __init__(self, words: str) -> None:
        super().__init__(plain(words), markup=False)

    def say(self, words: str) -> None:
        """Says it anew."""
        self.update(plain(words))


def wait_above(app: Home, words: str, now: datetime, again: timedelta) -> None:
    """Says above the line that is being typed what waits for its end, and rings every so often."""
    bars = list(app.screen.query(WaitsAbove))
    bar = bars[0] if bars else WaitsAbove(words)
    if bars:
        bar.say(words)
    else:
        app.screen.mount(bar)
    if bar.rang is None or now - bar.rang >= again:
        bar.rang = now
        app.bell()


def wait_no_more(app: Home) -> None:
    """Takes what waited away from every screen."""
    for screen in app.screen_stack:
        for bar in screen.query(WaitsAbove):
            bar.remove()
