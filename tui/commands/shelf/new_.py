"""Starts an empty shelf."""

from __future__ import annotations

import argparse
from pathlib import Path

from core.errors import Unusable
from tui.commands.around import now, on_terminal, shelf_path
from tui.said import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "--studio", metavar="studio.toml",
        help="the studio's file; without it a few questions are asked, or a file to fill in is written",
    )  # fmt: skip


def run(given: argparse.Namespace) -> int:
    """Reads the studio's file, or asks, and writes the shelf."""
    path = shelf_path(given.shelf)
    if given.studio:
        from core.store.studio.studio_toml import read_studio_file

        return started(path, read_studio_file(Path(given.studio)))
    if path.exists():
        raise Unusable(f"{path}: there is something already, it was not touched: name another --shelf")
    if not on_terminal():
        _write_a_file(f"reelturn {f'--shelf {given.shelf} ' if given.shelf else ''}new --studio studio.toml")
    status = begin(path)
    named = f" --shelf {given.shelf}" if given.shelf else ""
    say(f"`reelturn{named}` opens it: P there puts in what is there, box after box, or from files")
    return status


def begin(path: Path) -> int:
    """Asks the first questions at the terminal and starts the shelf."""
    from tui.commands.asking_first import Draft, asked_studio

    draft = Draft(path)
    status = started(path, asked_studio(draft))
    draft.drop()
    return status


def started(path: Path, studio: object) -> int:
    """Writes the new shelf and says where it lies."""
    from core.conditioning.beyond_published import beyond_in_studio
    from core.reels.unlikely import unlikely_eq
    from core.store.studio.studio_toml import unread_told
    from core.studio.in_vain import hours_in_vain
    from core.studio.studio import Studio
    from core.workbook.workbook import Workbook

    assert isinstance(studio, Studio)
    Workbook.create(path, studio, now)
    print(f"started an empty shelf for {studio.name}: {path}")
    told = (*unread_told(studio), *unlikely_eq(studio), *beyond_in_studio(studio))
    for line in (*told, *hours_in_vain(studio, now())):
        say(line)
    return 0


def _write_a_file(command: str) -> None:
    """No terminal to ask at: a commented file to fill in, and what to do with it."""
    from core.store.exchange.commented import write_template
    from tui.commands.asking_first import local_zone

    file = Path("studio.toml")
    if file.exists():
        raise Unusable(
            f"new: there is a studio.toml here, it was not touched: `{command}` starts a shelf from it"
        )
    write_template(file, local_zone())
    raise Unusable(
        f"new: no terminal to ask at: studio.toml was written here for you to change; then `{command}`"
    )
