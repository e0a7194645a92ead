"""Sets fields of one reel, song or sheet."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from core.reels.photographs import gone_words
from tui.commands.command import opened, print_lines
from tui.commands.examples import EXAMPLES
from tui.commands.naming import kind_and_rest
from tui.commands.said_after import say_alarms
from tui.said import say


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "words", nargs="+", metavar="[reel|song|sheet] KEY FIELD=VALUE",
        help="the key (SHEET:TRACK for one row of a sheet, SHEET:TRACK@SONG where it has several), then "
        "fields as the columns of the files are called; FIELD= empties one",
    )  # fmt: skip


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: what is told may be what ends one, and none stands above the answer that ended it."""
    return True


def run(given: argparse.Namespace) -> int:
    """One change with all of its fields."""
    kind, rest = kind_and_rest(given.words, 2)
    key, told = rest[0], rest[1:]
    fields = {}
    for word in told:
        name, equals, value = word.partition("=")
        if not equals or not name.strip():
            raise Unusable(f"set: {word!r} is not FIELD=VALUE: {EXAMPLES['set']}")
        fields[name.strip()] = value
    if not fields:
        raise Unusable(f"set: say what to set: {EXAMPLES['set']}")
    workbook = opened(given)
    before = workbook.shelf.revision
    warmth = workbook.shelving.set_fields(key, fields, kind)
    say_alarms(workbook.shelf)
    same = workbook.shelf.revision == before
    words = ", ".join(
        f"{name} {value}".strip() if value else f"{name} emptied" for name, value in fields.items()
    )
    if kind in ("", "reel", None) and "photographs" in fields and key in workbook.shelf.reels:
        gone = gone_words([workbook.shelf.reel(key)], workbook.path.parent)
        if gone:
            say(f"set {key}, column photographs: {gone}")
    for line in warmth:
        say(line)
    unchanged = "nothing is written" if warmth else "it is so already"
    print_lines([f"{key}: {unchanged if same else words}"])
    return 0
