"""A made-up shelf, planned and printed."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.around import on_terminal
from tui.commands.command import print_lines
from tui.commands.demo.again import TEMPORARY, demo_clock, keep_clock, left_at, left_before

if TYPE_CHECKING:
    from core.plan import Plan
    from core.workbook.workbook import Workbook

#: The one capture that lies there: it takes R-022 from transferred to verified.
CAPTURE = "R-022 tag of Eel Weir.wav"
DAYS = 21
EFFORT = 6.0
#: What is said on leaving fits on a terminal's 80 columns with a fresh folder's name.
ALL_MADE_UP = "All was made up. With captures and mixes: `reelturn demo --captured`."
BEGIN_YOURS = "Begin a shelf of your own: `reelturn new` asks a few questions."


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("--dir", metavar="DIR", help="where to lay it out (a fresh temporary folder)")
    parser.add_argument(
        "--captured",
        action="store_true",
        help="with songs that are captured already: 200 MB of made-up captures and mixes",
    )


def run(given: argparse.Namespace) -> int:
    """Lays out, plans, prints; then opens the screen, or tells all as text. No other shelf is touched.

    At a terminal a made-up shelf that lies in the folder named is gone on with, from where its clock stands.
    """
    from tui.said import say

    before = left_before() if given.dir is None else None
    folder = _folder(given.dir)
    if on_terminal():
        from tui.memory import hold

        hold()
        if (since := left_at(folder)) is not None:
            return _go_on(folder, since)
    say(f"the made-up shelf goes into {folder}")
    if before is not None:
        say(f"left before: {_again(before)}")
    workbook, made = _with_captured(folder) if given.captured else (lay_out(folder, demo_clock()), [])
    if on_terminal():
        return _on_screen(workbook, folder)
    captures = lay_captures(folder)
    say("planning three weeks of evenings ...")
    plan = workbook.plans.keep_plan(workbook.plans.plan(days=DAYS, effort=EFFORT, keep=False))
    orders = _print(workbook, folder)
    print_lines(_told(workbook, plan))
    print_lines(
        [
            " files",
            f"   {workbook.path}",
            *(f"   {path}" for path in orders),
            *(f"   {path}" for path in [*captures, *made]),
        ]
    )
    return 0


def _again(folder: Path) -> str:
    return f"`reelturn demo --dir {quote(str(folder))}`"


def _go_on(folder: Path, since: datetime) -> int:
    """Opens the made-up shelf that lies there as it was left."""
    from core.workbook.workbook import Workbook
    from tui.said import say

    say(f"going on with the made-up shelf in {folder}, left at {since:%a %d %b %H:%M} of its own clock")
    return _on_screen(Workbook.open(folder / "shelf.json", demo_clock(since)), folder)


def _on_screen(workbook: Workbook, folder: Path) -> int:
    """Opens at once; the plan is made before one's eyes and printed once kept; some lines at the end."""
    from tui.app import run as open_screen
    from tui.frame.made_up import MadeUp
    from tui.said import say

    made_up = MadeUp(
        DAYS,
        folder,
        lambda: lay_captures(folder),
        lambda: _print(workbook, folder),
        keep_clock=lambda: keep_clock(folder, workbook.now()),
        printed=workbook.shelf.of_kind("plan").get("kept"),
    )
    status = open_screen(workbook, made_up)
    made_up.keep_clock()
    if made_up.printed is None:
        lies = f"It lies in {folder}; no plan was kept, nothing printed."
    else:
        lies = f"The papers lie in {folder}: orders, evenings.ics."
    for line in (lies, f"{_again(folder)} goes on with it.", ALL_MADE_UP, BEGIN_YOURS):
        say(line)
    return status


def _print(workbook: Workbook, folder: Path) -> list[Path]:
    """The kept plan's work orders and its calendar in that folder."""
    orders, calendar = workbook.papers.orders(folder / "orders"), folder / "evenings.ics"
    calendar.write_bytes(workbook.papers.calendar())
    return [*orders, calendar]


def _with_captured(folder: Path) -> tuple[Workbook, list[Path]]:
    """The made-up shelf with songs that were captured some days before, and their sound."""
    from core.workbook.workbook import Workbook
    from tui.commands.demo.captured import AT, lay_captured
    from tui.said import say

    workbook = lay_out(folder, lambda: AT)
    say("making 200 MB of made-up captures and mixes, and checking them ...")
    try:
        made = lay_captured(workbook, folder, demo_files() / "captured")
    except OSError as error:
        raise Unusable(f"{folder}: the made-up sound cannot be written: {error.strerror or error}") from error
    return Workbook.open(workbook.path, demo_clock()), made


def demo_files() -> Path:
    """The made-up shelf's files: in the wheel beside this package, else in the checkout."""
    tui = Path(__file__).resolve().parent.parent
    found = next(
        (one for one in (tui / "demo_files", tui.parent / "demo") if (one / "studio.toml").is_file()), None
    )
    if found is None:
        raise Unusable("the made-up shelf's files are missing: install reelturn again")
    return found


def lay_out(folder: Path, now: Callable[[], datetime]) -> Workbook:
    """The made-up shelf in that folder; Unusable where one is there already."""
    from core.store.studio.studio_toml import read_studio_file
    from core.workbook.workbook import Workbook

    files = demo_files()
    path = folder / "shelf.json"
    if path.exists():
        again = "; at a terminal the same words go on with it" if left_at(folder) is not None else ""
        raise Unusable(
            f"{path}: there is a shelf already, it was not touched: name an empty folder with --dir{again}"
        )
    workbook = Workbook.create(path, read_studio_file(files / "studio.toml"), now)
    workbook.import_files([*sorted(files.glob("*.csv")), files / "records.json"])
    keep_clock(folder, workbook.now())
    return workbook


def lay_captures(folder: Path) -> list[Path]:
    """The made-up capture in that folder's captures, and its second copy in another place."""
    import shutil

    from core.capture.made_up.offcut import made_up_capture

    first, second = folder / "captures", folder / "second-place"
    if (second / CAPTURE).exists():  # what lies there since an earlier evening stays as it is
        return [first / CAPTURE, second / CAPTURE]
    first.mkdir(exist_ok=True)
    second.mkdir(exist_ok=True)
    capture = made_up_capture(first / CAPTURE)
    return [capture, Path(shutil.copy(capture, second / CAPTURE))]


def _folder(named: str | None) -> Path:
    import tempfile

    if named is None:
        return Path(tempfile.mkdtemp(prefix=TEMPORARY))
    folder = Path(named).expanduser()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unusable(f"{folder}: no folder can be made there: {error.strerror or error}") from error
    return folder


def _told(workbook: Workbook, plan: Plan) -> list[str]:
    from tui.board.rows import Board
    from tui.text.chart import chart_lines
    from tui.text.week import week_lines

    board = Board(workbook.shelf, workbook.now(), plan)
    head = f" {workbook.shelf.studio.name}   {workbook.now():%a %d %b %Y %H:%M}"
    return [
        head,
        *chart_lines(board),
        "",
        *week_lines(workbook.shelf, plan, workbook.plans.song_dates().values()),
        "",
    ]
