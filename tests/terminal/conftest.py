"""A real terminal: the program as installed, in tmux, with keys sent to it and its screen read back."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

TRIES = 2400  # looks at the screen, a twentieth of a second apart, before a wait is given up
PAUSE = 0.05


class Terminal:
    """One tmux session of 80 columns by 24 lines on a server of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._socket = str(folder / "tmux")

    def _tmux(self, *words: str) -> str:
        call = ["tmux", "-S", self._socket, "-f", os.devnull, *words]
        return subprocess.run(call, check=True, capture_output=True, text=True).stdout

    def start(self, *words: str, then: str = "true") -> None:
        """Starts the program with these words on its command line; its exit status goes to a file.

        ``then`` is run after it, as a sleep that keeps its last lines in sight.
        """
        command = shlex.join([sys.executable, "-m", "tui", *words])
        kept = f"{command}; echo $? > {shlex.quote(str(self.folder / 'status'))}; {then}"
        inherited = {"PATH", "HOME", "LANG", "LC_ALL", "PYTHONPATH"} & set(os.environ)
        set_ = [f"-e{name}={os.environ[name]}" for name in inherited]
        begin = ("new-session", "-d", "-x", "80", "-y", "24", *set_, "sh", "-c", kept)
        for _ in range(20):  # a server that was just taken away may still be on its way out
            try:
                self._tmux(*begin)
                return
            except subprocess.CalledProcessError:
                time.sleep(PAUSE)
        self._tmux(*begin)

    def press(self, *keys: str) -> None:
        """Presses keys, by tmux's names for them."""
        self._tmux("send-keys", *keys)

    def screen(self) -> str:
        """What stands on the screen."""
        return self._tmux("capture-pane", "-p")

    def until(self, holds: Callable[[], bool], what: str) -> None:
        """Waits until that holds; fails with the screen as it then stands."""
        for _ in range(TRIES):
            if holds():
                return
            time.sleep(PAUSE)
        pytest.fail(f"{what} did not come; the screen:\n{self.screen()}")

    def sees(self, words: str) -> None:
        """Waits until these words are on the screen."""
        self.until(lambda: words in self.screen(), repr(words))

    @property
    def status(self) -> int | None:
        """The program's exit status, once it has ended."""
        told = self.folder / "status"
        return int(told.read_text()) if told.exists() and told.read_text().strip() else None

    def end(self) -> None:
        """Takes the terminal away."""
        subprocess.run(["tmux", "-S", self._socket, "kill-server"], check=False, capture_output=True)


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    """A terminal, where tmux is installed."""
    if shutil.which("tmux") is None:
        pytest.skip("tmux is not installed")
    opened = Terminal(tmp_path)
    yield opened
    opened.end()
