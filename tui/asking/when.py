"""When something happened: a time, or a place on the tape; how it was read stands below while one types."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import evening_of
from core.evening.playing.when import When, last_time, read_when
from core.logbook.passes import PlayedPass
from core.words import day_text
from tui.asking.asking import AskText

if TYPE_CHECKING:
    from tui.home import Home


def ask_when(
    home: Home, title: str, draft: str, tape: PlayedPass | None, then: Callable[[When], None]
) -> None:
    """Asks for a time of this evening, or a place on that tape."""
    where, now = home.shelf.studio.zone, home.now()
    day = evening_of(now.astimezone(where))
    words = "A time such as 20:07" + (", or the place on the tape such as 12:30." if tape else ".")

    def read(text: str) -> When:
        return read_when(text, day, where, now, tape)

    def told(text: str) -> str:
        when = read(text)
        other = evening_of(when.moment.astimezone(where))
        return when.words if other == day else f"{day_text(other)} {when.words}"

    question = _asked(title, words, draft, read, told)
    home.push_screen(question, lambda text: then(read(text)) if text else None)


def ask_last_time(home: Home, title: str, draft: str, then: Callable[[datetime], None]) -> None:
    """Asks for a time that is over: the last one at which the clock showed it, yesterday's in the morning."""
    where, now = home.shelf.studio.zone, home.now()

    def read(text: str) -> datetime:
        return last_time(text, where, now)

    def words(text: str) -> str:
        moment = read(text)
        return f"{day_text(moment.date())} {moment:%H:%M}"

    told = "A time such as 20:07, today's or last night's; or a whole date, 2026-12-01T20:07."
    question = _asked(title, told, draft, read, words)
    home.push_screen(question, lambda text: then(read(text)) if text else None)


def _asked(
    title: str, words: str, draft: str, read: Callable[[str], object], reads: Callable[[str], str]
) -> AskText:
    def check(text: str) -> str | None:
        try:
            read(text)
        except ValueError as error:
            return f"wants {error}"
        return None

    return AskText(title, words, draft=f"at {draft}", hint="2007", check=check, reads=reads)
