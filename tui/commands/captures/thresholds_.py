"""The table by which checks are judged, and the shelf's own values in it."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "name", nargs="?", metavar="NAME", help="a threshold, or a weight such as 'weight hum'"
    )
    parser.add_argument("value", nargs="?", metavar="VALUE", help="this shelf's own value from now on")
    parser.add_argument("--usual", action="store_true", help="let the shelf's own value go")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Lists the table, or sets a value of it; checks that are kept stay as they were judged."""
    from core.capture.weighing.verdict import standard_thresholds, thresholds_with
    from tui.text.captures.thresholds import thresholds_json, thresholds_lines

    workbook = opened(given)
    if given.usual and (given.name is None or given.value is not None):
        raise Unusable("--usual goes with the name of a threshold and nothing else")
    if given.usual or given.value is not None:
        workbook.captures.set_threshold(given.name, None if given.usual else given.value)
    table = thresholds_with(workbook.captures.own_thresholds())
    if given.name is not None and given.name not in table.plain() and not given.usual:
        raise Unusable(f"there is no threshold {given.name!r}: reelturn thresholds lists them")
    if given.json:
        print_json(thresholds_json(table, standard_thresholds(), given.name))
    else:
        print_lines(thresholds_lines(table, standard_thresholds(), given.name))
    return 0
