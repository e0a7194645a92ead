"""A tape that needs more than was planned: another conditioning, joints remade, or to be set aside."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.errors import ReelturnError
from core.evening.playing.again import condition_again, set_aside, splice_let_go, treatments_had
from core.evening.tonight.transfer import halt
from core.quantities import Quantity, read_quantity
from core.shelf import Shelf
from core.words import often

if TYPE_CHECKING:
    from tui.home import Home

#: What happened to the shelf at that moment, what it is called in the history, and why.
Happened = Callable[[Callable[[Shelf], Shelf], str, datetime, str], None]


def ask_again(home: Home, key: str, at: datetime, happened: Happened) -> None:
    """Asks for how many hours the tape is warmed again; ReelturnError where it may not be, before it asks."""
    from tui.asking.asking import AskText

    shelf, why = home.shelf, "needs another conditioning"
    treatment = shelf.studio.treatment(shelf.reel(key).width)
    usual = str(treatment.hours) if treatment else ""
    condition_again(halt(shelf, key, at, ""), key, _hours(usual or "8 h"), at)
    so_far = often(treatments_had(shelf, key))
    question = AskText(
        f"{key} needs another conditioning",
        f"Warmed {so_far} so far; its playable time ends now. How many hours?",
        draft=f"again {key}",
        hint=usual or "8 h",
        text=usual,
        over=True,
        check=_hours_trouble,
    )

    def answered(text: str | None) -> None:
        if text is not None:
            hours = _hours(text)
            happened(
                lambda shelf: condition_again(halt(shelf, key, at, why), key, hours, at),
                f"{key} needs another {hours}",
                at,
                why,
            )

    home.push_screen(question, answered)


def ask_splice(home: Home, key: str, at: datetime, happened: Happened, *, unanswered: int = 0) -> None:
    """Asks how many joints let go, so many where that is left; a running pass of that tape stops."""
    from tui.asking.asking import AskText

    question = AskText(
        f"A splice of {key} let go",
        "How many joints are to be remade? A running pass stops where it is.",
        draft=f"splice {key}",
        text="1",
        over=True,
        check=lambda text: None if text.isdigit() and 0 < int(text) < 1000 else "a whole number of joints",
    )

    def let_go(joints: int) -> None:
        many = "a joint" if joints == 1 else f"{joints} joints"
        happened(
            lambda shelf: splice_let_go(halt(shelf, key, at, "splice", step_too=False), key, joints),
            f"{many} of {key} let go",
            at,
            "splice",
        )

    def answered(text: str | None) -> None:
        joints = unanswered if text is None else int(text)
        if joints:
            let_go(joints)

    home.push_screen(question, answered)


def ask_aside(home: Home, key: str, at: datetime, happened: Happened) -> None:
    """Asks why the tape is set aside, or where it goes; a running pass of it stops."""
    from tui.asking.asking import AskText

    def put_aside(why: str) -> None:
        happened(
            lambda shelf: set_aside(halt(shelf, key, at, why), key, why),
            f"{key} is set aside: {why}",
            at,
            why,
        )

    question = AskText(f"Set {key} aside?", "Say why, or where it goes.", draft=f"aside {key}")
    home.push_screen(question, lambda why: put_aside(why) if why else None)


def _hours(text: str) -> Quantity:
    typed = text.strip()
    return read_quantity(f"{typed} h" if typed.replace(".", "", 1).isdigit() else typed, "time")


def _hours_trouble(text: str) -> str | None:
    try:
        hours = _hours(text)
    except (ReelturnError, ValueError) as error:
        return str(error)
    return None if 0 < hours.number <= 72 else "between 0 and 72 hours"
