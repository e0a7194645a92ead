"""The chamber's bell: whichever place is open, a touch that is due takes the whole screen.

A line that is being typed is not covered: the touch waits above it, rings, and comes when the line is done.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.board.chamber import NextTouch
    from tui.home import Home


def ring(app: Home, now: datetime) -> None:
    """One second's look: opens the bell's screen when a touch is due, rings again while it stands open."""
    from tui.board.chamber import next_touches
    from tui.frame.bell import AGAIN, BellScreen
    from tui.frame.by_itself import types_a_line, wait_above, wait_no_more

    app.touches = next_touches(app.shelf, now)  # a take-out falls due by itself
    touch, screen = app.next_touch, app.screen
    if isinstance(screen, BellScreen) and _still_due(app, screen.touch):
        screen.tick(now)
        return
    if isinstance(screen, BellScreen):  # put right or done meanwhile, by another program
        screen.dismiss()
        app.say(f"{screen.touch.do} {screen.touch.chamber or screen.touch.reels[0]}: no longer called for")
        return
    if touch is not None and app.quiet_until is not None and now < app.quiet_until:
        touch = _not_put_off(app, now)
    if touch is None or not touch.late(now):
        wait_no_more(app)
        return
    if types_a_line(app):
        wait_above(app, f" {touch.words(now)}: finish the line, or leave it", now, AGAIN)
        return
    wait_no_more(app)
    app.push_screen(BellScreen(touch))
    app.bell()


def _not_put_off(app: Home, now: datetime) -> NextTouch | None:
    """The first touch that is due and for which the bell was not put off; None where there is none."""
    from tui.board.chamber import next_touches

    due = (one for one in next_touches(app.shelf, now) if one.late(now))
    return next((one for one in due if one.known_by not in app.quiet_for), None)


def _still_due(app: Home, touch: NextTouch) -> bool:
    """Whether that touch is among those that nobody has logged, and about the same reels."""
    from tui.board.chamber import next_touches

    asked = (touch.chamber, touch.do, touch.due, touch.reels)
    return any(
        (one.chamber, one.do, one.due, one.reels) == asked for one in next_touches(app.shelf, app.now())
    )
