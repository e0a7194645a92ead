"""One's mind changed about a key: another key, off the shelf, two keys of one tape, a box that held two."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from core.conditioning.spreading.handled import handled
from core.reels.by_number import by_number
from tui.asking.asking import AskText, AskYes
from tui.asking.choosing import AskChoice
from tui.text.merged import came_in_short

if TYPE_CHECKING:
    from tui.home import Home


def ask_key(home: Home, kind: str, key: str, then: Callable[[str], object] = lambda key: None) -> None:
    """Asks what is to be with that reel's or song's key; ``then`` gets the key to go on with, or nothing."""
    choices = [("rename", "give it another key, everywhere it is named"), ("remove", "take it off the shelf")]
    if kind == "reel":
        choices += [
            ("merge", "it is the same tape as another key"),
            ("split", "its box held two tapes"),
        ]
    acts = {"rename": _rename, "remove": _remove, "merge": _merge, "split": _split}

    def chosen(what: str | None) -> None:
        if what:
            acts[what](home, kind, key, then)

    home.push_screen(AskChoice(f"{key}: change which?", choices, words="Each is one undo."), chosen)


Then = Callable[[str], object]


def _rename(home: Home, kind: str, key: str, then: Then) -> None:
    def answered(new: str | None) -> None:
        if new and home.do(lambda: home.book.shelving.rename(key, new, kind)) is not None:
            home.say(home.undoable(f"{key} is {new} now"))
            then(new)

    def check(new: str) -> str | None:
        there = {"reel": home.shelf.reels, "song": home.shelf.songs}.get(kind, {})
        taken = new.strip() != key and new.strip() in there
        return f"there is a {kind} {new.strip()} already: give another key" if taken else None

    question = AskText(f"{key}: which key instead?", draft=f"rename {key}", text=key, over=True, check=check)
    home.push_screen(question, answered)


def _remove(home: Home, kind: str, key: str, then: Then) -> None:
    hanging = home.do(lambda: home.book.shelving.goes_with(key, kind), over=False)
    if hanging is None:
        return  # it cannot be, and why was said

    def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
        if yes and home.do(lambda: home.book.shelving.remove([key], kind)) is not None:
            home.say(home.undoable(f"{key} is off the shelf; with it went: {hanging}"))
            then("")

    home.push_screen(AskYes(f"Take {key} off the shelf?", f"With it goes: {hanging}."), answered)


def _merge(home: Home, kind: str, key: str, then: Then) -> None:
    def named(typed: str) -> str:
        return by_number(typed, home.shelf.reels) or typed.strip()

    def answered(typed: str | None) -> None:
        if not typed:
            return
        other = named(typed)
        hung = home.do(lambda: home.book.shelving.hanging_on(other, "reel"), over=False)
        before = home.shelf
        after = home.do(lambda: home.book.shelving.merge(key, other)) if hung else None
        if after is not None:
            came = came_in_short(before, after, key, hung or "", home.now())
            said = f"{other} was the same tape; with it came to {key}: {came}"
            home.say(home.with_struck(home.undoable(said)))
            then(key)

    def check(typed: str) -> str | None:
        there = named(typed) in home.shelf.reels
        return None if there or not typed.strip() else f"no reel {typed.strip()!r} on this shelf"

    words = f"{key} stays, and gets the other's facts, papers and songs."
    question = AskText(
        f"Which key is the same tape as {key}?",
        words,
        draft=f"merge {key}",
        check=check,
        reads=lambda typed: named(typed) if named(typed) != typed.strip() else "",
    )
    home.push_screen(question, answered)


def _split(home: Home, kind: str, key: str, then: Then) -> None:
    def answered(new: str | None) -> None:
        if new and home.do(lambda: home.book.shelving.split(key, new)) is not None:
            stays = home.book.shelving.hanging_on(key, "reel")
            care = handled(home.shelf, new)
            told = home.undoable(f"{new} lay in the box of {key}; with {key} stays: {stays}")
            home.say(f"{care}. {told}" if care else told, bad=bool(care))
            then(new)

    words = "It has the box's words, width and place; papers and songs stay with the first."
    home.push_screen(
        AskText(
            f"Which key has the second tape of {key}?",
            words,
            draft=f"split {key}",
            text=_second(home, key),
            over=True,
        ),
        answered,
    )


def _second(home: Home, key: str) -> str:
    """A key for the second tape of a box: ``R-007b``, as the chart has room for, or the next free one."""
    there = home.shelf.reels
    ends = (*"bcdefghijklmnopqrstuvwxyz", *(f"-{number}" for number in range(2, 1000)))
    return next(name for end in ends if (name := f"{key[: 40 - len(end)]}{end}") not in there)
