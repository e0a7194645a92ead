"""The decision table and the stocks beside a second reading of them that shares no code with the program."""

from fractions import Fraction
from itertools import product

from tapejudge import COLD, FAST, LIKE, LISTED, MIXED, STOCKS, word_of

from core.conditioning.advice import advise
from core.conditioning.known import Known
from core.tape.stocks import all_stocks, find_stock
from core.tape.tables import Row, table
from core.tape.treatments import programme
from core.tape.written_like import written_like

COURSE = programme(54, 4)
BASES = ("", "polyester", "acetate", "pvc", "paper", "unknown")
CONDITIONS = ((), ("ok",), ("sticky",), ("squeal",), ("squeal", "sticky"), ("mould",), ("vinegar",))
SIGNS = ((), ("vinegar",), ("mould",), ("layers adhere",), ("white powder",), ("loose oxide",))


def known(base: str, condition: tuple[str, ...], signs: tuple[str, ...], stock: str, playable: bool) -> Known:
    row = find_stock(stock)
    return Known(
        base=base or (row.base if row else "unknown"),  # type: ignore[arg-type]
        stock=row.sticky if row else "unknown",
        route=row.route if row else "",
        width_in=Fraction(1, 4),
        back_coat=row.back_coat if row else "unknown",
        symptoms=frozenset((*condition, *signs)) - {"ok"},
        inspected=bool(condition),
        playable=playable,
        like=stock if row is None and written_like(stock) else "",
    )


def wrong(rows: list[Row]) -> int:
    """In how many cases the table's word is not that of the second reading."""
    count = 0
    for base, condition, signs, stock, playable in product(BASES, CONDITIONS, SIGNS, STOCKS, (False, True)):
        if signs and "ok" in condition:
            continue
        said = advise(known(base, condition, signs, stock, playable), COURSE, rules=rows).word
        count += said != word_of(base, frozenset(condition), frozenset(signs), stock, playable)
    return count


def test_the_table_and_the_second_reading_agree() -> None:
    assert wrong(list(table("decisions").values())) == 0


def test_every_stock_of_the_second_reading_stands_in_the_table_as_it_is_published() -> None:
    assert all(stock.sticky == "yes" for name in LISTED if (stock := find_stock(name)))
    assert all(stock.route == "cold" for name in COLD if (stock := find_stock(name)))
    assert all(stock.route == "fast play" for name in FAST if (stock := find_stock(name)))
    assert all(stock.sticky == "test first" for name in MIXED if (stock := find_stock(name)))
    assert all(find_stock(name) is None and written_like(name) for name in LIKE)
    assert {stock.route for stock in all_stocks() if stock.sticky == "yes"} == {"heat"}
