"""Opens the full-screen program on the shelf; where there is none, offers to begin one."""

from __future__ import annotations

from pathlib import Path

from core.errors import ReelturnError, RowsRefused, Unusable
from tui.commands.around import now, on_terminal, shelf_path
from tui.commands.typed_line import typed_line
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
        from core.store.disk.shelf_file import begins_one

        hint = "" if path.exists() else f"; there is no shelf yet: {begins_one(path)}"
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
    print(OFFER.format(path=path), end="")
    while True:
        choice = _line("Which? [1] ") or "1"
        if choice == "2":
            return True
        if choice == "1":
            from tui.commands.shelf.new_ import begin

            begin(path)
            return False
        if choice != "3":
            print("    1, 2 or 3.")
        elif _read_files(path):
            return False


def _read_files(path: Path) -> bool:
    """A shelf from a studio.toml and files of rows; False where the person goes back to the choice."""
    while True:
        typed = _line("Files, with spaces between (studio.toml first); `<` goes back: ")
        if typed in ("<", "back", ""):
            return False
        if _taken(path, typed):
            return True


def _taken(path: Path, typed: str, *, bare: bool = False) -> bool:
    """Takes the files in; where bare numbers are all that is wrong with some cells, asks to read them so."""
    from core.words import counted
    from tui.commands.asking_first import tell

    try:
        _from_files(path, typed, bare=bare)
    except ReelturnError as error:
        for line in str(error).splitlines():
            tell(line, "    ")
        numbers = error.bare if isinstance(error, RowsRefused) and not bare else 0
        if not numbers:
            return False
        asked = f"Read {counted(numbers, 'bare number')} in the one unit that the column can have? [yes] "
        return _line(asked).casefold() in ("", "y", "yes") and _taken(path, typed, bare=True)
    return True


def _from_files(path: Path, typed: str, *, bare: bool = False) -> None:
    """The shelf with all rows of all files, or none: a shelf whose files are refused is not begun."""
    from shlex import split

    from core.store.exchange.what_came import Reads
    from core.store.studio.studio_toml import read_studio_file
    from core.workbook.workbook import Workbook
    from tui.commands.shelf.new_ import started

    try:
        files = [Path(one).expanduser() for one in split(typed)]
    except ValueError as error:
        raise Unusable(f"these names cannot be told apart: {error}") from None
    studios = [one for one in files if one.suffix.casefold() == ".toml"]
    if len(studios) != 1:
        raise Unusable(
            "name one studio.toml, and the files of rows: 1 at the choice asks for a studio instead"
        )
    studio = read_studio_file(studios[0])
    rows = [one for one in files if one not in studios]
    if rows:
        import tempfile

        with tempfile.TemporaryDirectory() as aside:  # a first look, so that nothing half-begun is left
            Workbook.create(Path(aside) / path.name, studio, now).import_files(rows, reads=Reads(bare))
    started(path, studio)
    if rows:
        Workbook.open(path, now).import_files(rows, reads=Reads(bare))


def _line(prompt: str) -> str:
    try:
        return typed_line(prompt).strip()
    except EOFError:
        print()
        raise Unusable("no shelf was begun: `reelturn new` begins one") from None
