"""Files of one's own into the open shelf: a look at what they hold, then all of it or nothing."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.errors import ReelturnError, UntoldKind
from tui.asking.asking import Question
from tui.asking.choosing import AskChoice
from tui.asking.files.sound_files import PathLine
from tui.board.look_lines import counts_told, look_lines, own_columns
from tui.faults import fault_words
from tui.frame.text_page import TextLines
from tui.keys.keys import bindings

if TYPE_CHECKING:
    from core.store.exchange.what_came import Reads
    from core.store.intake.looking import Look
    from tui.home import Home

#: Length and last change of every file that was looked at.
Seen = tuple[tuple[int, int], ...]
DRAFT = "files in"
ALL_PROPOSED = "\0all"  # no column is called so
AS_GIVEN = "\0none"
LIKELY = ("box_label", "location", "contents", "title", "notes")  # what a column of one's own mostly is


class AskRowFiles(Question[tuple[Path, ...]]):
    """Files of rows by their paths, with spaces between."""

    FOOT = "Right completes the path   {ask.yes} looks at them, taking nothing yet   {ask.out} leaves"

    def answers(self) -> Iterable[Widget]:
        """One line."""
        yield PathLine(DRAFT, self.home.drafts, "(~/tapes/reels.csv)")

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

    Answered with ``take``, an empty word for nothing, or how to look again: ``bare`` with bare numbers taken,
    ``notes`` with what cannot be read in the notes, ``column`` with a column of one's own as one of ours.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings("list", "look")

    def __init__(self, look: Look, by_hand: Iterable[str] = ()) -> None:
        super().__init__("What the files hold")
        self.told, self.refused = tuple(look_lines(look)), look.refused
        self.anything = bool(look.new or look.changed)
        self.own = (*own_columns(look), *by_hand)
        self.FOOT = "{ask.yes} takes all of it   {ask.out} takes nothing"
        if self.refused:
            bare = "{look.bare} reads bare numbers   " if self._bare_there else ""
            self.FOOT = bare + "{look.notes} puts what cannot be read into the notes   {ask.out} leaves"
        elif not self.anything:
            self.FOOT = "{ask.out} leaves: nothing new"
        if self.own:
            self.FOOT = "{look.column} names a column   " + self.FOOT
        self.add_class("-page")

    @property
    def _bare_there(self) -> bool:
        return any("did you mean" in one for one in self.refused)

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

    def action_bare(self) -> None:
        """Looks again, a bare number read in the one unit that it can have."""
        if self.refused:
            self.dismiss("bare")

    def action_to_notes(self) -> None:
        """Looks again, what cannot be read left out and kept in the notes."""
        if self.refused:
            self.dismiss("notes")

    def action_column(self) -> None:
        """Asks which column is which."""
        if self.own:
            self.dismiss("column")


def ask_files_in(home: Home) -> None:
    """Asks for files, tells what they hold, and takes them in as one change."""
    from core.store.exchange.what_came import Reads

    words = (
        "CSV, xlsx or ods with a header row of column names; several with spaces between. "
        "What has a key that is here already is brought up to date."
    )

    def chosen(files: tuple[Path, ...] | None) -> None:
        if files:
            home.say(f"reading {', '.join(one.name for one in files)} ...")
            _start(home, files, Reads())

    home.push_screen(AskRowFiles("Which files?", words), chosen)


def _start(home: Home, files: tuple[Path, ...], reads: Reads) -> None:
    home.run_worker(lambda: _look(home, files, reads), thread=True, group="files in", exit_on_error=False)


def _look(home: Home, files: tuple[Path, ...], reads: Reads) -> None:
    """Looks at them in a thread: a large file takes seconds."""
    seen = _as_they_are(files)
    try:
        look = home.book.look_at_files(list(files), update=True, reads=reads)
    except UntoldKind as error:
        home.call_from_thread(_ask_kind, home, files, error, reads)
    except ReelturnError as error:
        home.call_from_thread(home.say, f"{error}; nothing was taken", bad=True)
    except Exception as error:
        home.call_from_thread(home.say, fault_words(error, home.book.path, home.now()), bad=True)
    else:
        home.call_from_thread(partial(_tell, home, files, look, reads, seen))


def _ask_kind(home: Home, files: tuple[Path, ...], file: UntoldKind, reads: Reads) -> None:
    """Asks what a file lists whose header does not tell it, and which of its columns is the key."""

    def listed(key: str | None) -> None:
        if key is None:
            home.say("nothing was taken")
            return

        def named(own: str | None) -> None:
            if own is None:
                _ask_kind(home, files, file, reads)
            else:
                _start(home, files, replace(reads, columns={**reads.columns, own: key}))

        head = [(one, one) for one in dict.fromkeys(file.head) if one]
        home.push_screen(AskChoice(f"Which column is the key of each {key}?", head), named)

    home.say("")
    kinds = (
        ("reel", "reels, one a row"),
        ("song", "songs, one a row"),
        ("sheet", "track sheets, one track a row"),
    )
    home.push_screen(AskChoice(f"What does {file.file} list?", kinds), listed)


def _tell(home: Home, files: tuple[Path, ...], look: Look, reads: Reads, seen: Seen) -> None:
    def answered(what: str | None) -> None:
        if what == "bare":
            _start(home, files, replace(reads, bare=True))
        elif what == "notes":
            _start(home, files, replace(reads, to_notes=True))
        elif what == "column":
            _ask_column(home, files, look, reads, seen)
        elif what:
            home.say(f"taking {counts_told(look)} in ...")
            home.call_after_refresh(_take, home, files, look, reads, seen)  # said first: it takes seconds
        else:
            if not (look.new or look.changed or look.refused):
                home.drafts.pop(DRAFT, None)  # nothing of it waits to be taken
            home.say("nothing was taken")

    home.say("")
    home.push_screen(LookedAt(look, reads.columns), answered)


def _as_they_are(files: tuple[Path, ...]) -> Seen:
    """Length and last change of every file; nothing of one that cannot be asked."""
    with suppress(OSError):
        return tuple((one.stat().st_size, one.stat().st_mtime_ns) for one in files)
    return ()


def _take(home: Home, files: tuple[Path, ...], look: Look, reads: Reads, seen: Seen) -> None:
    """Takes what was looked at, and nothing that was written into the files since."""
    if _as_they_are(files) != seen:
        home.say("the file changed since it was looked at: look again; nothing was taken", bad=True)
        return
    home.drafts.pop(DRAFT, None)
    home.do(
        lambda: home.book.import_files(list(files), update=True, reads=reads),
        home.undoable(f"taken: {counts_told(look)}"),
    )


def _ask_column(home: Home, files: tuple[Path, ...], look: Look, reads: Reads, seen: Seen) -> None:
    """Asks which column of one's own, then which of ours it is; the look follows anew.

    One that was named by hand can be named again, or let go of.
    """
    mine, by_hand, proposed = own_columns(look), reads.columns, _proposed(look)

    def again(columns: Mapping[str, str]) -> None:
        _start(home, files, replace(reads, columns=columns))

    def named(own: str | None) -> None:
        if own is None:
            _tell(home, files, look, reads, seen)
        elif own == ALL_PROPOSED:
            again({**by_hand, **proposed})
        else:
            home.push_screen(AskChoice(f"What is {own}?", _ours(look, own, by_hand)), partial(chosen, own))

    def chosen(own: str, ours: str | None) -> None:
        others = {name: one for name, one in by_hand.items() if name != own}
        if ours is None:
            _tell(home, files, look, reads, seen)
        else:
            again(others if ours == AS_GIVEN else {**others, own: ours})

    if len(mine) + len(by_hand) == 1:
        named((*mine, *by_hand)[0])
        return
    choices = [
        (one, f"{one} (perhaps {proposed[one].replace('_', ' ')})" if one in proposed else one)
        for one in mine
    ]
    choices += [(own, f"{own} (by your word {ours.replace('_', ' ')})") for own, ours in by_hand.items()]
    if len(proposed) > 1:
        choices.insert(0, (ALL_PROPOSED, f"these {len(proposed)}: {', '.join(proposed)}, as proposed below"))
    home.push_screen(AskChoice("Which column of yours?", choices), named)


def _ours(look: Look, own: str, by_hand: Mapping[str, str]) -> list[tuple[str, str]]:
    """The columns of ours that one of the owner's own may be; and none, for one that was named by hand."""
    from core.store.rows.tables import TABLES

    was = by_hand.get(own, "")
    file = next(one for one in look.files if own in one.unknown or was in one.columns)
    table = next(one for one in TABLES if one.name == file.kind)
    likely = (file.unknown.get(own, ""), *LIKELY, *table.columns)
    free = [one for one in dict.fromkeys(likely) if one in table.columns and one not in file.columns]
    none = [(AS_GIVEN, "none of ours: kept as given")] if was else []
    return [(one, one.replace("_", " ")) for one in free] + none


def _proposed(look: Look) -> dict[str, str]:
    """By column of one's own the one of ours that its name is near to; each of ours for one of them only."""
    out: dict[str, str] = {}
    for file in look.files:
        for own, near in file.unknown.items():
            if near and near not in out.values():
                out[own] = near
    return out
