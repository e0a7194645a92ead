"""The owner's own rows of the stocks table: laid down, changed, let go of."""

from __future__ import annotations

from collections.abc import Mapping

from core.errors import Refused
from core.quantities import read_quantity
from core.shelf import Shelf
from core.tape.own_stocks import own_rows
from core.tape.stock_names import normal_name

_LISTS = ("makers", "troubles")
_THICKNESS = ("base_mil", "total_mil")


def with_own_stock(shelf: Shelf, name: str, fields: Mapping[str, str]) -> Shelf:
    """The shelf with those fields in the owner's row of that stock, begun where there was none.

    An empty field is taken out of the row again. Words of a list are parted by ``;``, thicknesses carry a
    unit. Refused, with what may stand there, for a field or a value that the table could not have.
    """
    name = " ".join(name.split())
    if not normal_name(name):
        raise Refused("name the stock as its box does: maker and number")
    key = _key(shelf, name)
    row = dict(shelf.of_kind("stock").get(key, {}))
    for field, text in fields.items():
        row.pop(field, None)
        if text.strip():
            row[field] = _value(key, field, text.strip())
    try:
        own_rows({key: row})
    except ValueError as error:
        raise Refused(str(error)) from None
    return shelf.with_record("stock", key, row)


def without_own_stock(shelf: Shelf, name: str) -> Shelf:
    """The shelf without the owner's row of that stock; Refused where there is none."""
    key = _key(shelf, " ".join(name.split()))
    if key not in shelf.of_kind("stock"):
        raise Refused(f"no row of your own for {name!r}: `reelturn stocks` lists them")
    return shelf.with_record("stock", key, None)


def _key(shelf: Shelf, name: str) -> str:
    """The name under which the owner has that row already, however it was written."""
    wanted = normal_name(name)
    return next((key for key in shelf.of_kind("stock") if normal_name(key) == wanted), name)


def _value(stock: str, field: str, text: str) -> object:
    if field in _LISTS:
        return [one.strip() for one in text.split(";") if one.strip()]
    if field not in _THICKNESS:
        return text
    try:
        return round(float(read_quantity(text, "length").number) * 1000, 4)
    except ValueError as error:
        raise Refused(f"stock {stock}: {field}: {text!r} is not {error}") from None
