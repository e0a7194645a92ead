"""The chamber's bell: whichever place is open, a touch that is due takes the whole screen."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.app import ReelturnApp

#: How often the bell rings again while nobody answers, and how long "later" puts it off.
AGAIN = timedelta(seconds=20)
LATER = timedelta(minutes=5)


def ring(app: ReelturnApp, now: datetime) -> None:
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
