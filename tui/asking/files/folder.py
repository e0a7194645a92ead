"""Which folder: typed, completed by what lies on the disk."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from textual.widget import Widget
from textual.widgets import Input

from tui.asking.asking import Question
from tui.asking.files.sound_files import PathLine


class AskFolder(Question[Path]):
    """One folder that is there, or with ``new`` one that is not; the last one is offered again."""

    FOOT = "Right completes the path   {ask.yes} goes on   {ask.out} leaves, and keeps what was typed"

    def __init__(self, title: str, words: str, draft: str, *, new: bool = False) -> None:
        super().__init__(title, words)
        self.draft, self.new = draft, new

    def answers(self) -> Iterable[Widget]:
        """One line."""
        yield PathLine(self.draft, self.home.drafts, "(a folder)", folders_only=True)

    def action_yes(self) -> None:
        """Answers with the folder, if it will do."""
        typed = self.query_one(Input).value.strip()
        folder = Path(typed).expanduser()
        if not typed:
            self.trouble(self.home.keyed("name a folder; {ask.out} leaves"))
        elif self.new and folder.exists():
            self.trouble(f"{typed} is there already: name a new one")
        elif not self.new and not folder.is_dir():
            self.trouble(f"no folder is there: {typed}")
        else:
            self.home.drafts.pop(self.draft, None)
            self.dismiss(folder)
