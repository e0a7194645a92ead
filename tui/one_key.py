"""One key at a time: a hand that is faster than the screen loses none, and none goes astray.

The library hands every key on at once to whatever has the cursor, while the key before may still be on its
way to the act that opens a question. So a key waits here until the one before it was taken.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.app import App
    from textual.dom import DOMNode
    from textual.events import Key

#: A key waits no longer than this for the one before: what takes long is seen to take long.
LONGEST_SECONDS = 10.0
#: The same key again within this is a switch that bounces, or one held too long: no finger is so fast.
BOUNCE_SECONDS = 0.06


class OneKey:
    """The keys of one program, in their order."""

    def __init__(self, app: App[int]) -> None:
        self.app = app
        self.waiting: deque[Key] = deque()
        self._since: float | None = None
        self.last: Key | None = None  # the one that was handed down last

    def must_wait(self, key: Key) -> bool:
        """True where the key before was not taken yet: this one is kept, and comes again by itself.

        One that comes up to the program from a part of the screen has waited already.
        """
        if key.is_forwarded:
            return False
        again = bool(self.waiting) and self.waiting[0] is key
        if again:
            self.waiting.popleft()
        busy = self._since is not None and monotonic() - self._since < LONGEST_SECONDS
        if not again and (busy or self.waiting):
            self.waiting.append(key)
            return True
        self._since = monotonic()
        return False

    def bounces(self, opener: Key | None, key: Key) -> bool:
        """True for the key that opened a page, come again before a finger could have pressed it twice."""
        same = opener is not None and opener is self.last and opener.key == key.key
        return same and opener is not None and key.time - opener.time < BOUNCE_SECONDS

    def handed_back(self, key: Key) -> None:
        """A key that came to a question that is over: it is the next to be taken."""
        self.waiting.appendleft(key)

    def given(self, taker: DOMNode) -> None:
        """A key was handed to that part of the screen: it goes up from there to the program.

        What it does may only begin there, as Enter in a line does, and its word comes up from the line again:
        so this goes the same way once more, behind that.
        """
        self._up(taker, lambda: self._up(taker, self._through_what_is_open))

    def _up(self, here: DOMNode | None, then: Callable[[], None]) -> None:
        """Goes the way of the key, behind it: each part has taken it before it comes to the next."""
        if here is None or here is self.app or not here.call_later(self._up, here.parent, then):
            then()

    def _through_what_is_open(self) -> None:
        """What the key opened or closed has heard of it too, before the next key comes."""
        screen = self.app.screen
        if not screen.call_later(self.app.call_later, self._taken):
            self._taken()

    def _taken(self) -> None:
        self._since = None
        if self.waiting:
            self.app.post_message(self.waiting[0])
