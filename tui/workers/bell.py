"""The chamber's bell: whichever place is open, a touch that is due takes the whole screen.

A line that is being typed is not covered: the touch waits above it, rings, and comes when the line is done.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.home import Home


def ring(app: Home, now: datetime) -> None:
    """One second's look: opens the bell's screen when a touch is due, rings again while it stands open."""
    from tui.frame.bell import AGAIN, BellScreen
    from tui.frame.by_itself import types_a_line, wait_above, wait_no_more

    touch = app.next_touch
    screen = app.screen
    if isinstance(screen, BellScreen):
        screen.tick(now)
        return
    if touch is None or not touch.late(now) or (app.quiet_until is not None and now < app.quiet_until):
        wait_no_more(app)
        return
    if types_a_line(app):
        wait_above(app, f" {touch.words(now)}: finish the line, or leave it", now, AGAIN)
        return
    wait_no_more(app)
    app.push_screen(BellScreen(touch))
    app.bell()
