"""Tape stocks: which are known to become sticky, which to test first, and on what base they are coated."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import permutations
from typing import Any, Literal

from core.tape.sources import Source, Standing, source
from core.tape.tables import Row, table

Stickiness = Literal["yes", "test first", "no"]
Base = Literal["polyester", "acetate", "pvc", "paper", "unknown"]
BackCoat = Literal["yes", "no", "unknown"]

STICKINESS: tuple[Stickiness, ...] = ("yes", "test first", "no")
BASES: tuple[Base, ...] = ("polyester", "acetate", "pvc", "paper", "unknown")
BACK_COATS: tuple[BackCoat, ...] = ("yes", "no", "unknown")
ROUTES = ("", "heat", "none", "cold", "fast play", "slow unwind", "wipe")
HYPHENS = "-\u00ad\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
_NO_HYPHENS = dict.fromkeys(map(ord, HYPHENS))


@dataclass(frozen=True, slots=True)
class Stock:
    """One tape stock, from the table or entered by the owner.

    `makers` may each stand before `model` in a name, or none of them; `alone` are further whole names.
    `sticky` "yes" is treated before it is played, "test first" has mixed reports.
    `base_mil` and `total_mil` are thicknesses, the base alone and with its coatings. `route` is what
    reports say helps when it misbehaves: "heat", "cold", "slow unwind", "fast play", "wipe", "none" or "".
    """

    model: str
    makers: tuple[str, ...] = ()
    sticky: Stickiness = "test first"
    base: Base = "unknown"
    back_coat: BackCoat = "unknown"
    base_mil: float | None = None
    total_mil: float | None = None
    years: str = ""
    troubles: tuple[str, ...] = ()
    route: str = ""
    cites: tuple[str, ...] = ()
    standing: Standing = "the owner's own"
    note: str = ""
    alone: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not normal_name(self.model):
            raise ValueError("a stock needs a model: the number or name on its box")
        if self.sticky not in STICKINESS:
            raise ValueError(f"stock {self.model}: sticky is {', '.join(STICKINESS)}, not {self.sticky!r}")
        if self.base not in BASES:
            raise ValueError(f"stock {self.model}: base is one of {', '.join(BASES)}, not {self.base!r}")
        if self.back_coat not in BACK_COATS:
            raise ValueError(f"stock {self.model}: back_coat is yes, no or unknown, not {self.back_coat!r}")
        if self.route not in ROUTES:
            told = ", ".join(filter(None, ROUTES))
            raise ValueError(f"stock {self.model}: route is one of {told}, not {self.route!r}")

    @property
    def source(self) -> tuple[Source, ...]:
        """Where its row is published; none for the owner's own."""
        return tuple(source(key) for key in self.cites)

    @property
    def name(self) -> str:
        """Makers and model as one reads them on a box: `Scotch or 3M 226`."""
        return f"{' or '.join(self.makers)} {self.model}".strip()

    @property
    def names(self) -> frozenset[str]:
        """Every way to write this stock, in the form in which names are compared."""
        return _names(self.makers, self.model, self.alone)


@lru_cache(maxsize=1024)
def _names(makers: tuple[str, ...], model: str, alone: tuple[str, ...]) -> frozenset[str]:
    together = ("/".join(both) for both in permutations(makers, 2))
    whole = (model, *alone, *(maker + model for maker in (*makers, *together)))
    return frozenset(normal_name(one) for one in whole)


def normal_name(text: str) -> str:
    """A stock's name as it is compared: caseless, without spaces and hyphens."""
    return "".join(text.translate(_NO_HYPHENS).casefold().split())


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
    for key, stock in own.items():
        if name == normal_name(key) or _speaks_for(key, stock, name, listed):
            return stock
    return listed


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
