"""The chamber's bell: whichever place is open, a touch that is due takes the whole screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.home import Home


def ring(app: Home, now: datetime) -> None:
    """One second's look: opens the bell's screen when a touch is due, rings again while it stands open."""
    from tui.frame.bell import BellScreen

    touch = app.next_touch
    screen = app.screen
    if isinstance(screen, BellScreen):
        screen.tick(now)
        return
    if touch is None or not touch.late(now) or (app.quiet_until is not None and now < app.quiet_until):
        return
    app.push_screen(BellScreen(touch))
    app.bell()
