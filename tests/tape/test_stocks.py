"""Stocks known to become sticky, however their names are written."""

import pytest
from wholetable import each_holds

from core.tape.own_stocks import as_json, as_record, own_rows
from core.tape.stock import Stock
from core.tape.stocks import all_stocks, find_stock, is_sticky_stock, stock_base, stocks_with_own

# Stocks treated before they are played: field lists compiled by a recorder mailing list and by
# an archive's page on degrading tapes; 227 and 806 to 809 from memory.
KNOWN = {
    ("Ampex", "Quantegy"): ("406", "407", "456", "457", "499"),
    ("Scotch", "3M"): ("226", "227", "250", "806", "807", "808", "809"),
    ("Capitol", "Audiotape"): ("Q15",),
}


def spellings() -> list[str]:
    out = []
    for makers, models in KNOWN.items():
        for model in models:
            for before in ("", *makers, "/".join(makers), "/".join(reversed(makers))):
                whole = f"{before} {model}".strip()
                out += [whole, whole.upper(), whole.lower(), whole.replace(" ", "-"), whole.replace(" ", "")]
                out += [" " + whole.replace(" ", "   ") + " ", "-".join(whole)]
    return out


def test_every_spelling_of_a_known_stock_is_sticky_and_polyester() -> None:
    def holds(text: str) -> None:
        assert is_sticky_stock(text)
        assert stock_base(text) == "polyester"

    each_holds(spellings(), holds)


def test_the_table_calls_no_other_stock_sticky() -> None:
    listed = {(stock.makers, stock.model) for stock in all_stocks() if stock.sticky == "yes"}
    assert listed == {(makers, model) for makers, models in KNOWN.items() for model in models}


def test_no_other_stock_is_called_polyester_without_a_source_in_hand() -> None:
    assert all(stock.sticky == "yes" for stock in all_stocks() if stock.base == "polyester")


@pytest.mark.parametrize(
    "text", ["", "  ", "-", "4567", "45", "Ampex", "Scotch 456", "Ampex 226", "BASF 406", "Q 150"]
)
def test_a_name_that_only_looks_alike_is_no_known_stock(text: str) -> None:
    assert not is_sticky_stock(text)
    assert stock_base(text) == "unknown"


# Reports differ by batch and keeping: restoration notes on degrading tapes, lists of 2015 and 2016.
@pytest.mark.parametrize(
    "text", ["Scotch 206", "3M 207", "Sony PR-150", "agfa pem468", "PEM 469", "Shamrock 031", "SM 911"]
)
def test_mixed_reports_are_test_first_and_never_silently_sound(text: str) -> None:
    stock = find_stock(text)
    assert stock is not None
    assert stock.sticky == "test first"


def test_an_acetate_stock_says_acetate() -> None:
    assert stock_base("Scotch 111") == "acetate"


def test_the_owners_row_adds_a_stock() -> None:
    own = {"Harbour 12": Stock("12", makers=("Harbour",), sticky="yes", base="polyester")}
    assert is_sticky_stock("harbour-12", own)
    assert is_sticky_stock("12", own)
    assert not is_sticky_stock("harbour-12")


def test_the_owners_row_takes_a_stock_away_under_all_its_names() -> None:
    own = {"Ampex 456": Stock("456", makers=("Ampex",), sticky="no", base="polyester")}
    assert not any(is_sticky_stock(text, own) for text in ("456", "Ampex 456", "Quantegy 456", "AMPEX-456"))
    assert is_sticky_stock("Ampex 457", own)


def test_the_owners_row_never_speaks_for_another_makers_stock() -> None:
    own = own_rows({"Harbour 111": {"model": "111", "makers": ["Harbour"], "base": "polyester"}})
    assert stock_base("Harbour 111", own) == "polyester"
    assert [stock_base(text, own) for text in ("Scotch 111", "3M-111", "111")] == ["acetate"] * 3


@pytest.mark.parametrize(
    ("record", "names"),
    [
        ({"base": "polyster"}, "base"),
        ({"back_coat": "maybe"}, "back_coat"),
        ({"route": "oven"}, "route"),
        ({"makers": "Harbour"}, "makers"),
        ({"total_mil": "thick"}, "total_mil"),
        ({"stickey": "no"}, "stickey"),
        ({"sticky": None}, "sticky"),
    ],
)
def test_an_owners_row_is_checked_field_by_field(record: dict[str, object], names: str) -> None:
    with pytest.raises(ValueError, match=names):
        own_rows({"Harbour 12": record})


@pytest.mark.parametrize(
    "fields", [{"model": " - "}, {"model": "1", "sticky": "maybe"}, {"model": "1", "base": "wood"}]
)
def test_a_stock_that_makes_no_sense_is_refused(fields: dict[str, str]) -> None:
    with pytest.raises(ValueError):
        Stock(**fields)  # type: ignore[arg-type]


def test_every_row_names_its_source_and_standing() -> None:
    assert all(stock.source and stock.standing for stock in all_stocks())


def test_an_owners_record_keeps_what_it_does_not_speak_of() -> None:
    own = own_rows({"Quantegy 456": {"sticky": "no"}, "Harbour 12": {"sticky": "yes", "base": "polyester"}})
    assert stock_base("456", own) == "polyester"
    assert not is_sticky_stock("Ampex 456", own)
    assert is_sticky_stock("HARBOUR-12", own)


def test_an_owners_row_without_a_base_permits_nothing() -> None:
    assert stock_base("Harbour 12", own_rows({"Harbour 12": {"sticky": "yes"}})) == "unknown"


def test_an_owners_row_comes_back_from_its_record() -> None:
    stock = Stock("12", makers=("Harbour",), sticky="yes", base="polyester", total_mil=1.9, years="1980")
    assert own_rows({"Harbour 12": as_record(stock)})["Harbour 12"] == stock


def test_an_owners_row_that_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="sticky"):
        own_rows({"Harbour 12": {"sticky": "perhaps"}})


def test_the_table_of_a_shelf_has_the_owners_rows_in_their_places() -> None:
    own = own_rows({"456": {"sticky": "no"}, "Harbour 12": {"sticky": "yes"}})
    rows = stocks_with_own(own)
    assert len(rows) == len(all_stocks()) + 1
    assert [stock.sticky for stock in rows if stock.model == "456"] == ["no"]
    assert rows[-1].model == "Harbour 12"
    assert stocks_with_own() == all_stocks()


def test_a_stock_tells_its_sources_to_other_programs() -> None:
    stock = find_stock("3M 226")
    assert stock is not None
    told = as_json(stock)
    assert (told["stock"], told["sticky"], told["base"]) == ("Scotch or 3M 226", "yes", "polyester")
    assert any("http" in one for one in told["source"])
