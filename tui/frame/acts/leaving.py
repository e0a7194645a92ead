"""Leaving the program: a running search is stopped, and typing that was never finished is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.evening.playing.passes import running_pass
from core.evening.warming.warm import empty_runs_tonight
from core.store.beside.last_seen import left
from tui.asking.choosing import AskChoice
from tui.frame.acts.draft_words import told
from tui.frame.half_typed import unfinished

if TYPE_CHECKING:
    from tui.home import Home

KEEP, DROP = "keep", "drop"
_WAYS = ((KEEP, "leave: it stands where it was typed the next time"), (DROP, "leave, and drop it"))
_FOOT = "{list.up} and {list.down} move   {ask.yes} leaves so   {ask.out} goes back to it"
_ASKED = "leaving"  # the question by its name: leaving once more leaves at once


async def leave(app: Home) -> None:
    """Ends the program, at once where nothing is half typed."""
    lines = [f"  {told(name)}: {text}" for name, text in unfinished(app).items()]
    if not lines or app.screen.id == _ASKED:
        _end(app)
        return
    more = [f"  and {len(lines) - 8} more"] if len(lines) > 8 else []
    words = "\n".join(["This was typed and not taken yet:\n", *lines[:8], *more, ""])

    def answered(what: str | None) -> None:
        if what == DROP:
            app.drafts.clear()
        if what is not None:
            _end(app)

    question = AskChoice("Leave all the same?", _WAYS, words=words, foot=_FOOT)
    question.id = _ASKED
    app.push_screen(question, answered)


def _end(app: Home) -> None:
    """A search that runs is stopped first: its thread would keep the program alive."""
    app.stop_planning()
    app.half_typed.leave(unfinished(app))
    left(app.book.path)
    touch, tape = app.next_touch, running_pass(app.shelf, app.now())
    said = [f"{tape.reel} is running: its clock goes on."] if tape is not None else []
    said += [f"A load is running. Next touch: {touch.words(app.now())}"] if touch is not None else []
    said += [
        f"The empty run of {chamber} is on: somebody stays till it is switched off."
        for chamber, _ in empty_runs_tonight(app.shelf, app.now())
    ]
    app.exit(0, message="\n".join(said) or None)
