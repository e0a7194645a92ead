"""Files of one's own into the open shelf: a look at what they hold, then all of it or nothing."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.errors import ReelturnError
from tui.asking.asking import Question
from tui.asking.sound_files import PathSuggester, TypedPath
from tui.faults import fault_words
from tui.frame.text_page import TextLines
from tui.keys import bindings

if TYPE_CHECKING:
    from core.store.intake.looking import Look
    from tui.home import Home

DRAFT = "files in"


class AskRowFiles(TypedPath[tuple[Path, ...]]):
    """Files of rows by their paths, with spaces between."""

    FOOT = "Right completes the path   {ask.yes} looks at them, taking nothing yet   {ask.out} leaves"
    draft = DRAFT

    def answers(self) -> Iterable[Widget]:
        """One line."""
        yield Input(
            self.home.drafts.get(DRAFT, ""),
            placeholder="~/tapes/reels.csv",
            suggester=PathSuggester(),
            select_on_focus=False,
        )

    def action_yes(self) -> None:
        """Answers with the files, if they are there."""
        try:
            files = row_files(self.query_one(Input).value)
        except ValueError as error:
            self.trouble(str(error))
            return
        self.dismiss(files)


def row_files(typed: str) -> tuple[Path, ...]:
    """The files that the line names, or one with spaces in its name; ValueError if one is not there."""
    text = typed.strip()
    if not text:
        raise ValueError("write the path of a file")
    if Path(text).expanduser().is_file():
        return (Path(text).expanduser(),)
    try:
        files = tuple(Path(one).expanduser() for one in shlex.split(text))
    except ValueError:
        raise ValueError("a quotation mark is open: close it, or leave it out") from None
    gone = next((one for one in files if not one.is_file()), None)
    if gone is not None:
        raise ValueError(f"no file is there: {gone}")
    return files


class LookedAt(Question[str]):
    """What files would bring; Enter takes all of it, where nothing in them is refused.

    Answered with ``take``, ``bare`` to look again with bare numbers taken, or an empty word for nothing.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings("list", "ticks")

    def __init__(self, told: Sequence[tuple[str, str]], *, refused: bool, anything: bool) -> None:
        super().__init__("What the files hold")
        self.told, self.refused, self.anything = tuple(told), refused, anything
        self.FOOT = "{ask.yes} takes all of it   {ask.out} takes nothing"
        if refused:
            self.FOOT = (
                "{ticks.tick} reads bare numbers in their usual unit   {ask.out} leaves: mend the file"
            )
        elif not anything:
            self.FOOT = "{ask.out} leaves: nothing new"
        self.add_class("-page")

    def answers(self) -> Iterable[Widget]:
        """The look, to scroll through."""
        lines = TextLines()
        lines.told = self.told
        yield lines

    def on_mount(self) -> None:
        """Shows it."""
        self.query_one(TextLines).show(self.told)

    def action_yes(self) -> None:
        """Takes them, where they can be."""
        if self.refused:
            self.trouble("nothing can be taken while a row is refused")
        else:
            self.dismiss("take" if self.anything else "")

    def action_tick(self) -> None:
        """Looks again, a bare number read in the one unit that it can have."""
        if self.refused:
            self.dismiss("bare")


def ask_files_in(home: Home) -> None:
    """Asks for files, tells what they hold, and takes them in as one change."""
    words = (
        "CSV, xlsx or ods with a header row of column names; several with spaces between. "
        "What has a key that is here already is brought up to date."
    )

    def chosen(files: tuple[Path, ...] | None) -> None:
        if files:
            home.say(f"reading {', '.join(one.name for one in files)} ...")
            _start(home, files, bare=False)

    home.push_screen(AskRowFiles("Which files?", words), chosen)


def _start(home: Home, files: tuple[Path, ...], *, bare: bool) -> None:
    home.run_worker(lambda: _look(home, files, bare=bare), thread=True, group="files in", exit_on_error=False)


def _look(home: Home, files: tuple[Path, ...], *, bare: bool) -> None:
    """Looks at them in a thread: a large file takes seconds."""
    try:
        look = home.book.look_at_files(list(files), update=True, bare=bare)
    except ReelturnError as error:
        home.call_from_thread(home.say, f"{error}; nothing was taken", bad=True)
    except Exception as error:
        home.call_from_thread(home.say, fault_words(error, home.book.path, home.now()), bad=True)
    else:
        home.call_from_thread(partial(_tell, home, files, look, bare=bare))


def _tell(home: Home, files: tuple[Path, ...], look: Look, *, bare: bool) -> None:
    def answered(what: str | None) -> None:
        if what == "bare":
            _start(home, files, bare=True)
            return
        if not what:
            home.say("nothing was taken")
            return
        home.drafts.pop(DRAFT, None)
        home.do(
            lambda: home.book.import_files(list(files), update=True, bare=bare),
            f"taken: {_counts(look)}. {home.takes_back}",
        )

    home.say("")
    home.push_screen(
        LookedAt(look_lines(look), refused=bool(look.refused), anything=bool(look.new or look.changed)),
        answered,
    )


def _counts(look: Look) -> str:
    from core.store.intake.looking import rows_told

    parts = [f"{rows_told(n, kind)} new" for kind, n in look.new.items()]
    parts += [f"{rows_told(n, kind)} changed" for kind, n in look.changed.items()]
    return ", ".join(parts) or "nothing"


def look_lines(look: Look) -> list[tuple[str, str]]:
    """The look as lines of (role, text): what is refused first, then what would come."""
    out = [("bad", f"! {one}") for one in look.refused]
    out += [("word", f"Note: {one}") for one in look.notes]
    out += [("word", line) for line in look.lines() if not line.startswith(("refused:", "nothing was taken"))]
    for file in look.files:  # which folder they lie in was typed a moment ago
        out = [(role, text.replace(file.file, PurePath(file.file).name)) for role, text in out]
    return out
