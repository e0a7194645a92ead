"""A first hearing: what it settles about a tape, and whether the tape is transferred at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from core.evening.playing.again import heard, set_aside, taken_up
from core.evening.tonight.heard_otherwise import heard_otherwise
from core.shelf import Shelf
from core.store.rows.tables import REELS
from tui.asking.form import FormPage
from tui.asking.form_lines import FormLine, Values
from tui.board.fields import Field, reading

if TYPE_CHECKING:
    from tui.home import Home

#: What a hearing may settle, and what each is called on the form.
SETTLES = {
    "speed": "speed",
    "eq": "eq",
    "level": "level",
    "noise_reduction": "noise reduction",
    "tracks": "channels",
    "contents": "contents",
}
HINTS = {
    "speed": "7.5 ips, 15 ips",
    "eq": "NAB, IEC1, AES",
    "level": "250 nWb/m",
    "noise_reduction": "none, or its name",
    "tracks": "how many tracks carry sound",
    "contents": "what is on it, announced or known by ear",
}

#: The act on the shelf, and what it is called in the history.
Settled = Callable[[Callable[[Shelf], Shelf], str], object]


def ask_hearing(home: Home, key: str, at: datetime, then: Settled) -> None:
    """Asks what was heard on that reel; ``then`` gets the one change that it makes."""
    reel, studio = home.shelf.reel(key), home.shelf.studio
    fields = {name: Field(name, REELS.columns[name]) for name in SETTLES}

    def wrong(name: str) -> Callable[[str], str | None]:
        def say(text: str) -> str | None:
            words, bad = reading(fields[name], text, studio)
            return words if bad else None

        return say

    def lines(values: Values) -> Sequence[FormLine]:
        out = [
            FormLine(name, label, fields[name].text(reel), HINTS[name], wrong(name))
            for name, label in SETTLES.items()
        ]
        start = f"no: {reel.set_aside}" if reel.set_aside else "yes"
        return [*out, FormLine("transfer", "transfer it", start, "yes, or no and why", _wrong_answer)]

    def answered(values: dict[str, str] | None) -> None:
        if values is None:
            return
        changed = {name: values[name] for name in SETTLES if values[name].strip() != fields[name].text(reel)}
        goes, why = answer(values["transfer"])

        def act(shelf: Shelf) -> Shelf:
            tape = shelf.reel(key)
            for name, text in changed.items():
                tape = fields[name].put(tape, text, studio)
            settled = heard_otherwise(shelf.reel(key), heard(shelf.with_reel(tape), key, at), at)
            if not goes:
                return set_aside(settled, key, why)
            return taken_up(settled, key) if reel.set_aside else settled

        told = [f"{SETTLES[name]} {text.strip() or 'not known'}" for name, text in changed.items()]
        told += [f"not to be transferred: {why}"] if not goes else []
        then(act, f"{key} was heard: {', '.join(told) or 'as it was assumed'}")

    first = f"First heard {reel.heard:%Y-%m-%d %H:%M}." if reel.heard else f"First heard now, {at:%H:%M}."
    page = FormPage(
        f"What was heard on {key}?",
        f"{first} What stands here is assumed so far: put right what was heard otherwise.",
        lines,
        draft=f"heard {key}",
        wrong=lambda values: None if values["transfer"].strip() else "transfer it: yes, or no and why",
    )
    home.push_screen(page, answered)


def answer(text: str) -> tuple[bool, str]:
    """``yes``, or ``no`` and why."""
    first, _, rest = text.strip().partition(" ")
    word = first.rstrip(":,").casefold()
    return word in ("yes", "y"), rest.strip()


def _wrong_answer(text: str) -> str | None:
    goes, why = answer(text)
    if goes:
        return None
    no = text.strip().casefold().startswith("no")
    return None if no and why else "yes, or no and why: no, it is a copy of R-001"
