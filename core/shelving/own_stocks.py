"""The owner's own rows of the stocks table: laid down, changed, let go of."""

from __future__ import annotations

from collections.abc import Mapping

from core.errors import Refused
from core.quantities import read_quantity
from core.shelf import Shelf
from core.tape.own_stocks import against_table, own_rows
from core.tape.stock_names import normal_name
from core.tape.stocks import find_stock
from core.tape.tables import Values

_LISTS = ("makers", "troubles")
_THICKNESS = ("base_mil", "total_mil")


def with_own_stock(shelf: Shelf, name: str, fields: Mapping[str, str], because: str = "") -> Shelf:
    """The shelf with those fields in the owner's row of that stock, begun where there was none.

    An empty field is taken out of the row again. Words of a list are parted by ``;``, thicknesses carry a
    unit. Refused, with what may stand there, for a field or a value that the table could not have, and for
    one that tells the stock otherwise than the table does without a reason, which the row keeps.
    """
    name = " ".join(name.split())
    if not normal_name(name):
        raise Refused("name the stock as its box does: maker and number")
    key = _key(shelf, name)
    before = shelf.of_kind("stock").get(key, {})
    row = dict(before)
    for field, text in fields.items():
        row.pop(field, None)
        if text.strip():
            row[field] = _value(key, field, text.strip())
    try:
        own_rows({key: row})
    except ValueError as error:
        raise Refused(str(error)) from None
    return shelf.with_record("stock", key, _with_reason(key, before, row, because.strip()))


def _with_reason(key: str, before: Values, row: dict[str, object], because: str) -> dict[str, object]:
    """The row with the reason for what it tells against the table's; Refused where it needs one and has none.

    A reason stands for what it was given for: what is against the table anew asks for its own.
    """
    against = against_table(key, row)
    if not against:
        return {field: value for field, value in row.items() if field != "because"}
    if because:
        return row | {"because": because}
    new = [one for one in against if one not in against_table(key, before)]
    if new:
        raise Refused(f"stock {key}: {'; '.join(new)} ({_told_by(key)}): --because says why all the same")
    return row


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


def _told_by(name: str) -> str:
    """Where the table's row of that stock is from."""
    listed = find_stock(name)
    told = "; ".join(one.title for one in listed.source) if listed is not None else ""
    return told or "the table"
