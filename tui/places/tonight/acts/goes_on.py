"""What is asked of a tape that stands stopped before it goes on: its warning, the heads, its joint."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from tui.places.tonight.acts.deck_free import Alter

if TYPE_CHECKING:
    from tui.home import Home


def ask_stopped(home: Home, alter: Alter, reel: str, then: Callable[[str], None]) -> None:
    """A tape that stands stopped goes on: is its warning answered, the path wiped, its joint remade?"""
    from core.conditioning.box_asked import box_asked
    from core.evening.answers import ON_HEADS, Cause, squeal_says, squeals
    from core.evening.playing.open_joint import open_squeal
    from core.logbook.passes import NOT_LOOKED
    from core.standing.gates import ready_to_play
    from tui.asking.about_tape import ask_seen
    from tui.asking.choosing import AskChoice

    asks, told = box_asked(home.shelf, home.shelf.reel(reel)), open_squeal(home.shelf, reel)
    if asks:
        ask_seen(home, reel, asks, lambda: ask_stopped(home, alter, reel, then))
        return
    if not told:
        _ask_watched(home, alter, reel, then)
        return

    def answered(chosen: str | None) -> None:
        if chosen is None:
            return
        cause = cast("Cause", chosen)
        what = f"{reel}: {ON_HEADS[cause]}"
        if not alter(lambda shelf: squeals(shelf, reel, cause), what, what):
            return
        at = home.now()
        if ready_to_play(home.shelf, home.shelf.reel(reel), at) is None:
            ask_joint(home, alter, reel, then)
        else:
            home.say(squeal_says(home.shelf, reel, cause, at), bad=True)

    choices = [(cause, says) for cause, says in ON_HEADS.items() if cause != NOT_LOOKED]
    words = "Wipe the heads with a dry swab before it runs on, and clean them and the guides. Never force it."
    home.push_screen(AskChoice(f"{reel} goes on: {told}", choices, words=words), answered)


def _ask_watched(home: Home, alter: Alter, reel: str, then: Callable[[str], None]) -> None:
    """What was told of a stopped tape meanwhile and stands against it: was it looked at closely?"""
    from core.conditioning.on_deck import told_since_it_stood
    from tui.asking.choosing import AskChoice

    against = told_since_it_stood(home.shelf, reel, home.now())
    if not against:
        ask_joint(home, alter, reel, then)
        return
    looked = "looked at closely"

    def answered(chosen: str | None) -> None:
        if chosen == "seen":
            ask_joint(home, alter, reel, lambda why: then("; ".join(filter(None, (looked, why)))))

    choices = [("not", "not yet: it stays where it is"), ("seen", "I looked closely: it runs on, watched")]
    home.push_screen(AskChoice(f"{reel} goes on: {against}", choices), answered)


def ask_joint(home: Home, alter: Alter, reel: str, then: Callable[[str], None]) -> None:
    """A tape that was stopped for a joint: is that remade? ``then`` is told why it goes on all the same."""
    from core.evening.playing.again import repaired
    from core.evening.playing.open_joint import open_joint
    from tui.asking.choosing import AskChoice

    told = open_joint(home.shelf, reel)
    if not told:
        then("")
        return

    def answered(how: str | None) -> None:
        if how == "remade" and alter(
            lambda shelf: repaired(shelf, reel), f"{reel} is mended", f"{reel} is mended"
        ):
            then("")
        elif how == "as it is":
            then("it goes on as it is")

    choices = (("remade", "the joint is remade: it goes on"), ("as it is", "it goes on all the same"))
    home.push_screen(AskChoice(f"{reel} goes on: {told}", choices), answered)
