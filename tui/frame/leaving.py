"""Leaving the program: a running search is stopped, and typing that was never finished is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.asking.asking import AskYes

if TYPE_CHECKING:
    from tui.home import Home


async def leave(app: Home) -> None:
    """Ends the program, at once where nothing is half typed."""
    unfinished = [f"{name}: {text}" for name, text in app.drafts.items() if text.strip() and name != "find"]
    if not unfinished or isinstance(app.screen, LeaveQuestion):
        _end(app)
        return
    words = "This was typed and not taken yet:\n\n" + "\n".join(f"  {line}" for line in unfinished[:8])
    app.push_screen(LeaveQuestion("Leave all the same?", words), lambda yes: _end(app) if yes else None)


class LeaveQuestion(AskYes):
    """Asked once before typing is thrown away."""

    FOOT = "{ask.yes} leaves, and drops it   {ask.out} goes back to it"


def _end(app: Home) -> None:
    """A search that runs is stopped first: its thread would keep the program alive."""
    app.stop_planning()
    touch = app.next_touch
    app.exit(0, message=f"A load is running. Next touch: {touch.words(app.now())}" if touch else None)
