"""The table of tape stocks, and the owner's own rows of it."""

from __future__ import annotations

import argparse

from core.errors import Unusable
from tui.commands.around import shelf_path
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.said_after import say_alarms


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "words", nargs="*", metavar="NAME FIELD=VALUE",
        help='a row of your own: the stock as its box says it, then sticky (yes, "test first", no), base, '
        "back_coat, route, makers, base_mil, total_mil, years, troubles, note; FIELD= empties one",
    )  # fmt: skip
    parser.add_argument("--drop", metavar="NAME", help="let go of your own row of that stock")
    parser.add_argument(
        "--because", default="", metavar="TEXT",
        help="why your row tells the stock otherwise than the table's; the row keeps it",
    )  # fmt: skip
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True for a row that is changed: it may be what ends one, and none stands above its answer then."""
    return bool(given.words) or given.drop is not None


def run(given: argparse.Namespace) -> int:
    """The table as it counts on the shelf, with the sources; without a shelf, the table alone."""
    from core.tape.own_stocks import as_json
    from core.tape.stocks import stocks_with_own

    if given.words or given.drop is not None:
        return _changed(given)
    named = given.shelf is not None or shelf_path(None).exists()
    rows = stocks_with_own(opened(given).shelf.own_stocks() if named else {})
    if given.json:
        print_json([as_json(stock) for stock in rows])
        return 0
    print_lines(
        f"{stock.name:<34} {stock.sticky:<11} {stock.base:<10} {stock.standing}"
        + (f": {told}" if (told := "; ".join(map(str, stock.source)) or stock.because) else "")
        for stock in rows
    )
    return 0


def _changed(given: argparse.Namespace) -> int:
    """One row laid down, changed or let go of: one undo; then how it counts."""
    from core.shelving.own_stocks import with_own_stock, without_own_stock
    from core.tape.own_stocks import as_json, lacks
    from core.tape.stock_names import normal_name
    from core.tape.stocks import find_stock
    from tui.commands.examples import EXAMPLES
    from tui.said import say

    if given.words and given.drop is not None:
        raise Unusable("stocks: either a row or --drop, not both")
    parts = [word.partition("=") for word in given.words[1:]]
    if given.words and (not parts or not all(name.strip() and equals for name, equals, _ in parts)):
        raise Unusable(f"stocks: a name, then FIELD=VALUE: {EXAMPLES['stocks']}")
    fields = {name.strip(): value for name, _, value in parts}
    name, workbook = given.drop or given.words[0], opened(given)
    if given.drop is not None:
        workbook.change(lambda shelf: without_own_stock(shelf, name), what=f"let go of the stock {name}")
    else:
        workbook.change(
            lambda shelf: with_own_stock(shelf, name, fields, given.because), what=f"stock {name}"
        )
        rows = workbook.shelf.of_kind("stock")
        mine = next((key for key in rows if normal_name(key) == normal_name(name)), name)
        if missing := lacks(mine, rows.get(mine, {})):
            say(missing)
    say_alarms(workbook.shelf)
    stock = find_stock(name, workbook.shelf.own_stocks())
    if given.json:
        print_json(as_json(stock) if stock is not None else None)
    elif stock is None:
        print_lines([f"{name}: no row any more"])
    else:
        why = f" (because: {stock.because})" if stock.because else ""
        print_lines([f"{stock.name}: sticky {stock.sticky}, base {stock.base}, {stock.standing}{why}"])
    return 0
