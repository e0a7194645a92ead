"""Measures captured files against a reel; without files it looks whether those checked are still the same."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.reading_files import looked_json, looked_lines, told_on_terminal

if TYPE_CHECKING:
    from core.findings import Check
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", nargs="?", metavar="REEL", help="without one, every checked reel")
    parser.add_argument(
        "files",
        nargs="*",
        metavar="FILE",
        help="one pass: interleaved, one a track, or in pieces; without files, a look at those checked",
    )
    parser.add_argument("--pass", dest="pass_number", metavar="N", help="which pass (1)")
    parser.add_argument("--tracks", metavar="1,9-15", help="the tracks that the files carry (from 1 on)")
    parser.add_argument(
        "--again",
        action="store_true",
        help="measure the checked files anew, by the thresholds kept with them",
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """0 for pass and remarks, 1 for fail or files that changed, 2 where nothing could be measured."""
    workbook = opened(given)
    if given.again:
        from tui.commands.captures.check_again import check_again

        return check_again(workbook, given)
    if not given.files:
        return _look(workbook, given)
    tracks = _tracks(given.tracks) if given.tracks else None
    number = "1" if given.pass_number is None else given.pass_number
    if not number.isdigit() or not 1 <= int(number) <= 100:
        raise Unusable(f"--pass: {number!r} is not a whole number from 1")
    found = workbook.captures.check(
        given.reel,
        [Path(file) for file in given.files],
        pass_number=int(number),
        tracks=tracks,
        progress=told_on_terminal("measured"),
    )
    return told(workbook, found, as_json=given.json)


def told(workbook: Workbook, found: Check, *, as_json: bool) -> int:
    """Prints what was found, and says which passes are still to be checked; the exit status."""
    from core.standing.back_to_tape import again_from, of_the_tape
    from core.standing.proof import unchecked
    from tui.said import say
    from tui.text.captures.findings import check_lines

    if as_json:
        print_json(found.to_json())
    else:
        print_lines(check_lines(found))
    if not found.measured:
        for finding in found.findings:
            say(finding.says)
        return 2
    if not as_json and of_the_tape(found):
        since = again_from(found)
        minute = f" from {since} on" if since else ""
        say(f"of the tape itself: `reelturn again {found.reel}` keeps it in its history and has it planned "
            f"to be played again{minute}; --warm first, --clean on the way, --whole: all of it")  # fmt: skip
    missing = unchecked(workbook.shelf, workbook.shelf.reel(found.reel))
    if missing:
        say(f"{found.reel}: still to check: pass {', '.join(map(str, missing))}")
    return 1 if found.verdict == "fail" else 0


def _look(workbook: Workbook, given: argparse.Namespace) -> int:
    """Looks at the checked files of one reel, or of all; 1 where one changed."""
    from tui.said import say

    if given.pass_number is not None or given.tracks:
        raise Unusable("--pass and --tracks go with files: name them")
    checked = workbook.captures.checked_reels()
    if given.reel is not None:
        workbook.shelf.reel(given.reel)
    reels = [given.reel] if given.reel is not None else checked
    if not reels or not set(reels) <= set(checked):
        which = given.reel or "any reel"
        raise Unusable(f"no check of {which} is kept that could be looked at again: name the files to check")
    documents, status = [], 0
    for reel in reels:
        looks = workbook.captures.look_again(reel, progress=told_on_terminal())
        lost = workbook.captures.keep_looks(looks)
        if lost:
            say(lost)
        documents.append(
            {"reel": reel, "stage": workbook.shelf.reel(reel).stage, "passes": looked_json(looks)}
        )
        if not given.json:
            print_lines(looked_lines(looks))
        status = max(status, int(any(look.state == "changed" for look in looks)))
    if given.json:
        print_json(documents[0] if given.reel is not None else documents)
    return status


def _tracks(text: str) -> tuple[int, ...]:
    tracks: list[int] = []
    for part in text.split(","):
        match = re.fullmatch(r"\s*([0-9]{1,3})\s*(?:-\s*([0-9]{1,3}))?\s*", part)
        if match is None or int(match[1]) < 1 or (match[2] and int(match[2]) < int(match[1])):
            raise Unusable(f"--tracks: {text!r} is not a list of tracks such as 1,9-15")
        tracks.extend(range(int(match[1]), int(match[2] or match[1]) + 1))
    if len(set(tracks)) < len(tracks):
        raise Unusable(f"--tracks: {text!r} names a track twice")
    return tuple(tracks)
