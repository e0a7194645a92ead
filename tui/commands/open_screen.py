"""Opens the full-screen program on the shelf; where there is none, offers to begin one."""

from __future__ import annotations

import sys
from pathlib import Path

from core.errors import Unusable
from tui.commands.command import now, on_terminal, shelf_path
from tui.memory import hold

OFFER = """There is no shelf yet ({path}).
  1  begin one: a few questions
  2  look at a made-up shelf, planned before your eyes
  3  read a studio.toml and files of your own
"""


def run(shelf: str | None) -> int:
    """Opens the screen; Unusable where there is no terminal."""
    path = shelf_path(shelf)
    if not on_terminal():
        hint = "" if path.exists() else "; there is no shelf yet: `reelturn new` begins one"
        raise Unusable(f"no terminal here: open the screen in one, or name a verb (reelturn --help){hint}")
    if not path.exists():
        made_up = _begun(path)
        if made_up:
            from tui.commands.command import call

            return call("demo", [], None)
    hold()
    from core.workbook.workbook import Workbook

    workbook = Workbook.open(path, now)
    from tui.app import run as open_screen

    return open_screen(workbook)


def _begun(path: Path) -> bool:
    """A shelf that the person begins; True where the made-up one is wanted instead."""
    from tui.commands.new_ import begin, started

    print(OFFER.format(path=path), end="")
    while True:
        print("Which? [1] ", end="", flush=True)
        line = sys.stdin.readline()
        choice = line.strip() or "1"
        if not line:
            raise Unusable("no shelf was begun: `reelturn new` begins one")
        if choice in ("1", "2", "3"):
            break
        print("    1, 2 or 3.")
    if choice == "2":
        return True
    if choice == "1":
        begin(path)
        return False
    print("Files, with spaces between (studio.toml first): ", end="", flush=True)
    from shlex import split

    from core.store.studio_toml import read_studio_file
    from core.workbook.workbook import Workbook

    files = [Path(one).expanduser() for one in split(sys.stdin.readline())]
    studios = [one for one in files if one.suffix.casefold() == ".toml"]
    if len(studios) != 1:
        raise Unusable(
            "name one studio.toml, and the files of rows: `reelturn new` asks for a studio instead"
        )
    studio = read_studio_file(studios[0])
    started(path, studio)
    rows = [one for one in files if one not in studios]
    if rows:
        Workbook.open(path, now).import_files(rows)
    return False
