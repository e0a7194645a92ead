"""Measures captured files against a reel."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.capture.progress import Progress


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    parser.add_argument(
        "files", nargs="+", metavar="FILE", help="one pass: interleaved, one a track, or in pieces"
    )
    parser.add_argument("--pass", dest="pass_number", default="1", metavar="N", help="which pass (1)")
    parser.add_argument("--tracks", metavar="1,9-15", help="the tracks that the files carry (from 1 on)")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """0 for pass and remarks, 1 for fail, 2 where nothing could be measured."""
    tracks = _tracks(given.tracks) if given.tracks else None
    if not given.pass_number.isdigit() or not 1 <= int(given.pass_number) <= 100:
        raise Unusable(f"--pass: {given.pass_number!r} is not a whole number from 1")
    workbook = opened(given)
    found = workbook.check(
        given.reel,
        [Path(file) for file in given.files],
        pass_number=int(given.pass_number),
        tracks=tracks,
        progress=_told if sys.stderr.isatty() else None,
    )
    if given.json:
        print_json(found.to_json())
    else:
        from tui.text.findings import check_lines

        print_lines(check_lines(found))
    if not found.measured:
        return 2
    return 1 if found.verdict == "fail" else 0


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


def _told(progress: Progress) -> None:
    said = f"\r{progress.share:4.0%} measured, {progress.megabytes_per_second:.0f} MB/s "
    print(said, end="\n" if progress.share >= 1 else "", file=sys.stderr, flush=True)
