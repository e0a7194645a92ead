"""What is asked of a deck before something begins on it: is its path wiped, is no tape left on its reels?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from core.errors import Refused
from core.evening.afterwards.lay_before import Before, DirtyBefore
from core.evening.tonight.sheet import PLAYS, Step
from core.evening.tonight.steps import deck_of_step, words
from core.shelf import Shelf
from core.words import ended

if TYPE_CHECKING:
    from core.evening.playing.lying import LeftLying
    from tui.home import Home

#: Changes the shelf, under that name in the history, with that to be said; True where it was done.
Alter = Callable[[Callable[[Shelf], Shelf], str, str], object]


def holds_it_up(home: Home, step: Step, at: datetime) -> str:
    """What runs already, so that this does not begin whatever is answered; empty where nothing does."""
    from core.evening.playing.passes import deck_is_free, running_pass

    running = running_pass(home.shelf, at) if step.kind in PLAYS else None
    if running is not None:
        return f"pass {running.number} of {running.reel} is running: stop it first"
    try:
        deck_is_free(home.shelf, deck_of_step(step), at, step.subject)
    except Refused as error:
        return str(error)
    return ""


def ask_path(home: Home, alter: Alter, step: Step, then: Callable[[], None]) -> None:
    """A deck over which a tape ran that leaves something behind is wiped first."""
    from core.conditioning.spreading.dirty_path import path_before
    from core.evening.playing.left_lying import wiped_bare

    deck = deck_of_step(step)
    path = path_before(home.shelf, deck, step.subject, home.now())
    if path is None:
        then()
        return
    told = f"{path.says}. Enter: it is wiped; Esc: not yet."
    _ask(home, alter, f"{words(step)}: is the path of {deck} clean?", told, f"path of {deck} wiped",
         lambda shelf: wiped_bare(shelf, deck, home.now()), then)  # fmt: skip


def ask_reels(home: Home, alter: Alter, step: Step, then: Callable[[], None]) -> None:
    """A tape that lies on both reels is wound back first, or lifted off where it is to go on."""
    from core.evening.playing.left_lying import cleared
    from core.evening.tonight.steps import in_the_way

    lies = in_the_way(home.shelf, step, home.now())
    if lies is None:
        then()
        return
    if lies.wind and not lies.lifted:
        _ask_wind(home, alter, step, lies, then)
        return
    told = f"{lies.says}. Enter: it is {lies.done}; Esc: not yet."
    _ask(home, alter, f"{words(step)}: is {lies.reel} {lies.done}?", told, f"{lies.reel} {lies.done}",
         lambda shelf: cleared(shelf, lies), then)  # fmt: skip


def _ask_wind(home: Home, alter: Alter, step: Step, lies: LeftLying, then: Callable[[], None]) -> None:
    """A tape whose slow wind was stopped is wound on to its head, or both its reels are lifted off."""
    from core.evening.playing.left_lying import lifted_off, wound_back
    from tui.asking.choosing import AskChoice

    ways = {"done": (wound_back, lies.done), "off": (lifted_off, "lifted off")}

    def answered(how: str | None) -> None:
        if how in ways:
            act, done = ways[how]
            what = f"{lies.reel} {done}"
            if alter(lambda shelf: act(shelf, lies.reel), what, what):
                then()

    choices = (
        ("done", f"it is {lies.done}"),
        ("off", "both its reels are lifted off together: it is wound on later"),
        ("not", "not yet"),
    )
    title = f"{words(step)}: what of {lies.reel}?"
    home.push_screen(AskChoice(title, choices, words=ended(lies.says)), answered)


def ask_before(home: Home, found: Sequence[Before], then: Callable[[Sequence[Before]], None]) -> None:
    """Of what is told afterwards: was each deck free by then, and its path wiped? ``then`` gets what was."""
    from tui.asking.choosing import AskChoice

    so: list[Before] = []

    def ask(place: int) -> None:
        if place == len(found):
            then(so)
            return
        one = found[place]

        def answered(how: str | None) -> None:
            if how is not None:
                so.extend([one] if how == "done" else [])
                ask(place + 1)

        title, says, choices = _of_before(one)
        title = f"{words(one.step)} at {one.began:%H:%M}: {title}"
        home.push_screen(AskChoice(title, choices, words=ended(says)), answered)

    ask(0)


def _of_before(one: Before) -> tuple[str, str, list[tuple[str, str]]]:
    """What is asked of it, why, and what may be answered."""
    if isinstance(one, DirtyBefore):
        title = f"was the path of {one.path.deck} clean?"
        choices = [("done", "it was wiped before"), ("not", "it was not wiped: the tape ran over it so")]
        return title, one.path.says, choices
    choices = [("done", f"it was {one.lies.done} before")]
    if not one.lies.lifted:
        choices.append(("aside", "both its reels were lifted off together: it is still to be wound back"))
    return f"{one.lies.reel} lay there", one.lies.says, choices


def _ask(
    home: Home,
    alter: Alter,
    title: str,
    told: str,
    what: str,
    done: Callable[[Shelf], Shelf],
    then: Callable[[], None],
) -> None:
    from tui.asking.asking import AskYes

    def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
        if yes and alter(done, what, what):
            then()

    home.push_screen(AskYes(title, told), answered)
