"""The table of tape stocks."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines, shelf_path


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """The table as it counts on the shelf, with the sources; without a shelf, the table alone."""
    from core.tape.stocks import as_json, stocks_with_own

    named = given.shelf is not None or shelf_path(None).exists()
    rows = stocks_with_own(opened(given).shelf.own_stocks() if named else {})
    if given.json:
        print_json([as_json(stock) for stock in rows])
        return 0
    print_lines(
        f"{stock.name:<34} {stock.sticky:<11} {stock.base:<10} {stock.standing}"
        + (f": {'; '.join(str(one) for one in stock.source)}" if stock.source else "")
        for stock in rows
    )
    return 0
