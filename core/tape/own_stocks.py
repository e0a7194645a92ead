"""The owner's own rows about stocks, checked like the table's."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from core.tape.stock import Stock
from core.tape.stocks import find_stock
from core.tape.tables import Values

OWN_FIELDS = (
    "makers",
    "sticky",
    "base",
    "back_coat",
    "base_mil",
    "total_mil",
    "years",
    "troubles",
    "route",
    "note",
)
#: What decides about warmth or deck, and what in the table's row of it stands for not known.
_DECIDES = {"sticky": "", "base": "unknown", "back_coat": "unknown", "route": ""}


def own_rows(rows: Mapping[str, Values]) -> dict[str, Stock]:
    """The owner's rows of this table, from plain records keyed by the stock's name as typed.

    A record holds any of OWN_FIELDS, `model` where the name has the maker in it, and `because` where it tells
    the stock otherwise than the table does; what it leaves out is taken from the table's row of that name,
    else is not known. ValueError names a row that makes no sense.
    """
    return {name: _own_row(name, record) for name, record in rows.items()}


def lacks(name: str, record: Values) -> str:
    """What an own row does not tell of the stock that it is for, in a line; empty where nothing is missing.

    Such a row counts all the same, for boxes that say that name alone.
    """
    told = f"{name} {record.get('model') or ''}"
    maker = bool(record.get("makers")) or find_stock(name) is not None or re.search(r"[^\W\d_]{2}", told)
    number = re.search(r"\d", told) is not None or find_stock(name) is not None
    counts = f"it counts for a box that says {name} alone"
    if not maker:
        return f"stock {name}: no maker is told: {counts} (makers=... says whose it is)"
    return "" if number else f"stock {name}: no number is told: {counts} (model=... says which it is)"


def against_table(name: str, record: Values) -> tuple[str, ...]:
    """What an own row tells otherwise than the table's row of that name, where warmth or deck rest on it.

    One reads `base polyester, where the table has acetate`. What the table does not know nothing is against.
    """
    listed = find_stock(name)
    if listed is None:
        return ()
    told = {field: (record[field], getattr(listed, field)) for field in _DECIDES if field in record}
    return tuple(
        f"{field} {mine}, where the table has {its}"
        for field, (mine, its) in told.items()
        if its not in (mine, _DECIDES[field])
    )


def told_of(name: str, record: Values) -> Iterator[str]:
    """What is to be said of an own row that comes in: what it lacks, and what it tells against the table."""
    if missing := lacks(name, record):
        yield missing
    if against := against_table(name, record):
        why = f"because: {record['because']}" if record.get("because") else "no reason is told"
        yield f"stock {name}: {'; '.join(against)}: taken as your own row, {why}"


def _own_row(name: str, record: Values) -> Stock:
    if not isinstance(record, Mapping):
        raise ValueError(f"stock {name}: a row is an object of fields, not {record!r}")
    _check_types(name, record)
    told: dict[str, Any] = {key: record[key] for key in OWN_FIELDS if key in record}
    told |= {key: tuple(told[key]) for key in ("makers", "troubles") if key in told}
    said: dict[str, Any] = {"cites": (), "standing": "the owner's own", "because": record.get("because", "")}
    listed = find_stock(name)
    if listed is not None:
        told.setdefault("note", "")
        return replace(listed, **told, **said)
    return Stock(model=record.get("model") or name, **told, **said)


def _check_types(name: str, record: Values) -> None:
    """ValueError for a field that this table has not, or that holds what no row of it could."""
    for field, value in record.items():
        if field not in (*OWN_FIELDS, "model", "because"):
            raise ValueError(f"stock {name}: no field {field!r}: there are model, {', '.join(OWN_FIELDS)}")
        if field in ("makers", "troubles"):
            right = isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)
            wanted = "a list of words"
        elif field in ("base_mil", "total_mil"):
            number = isinstance(value, int | float) and not isinstance(value, bool)
            right, wanted = value is None or (number and 0 < value < 10), "thousandths of an inch, below 10"
        elif field == "years" and isinstance(value, str):
            right, wanted = _years(value), "when it was made, as 1975-1985, 1970s or to 1967"
        else:
            right, wanted = isinstance(value, str), "a word"
        if not right:
            raise ValueError(f"stock {name}: {field} is {wanted}, not {value!r}")


def _years(text: str) -> bool:
    """True for words in which a year of the time of tape stands, a span the right way round; and for ``all``.

    Tape was sold from the middle of the 1930s on: common knowledge of the trade.
    """
    found = [int(year) for year in re.findall(r"(?<!\d)\d{4}(?!\d)", text)]
    if not found:
        return text.strip().casefold() in ("", "all")
    span = re.fullmatch(r"\s*(\d{4})\s*(?:-|–|to)\s*(\d{4})\s*", text)
    turned = span is not None and int(span[1]) > int(span[2])
    return all(1930 <= year <= 2100 for year in found) and not turned


def as_record(stock: Stock) -> dict[str, object]:
    """A stock as the plain record from which `own_rows` makes it again."""
    record = {key: getattr(stock, key) for key in ("model", *OWN_FIELDS, "because")}
    told = {key: value for key, value in record.items() if value not in (None, "", ())}
    return {key: list(value) if isinstance(value, tuple) else value for key, value in told.items()}


def as_json(stock: Stock) -> dict[str, object]:
    """A stock as other programs read it, with its sources in words."""
    return as_record(stock) | {
        "stock": stock.name,
        "sticky": stock.sticky,
        "base": stock.base,
        "source": [str(one) for one in stock.source],
        "standing": stock.standing,
    }
