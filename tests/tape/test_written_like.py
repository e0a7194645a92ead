"""What boxes really say, which is not quite a stock's name."""

import pytest

from core.tape.stock import Stock
from core.tape.written_like import written_like


@pytest.mark.parametrize(
    ("text", "like"),
    [
        ("Ampex 456 Grand Master", "456"),
        ("3M Scotch 226", "226"),
        ("Quantegy 499 Gold", "499"),
        ("Agfa 468", "PEM 468"),
        ("Scotch 226 mastering", "226"),
        ("AMPEX-456GM", "456"),
        ("456 studio master", "456"),
        ("BASF 406", "406"),
        ("Capitol Q15 High Output", "Q15"),
        ("Scotch 456", "456"),
    ],
)
def test_a_box_that_says_more_than_the_name_is_asked_about(text: str, like: str) -> None:
    stock = written_like(text)
    assert stock is not None
    assert stock.model == like


@pytest.mark.parametrize(
    "text",
    ["", " ", "Ampex 456", "456", "3M/Scotch 226", "Agfa PEM 468", "Ampex 4567", "lot 14561", "Scotch 111",
     "Harbour 12", "468 lot", "high output"],
)  # fmt: skip
def test_a_name_of_the_table_or_of_nothing_near_it_is_not(text: str) -> None:
    assert written_like(text) is None


def test_the_owners_answer_settles_it() -> None:
    text = "Ampex 456 Grand Master"
    assert written_like(text, {text: Stock(text, sticky="test first")}) is None
    assert (
        written_like(
            "Quantegy 456 Gold", {"Ampex 456": Stock("456", ("Ampex",), sticky="no", base="polyester")}
        )
        is None
    )
