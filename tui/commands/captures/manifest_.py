"""Writes the checked files' digests as a manifest."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from core.errors import Refused
from tui.commands.command import opened, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reels", nargs="*", metavar="REEL", help="without one, every checked reel")
    parser.add_argument("--out", metavar="FILE", help="the manifest (on standard output)")


def run(given: argparse.Namespace) -> int:
    """A manifest that `sha256sum -c` verifies; names are below the manifest's folder where they lie there."""
    workbook = opened(given)
    reels = given.reels or workbook.captures.checked_reels()
    if not reels:
        raise Refused("no check is kept on this shelf: check a reel's files first")
    if given.out is not None:
        print_lines([str(workbook.handing_out.write_manifest(reels, Path(given.out)))])
        return 0
    text = workbook.handing_out.manifest(reels)
    sys.stdout.flush()
    if hasattr(sys.stdout, "buffer"):
        sys.stdout.buffer.write(text.encode("utf-8", "surrogateescape"))
        sys.stdout.buffer.flush()
    else:
        sys.stdout.write(text)
    return 0
