"""What only the owner can answer about a tape: which stock its box means, how its outermost turns ran."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, cast

from core.conditioning.box_asked import box_asked
from core.conditioning.spreading.shared_air import looked_after
from core.conditioning.tell import HOW_IT_RAN
from core.evening.answers import (
    base_was_seen,
    is_another_stock,
    is_stock,
    is_that_stock,
    stock_asked,
    tried,
    written_alike,
)
from core.words import listed
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice

if TYPE_CHECKING:
    from core.evening.answers import Tried
    from core.shelf import Shelf
    from tui.home import Home


def ask_stock(home: Home, key: str) -> None:
    """Asks which stock it is where the box's word only resembles one; the tape is barred until then."""
    like = stock_asked(home.shelf, key)
    if like is None:
        return
    name = f"{like.makers[0]} {like.model}" if like.makers else like.model
    said = home.shelf.reel(key).stock

    def answered(chosen: str | None) -> None:
        if chosen == "it":
            _does(
                home, key, lambda: home.book.change(lambda s: is_that_stock(s, key), what=f"{key} is {name}")
            )
        elif chosen == "all":
            all_of_them = f"{listed([key, *alike])} are {name}"
            _does(home, key, lambda: home.book.change(every, what=all_of_them))
        elif chosen == "not":
            what = f"{said!r} is not {name}"
            _does(home, key, lambda: home.book.change(lambda s: is_another_stock(s, key), what=what))
        elif chosen == "other":
            question = AskText(f"Which stock is {key}?", draft=f"stock {key}", text=said)
            home.app.push_screen(question, named)

    def every(shelf: Shelf) -> Shelf:
        for one in (key, *alike):
            shelf = is_that_stock(shelf, one)
        return shelf

    def named(text: str | None) -> None:
        if text:
            what = f"{key} is {text}"
            _does(home, key, lambda: home.book.change(lambda s: is_stock(s, key, text), what=what))

    alike = written_alike(home.shelf, key)
    more = listed([*alike[:3], *([f"{len(alike) - 3} more"] if len(alike) > 3 else [])])
    choices = (
        ("it", f"yes, it is {name}"),
        ("not", "no, it is another tape: test it first"),
        ("other", "it is a stock that I name"),
        *(
            (("all", f"yes, and so {'is' if len(alike) == 1 else 'are'} {more}, written so too"),)
            if alike
            else ()
        ),
    )
    words = "Read the number on box, flange or leader. Until then it goes neither on a deck nor into heat."
    home.app.push_screen(
        AskChoice(f"{key}: {said} is written like {name}: is it?", choices, words=words), answered
    )


def ask_tried(home: Home, key: str, then: Callable[[], None] | None = None) -> None:
    """Asks how the outermost turns ran, and tells how they are tried; ``then`` follows clean heads."""
    words = "Turn the outermost turns by hand, slowly; stop at the least pull. Then look at the heads."

    def answered(how: str | None) -> None:
        if how:
            done = cast("Tried", how)
            what = f"{key} tried by hand: {how}"
            _does(home, key, lambda: home.book.change(lambda s: tried(s, key, done), what=what))
            if then is not None and how == "clean":
                then()

    home.app.push_screen(
        AskChoice(f"{key} is to be tested first: how did it run?", HOW_IT_RAN, words=words), answered
    )


def ask_base(home: Home, key: str, then: Callable[[], None]) -> None:
    """Asks what that reel was seen to be made of; ``then`` follows once it is kept."""
    from core.conditioning.base_look import ANSWERS, NOT_YET, look_lines

    def answered(base: str | None) -> None:
        if base == NOT_YET:
            home.say(f"not begun: look at {key} first")
        elif base:
            at = home.now()
            said = "looked at, and not told" if base == "unknown" else f"seen to be {base}"
            _does(
                home,
                key,
                lambda: home.book.change(
                    lambda s: base_was_seen(s, key, base, at), what=f"base of {key}: {said}"
                ),
            )
            then()

    home.app.push_screen(
        AskChoice(f"{key}: what is it made of?", ANSWERS, words="\n".join(look_lines())), answered
    )


def ask_load(home: Home, chamber: str, keys: Sequence[str], then: Callable[[], None]) -> None:
    """Asks whether a chamber that is off since its load was broken off is empty, then about unseen bases."""
    from core.conditioning.lies_off import lies_in
    from core.evening.warming.take_out import all_out

    lie = lies_in(home.shelf, chamber, keys)
    if lie is None:
        ask_bases(home, keys, then)
        return

    def answered(chosen: str | None) -> None:
        if chosen == "out":
            what = f"{listed(lie.reels)} taken out"
            if home.do(lambda: home.book.change(lambda s: all_out(s, lie.reels, home.now()), what=what)):
                ask_bases(home, keys, then)

    choices = (
        ("not", "not yet: nothing goes in"),
        ("out", f"{listed(lie.reels)}: out of the chamber now"),
    )
    title = f"Is {chamber} empty?"
    home.app.push_screen(AskChoice(title, choices, words=f"{lie.says(home.now())}."), answered)


def ask_bases(home: Home, keys: Sequence[str], then: Callable[[], None]) -> None:
    """Before a first heat, asks about the bases that nobody saw, until each is told or taken by its box.

    Lines keep their digits from question to question, and none that is under the cursor begins the heat.
    """
    from core.conditioning.base_look import look_lines, looks_asked

    asked = looks_asked(home.shelf, keys)

    def ask() -> None:
        unseen = looks_asked(home.shelf, asked)
        if not unseen:
            then()
            return
        choices = [(key, _seen_words(home, key, unseen)) for key in asked]
        choices.append((_BY_WORD, "in by the box's word"))
        title = f"First heat of {listed(unseen)}: nobody has seen the base"
        question = AskChoice(title, choices, unseen[0], words="\n".join(look_lines()))
        home.app.push_screen(question, answered)

    def answered(what: str | None) -> None:
        if what == _BY_WORD:
            then()
        elif what is not None:
            ask_base(home, what, ask)

    ask()


_BY_WORD = "by word"


def _seen_words(home: Home, key: str, unseen: Sequence[str]) -> str:
    """One line of that question: what is asked, or what was answered."""
    if key in unseen:
        return f"what was seen of {key}"
    base = home.shelf.reel(key).base_seen
    return f"{key}: {'it cannot be told, by its box' if base == 'unknown' else f'seen to be {base}'}"


def _does(home: Home, key: str, work: object) -> None:
    home.do(work, home.undoable(f"{key}: kept"))  # type: ignore[arg-type]


def ask_seen(home: Home, key: str, air: str, then: Callable[[], None]) -> None:
    """Asks whether a tape was looked at, near mould, too hot, or with a box that warns; ``then`` follows."""
    box = air == box_asked(home.shelf, home.shelf.reel(key))

    def answered(chosen: str | None) -> None:
        if chosen != "clean":
            home.say(f"not begun: look at {key} first")
            return
        what = f"{key} looked at"
        seen = home.do(lambda: home.book.change(lambda s: looked_after(s, key, home.now()), what=what))
        if seen is not None:
            then()

    clean = "I know why, and saw nothing of it: it may run" if box else "I looked at it, and it is clean"
    choices = (("not", "not yet: it stays where it is"), ("clean", clean))
    home.app.push_screen(AskChoice(f"{key}: look at it first", choices, words=f"It {air}."), answered)
