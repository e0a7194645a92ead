"""The first questions at a terminal: Enter takes the default, `<` goes back, a break loses nothing."""

from __future__ import annotations

import json
import os
import shutil
import textwrap
from pathlib import Path

from core.errors import Unusable
from core.store.studio.first_studio import Question, questions, studio_of, warmth_told
from core.studio.studio import Studio
from tui.commands.typed_line import kept_line

HALF = "half typed: "
BACK = ("<", "back")


def local_zone() -> str:
    """The zone of this machine's clock, as far as it tells; else UTC."""
    named = os.environ.get("TZ", "").removeprefix(":")
    link = os.path.realpath("/etc/localtime")
    for name in (named, link.partition("zoneinfo/")[2]):
        if name:
            try:
                from core.zones import zone

                zone(name)
            except Unusable:
                continue
            return name
    return "UTC"


class Draft:
    """What was answered so far, kept in a file beside the shelf-to-be until the shelf is there."""

    def __init__(self, shelf: Path) -> None:
        self.path = shelf.with_name(f"{shelf.name}.begun")

    def read(self) -> dict[str, str]:
        """The answers of a conversation that was broken off; none where there was none."""
        try:
            found = json.loads(self.path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return {str(name): str(text) for name, text in found.items()} if isinstance(found, dict) else {}

    def keep(self, answers: dict[str, str]) -> None:
        """Keeps what was answered; where that cannot be, the conversation goes on."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self.path.write_text(json.dumps(answers, ensure_ascii=False), encoding="utf-8")
        except OSError:
            return

    def drop(self) -> None:
        """Forgets them: the shelf is there."""
        self.path.unlink(missing_ok=True)


def asked_studio(draft: Draft) -> Studio:
    """The studio that the answers make; Unusable where the conversation ends before its last answer."""
    answers, zone = draft.read(), local_zone()
    tell("A few questions. Enter takes what stands in [ ], `<` goes back; all of it can be changed later.")
    if answers:
        tell("What you answered the last time stands in [ ].")
    number = 0
    while number < len(asked := questions(answers, zone)):
        number = max(0, number + _asked(asked[number], f"{number + 1}/{len(asked)}", answers, draft))
    return studio_of(answers, zone)


def _asked(one: Question, place: str, answers: dict[str, str], draft: Draft) -> int:
    """Asks that one until it is answered: 1 for the next question, -1 for the one before."""
    for line in one.more:
        tell(line, "    ")
    default, refused = answers.get(one.name) or one.default, False
    stands = answers.pop(HALF + one.name, "")
    doubted = ""  # the answer of which was told what it leaves out: once more, and it is meant
    while True:
        given = _line(f"{place} {one.words} [{default}] ", stands, one.name, answers, draft).strip()
        if given.casefold() in BACK or (stands and given == f"{stands}<"):
            return -1
        typed = given or default
        text = one.meant(typed)
        if text != typed:
            tell(f"{typed}: {text}", "    ")
        try:
            one.check(text)
        except ValueError as error:
            wrong = error.args[1] if len(error.args) > 1 else text
            if text == "?":
                for line in (f"Wanted: {error.args[0]}.", *one.more, "Enter takes what stands in [ ]."):
                    tell(line, "    ")
                continue
            tell(f"{wrong!r} is not {error.args[0]}{'' if error.args[0].endswith('?') else '.'}", "    ")
            # One part of several is wrong: the others are kept. What is proposed stands in [ ] to be taken.
            proposed = len(error.args) > 2
            default, refused = error.args[2] if proposed else default, True
            stands = given if len(error.args) == 2 else ""
            continue
        if refused and not given:
            tell(f"{text}.", "    ")  # what Enter took, where something else was typed before
        answers[one.name] = text
        doubt = one.doubt(answers) if text != doubted else ()
        if doubt:
            for line in doubt:
                tell(line, "    ")
            doubted, default, stands = text, text, ""
            continue
        draft.keep(answers)
        for line in warmth_told(answers) if one.name == "trays" else ():
            tell(line, "    ")
        return 1


def tell(text: str, indent: str = "") -> None:
    """Prints it in whole words, as wide as the terminal is."""
    width = max(40, shutil.get_terminal_size().columns - 1)
    print(textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False))


def _line(prompt: str, stands: str, name: str, answers: dict[str, str], draft: Draft) -> str:
    """One answer; where the terminal goes away in its middle, what was typed is there at the next time."""
    try:
        return kept_line(prompt, stands, lambda half: draft.keep(answers | {HALF + name: half}))
    except EOFError:
        print()
        kept = "; what you answered is kept for the next time" if draft.path.exists() else ""
        raise Unusable(f"new: no shelf was begun{kept}") from None
