"""Which files: those found by the reel's key in the folder of captures, or any others by their path."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from textual.suggester import Suggester
from textual.widget import Widget
from textual.widgets import Input

from core.store.beside.half_typed import Drafts
from core.words import size_words
from tui.asking.asking import Question
from tui.asking.toggles import Tick, Toggles


class PathSuggester(Suggester):
    """Completes a path by what lies on the disk: the first name that goes on as it was begun."""

    def __init__(self, *, folders_only: bool = False) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self.folders_only = folders_only

    async def get_suggestion(self, value: str) -> str | None:
        """The whole path, a folder with a slash at its end; None where nothing goes on so."""
        typed_folder, begun = os.path.split(value)
        folder = Path(typed_folder).expanduser() if typed_folder else Path()
        try:
            names = sorted(os.scandir(folder), key=lambda one: one.name)
        except OSError:
            return None
        for one in names:
            if not one.name.startswith(begun) or (one.name.startswith(".") and not begun):
                continue
            if one.is_dir():
                return f"{os.path.join(typed_folder, one.name)}{os.sep}"
            if not self.folders_only:
                return os.path.join(typed_folder, one.name)
        return None


class PathLine(Input):
    """The line for a path in a question; what was typed stays until it was an answer."""

    def __init__(self, draft: str, drafts: Drafts, placeholder: str, *, folders_only: bool = False) -> None:
        super().__init__(
            drafts.get(draft, ""),
            placeholder=placeholder,
            suggester=PathSuggester(folders_only=folders_only),
            select_on_focus=False,
        )
        self._draft, self._drafts = draft, drafts

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was typed is there at the next time."""
        event.stop()
        if event.value:
            self._drafts[self._draft] = event.value
        else:
            self._drafts.pop(self._draft, None)
        if isinstance(self.screen, Question):
            self.screen.trouble("")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter answers from the line too."""
        event.stop()
        if isinstance(self.screen, Question):
            self.screen.action_yes()


_LONGEST, _END = 54, 24


class AskFiles(Question[tuple[Path, ...]]):
    """The files of one pass, in the order of their tracks; ``first_only`` ticks the first that was found."""

    FOOT = (
        "{ticks.tick} ticks   Tab goes to the path, Right completes it   "
        "{ask.yes} measures   {ask.out} leaves"
    )

    def __init__(
        self,
        title: str,
        words: str,
        found: Sequence[Path],
        folder: Path,
        draft: str,
        *,
        first_only: bool = False,
        does: str = "measures",
    ) -> None:
        """``does``: what the last key does with the files."""
        super().__init__(title, words)
        self.FOOT = self.FOOT.replace("measures", does)
        self.first_only = first_only
        self.found, self.folder, self.draft = tuple(found), folder, draft

    def answers(self) -> Iterable[Widget]:
        """What was found, ticked; and a line for a file or a folder anywhere."""
        if self.found:
            ticks = [Tick(str(path), self._told(path)) for path in self.found]
            on = ticks[:1] if self.first_only else ticks
            yield Toggles(ticks, frozenset(tick.key for tick in on))
        yield PathLine(self.draft, self.home.drafts, "(or the path of a file, or of a folder with them)")

    def _told(self, path: Path) -> str:
        near = path.relative_to(self.folder) if path.is_relative_to(self.folder) else path
        try:
            return f"{_in_the_middle(str(near))}  {size_words(path.stat().st_size)}"
        except OSError:
            return str(near)

    def action_yes(self) -> None:
        """Answers with what was typed, else with what is ticked."""
        typed = self.query_one(Input).value.strip()
        if typed:
            files = files_at(Path(typed).expanduser())
            if not files:
                self.trouble(f"nothing is there: {typed}")
                return
        else:
            ticked = self.query(Toggles).first().ticked if self.found else set()
            files = tuple(path for path in self.found if str(path) in ticked)
        if not files:
            self.trouble("tick a file, or write a path")
            return
        self.home.drafts.pop(self.draft, None)
        self.dismiss(files)


def _in_the_middle(name: str) -> str:
    """A long name without its middle: what tells files apart stands at the end as often as at the start."""
    return name if len(name) <= _LONGEST else f"{name[: _LONGEST - _END - 2]}..{name[-_END:]}"


def files_at(path: Path) -> tuple[Path, ...]:
    """The file itself, or the sound files straight in that folder in the order of their numbers."""
    from core.capture.files.found import sounds_in

    if path.is_dir():
        return tuple(sounds_in(path))
    return (path,) if path.exists() else ()
