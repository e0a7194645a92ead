"""Tape stocks: which are known to become sticky, which to test first, and on what base they are coated."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from core.tape.stock import Base, Stock
from core.tape.stock_names import normal_name
from core.tape.tables import Row, table


@cache
def all_stocks() -> tuple[Stock, ...]:
    """The table's stocks, one for each model, in the table's order."""
    return tuple(stock for row in table("stocks").values() for stock in _stocks_of(row))


def _stocks_of(row: Row) -> Iterable[Stock]:
    kept: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in row.values.items()}
    for model in kept.pop("models"):
        yield Stock(model=model, cites=row.cites, standing=row.standing, note=row.note, **kept)


@cache
def _by_name() -> dict[str, Stock]:
    return {name: stock for stock in all_stocks() for name in stock.names}


def find_stock(text: str, own: Mapping[str, Stock] = {}) -> Stock | None:
    """The stock that `text` names, the owner's own rows before the table's; None where none fits.

    A row of the owner's stands for every way to write the stock that it names, so one row
    for `Ampex 456` also answers for `456` and `Quantegy 456`. It never speaks for another maker's stock:
    a row for the 111 of one maker leaves `Scotch 111`, and a bare `111`, what the table says.
    """
    name = normal_name(text)
    if not name:
        return None
    listed = _by_name().get(name)
    exact = (stock for key, stock in own.items() if normal_name(key) == name)
    speaks = (stock for key, stock in own.items() if _speaks_for(key, stock, name, listed))
    return next(exact, None) or next(speaks, listed)


def _speaks_for(key: str, stock: Stock, name: str, listed: Stock | None) -> bool:
    """Whether the owner's row under that key answers for a name, or for the table's stock of that name."""
    if listed is None:
        return name in stock.names
    if normal_name(key) in listed.names:
        return not stock.makers or _same_maker(stock, listed)
    return name in stock.names and _same_maker(stock, listed)


def _same_maker(one: Stock, other: Stock) -> bool:
    return not {normal_name(m) for m in one.makers}.isdisjoint(normal_name(m) for m in other.makers)


def is_sticky_stock(text: str, own: Mapping[str, Stock] = {}) -> bool:
    """Whether `text` names a stock that is known to become sticky."""
    stock = find_stock(text, own)
    return stock is not None and stock.sticky == "yes"


def stock_base(text: str, own: Mapping[str, Stock] = {}) -> Base:
    """The base that the stock's row tells, `unknown` where nothing does."""
    stock = find_stock(text, own)
    return stock.base if stock is not None else "unknown"


def stocks_with_own(own: Mapping[str, Stock] = {}) -> tuple[Stock, ...]:
    """The table as it counts on a shelf: the owner's rows in place of the table's, new ones behind."""
    left = dict(own)
    rows = []
    for listed in all_stocks():
        mine = find_stock(listed.makers[0] + listed.model if listed.makers else listed.model, own)
        rows.append(mine or listed)
        left = {key: stock for key, stock in left.items() if stock is not mine}
    return (*dict.fromkeys(rows), *left.values())
