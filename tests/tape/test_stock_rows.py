"""Every stock of the table as its reports have it: treated or not, its base, what helps, its back coat.

Read from the reports and not from the table: Restoration Tips & Notes, Degrading tapes, 2012 and 2021, with
its notes of 2017; a recorder mailing list's table of sticky tapes; ARSC list, February 2009, December 2015,
January 2016; AV Media Matters list, April 2001; an encyclopedia's page on sticky-shed syndrome. Back coats
where these speak of one, else from memory; a base is polyester or acetate only where one of them says so.
"""

import pytest

from core.tape.stocks import all_stocks, find_stock

#: Stock: treated before it is played, base, the way that helps (``-``: none that is known), back coat.
REPORTED = {
    "Ampex 406": "yes, polyester, heat, coat", "Quantegy 407": "yes, polyester, heat, coat",
    "Ampex 456": "yes, polyester, heat, coat", "Quantegy 457": "yes, polyester, heat, coat",
    "Ampex 499": "yes, polyester, heat, coat", "Scotch 226": "yes, polyester, heat, coat",
    "3M 227": "yes, polyester, heat, coat", "Scotch 250": "yes, polyester, heat, coat",
    "3M 806": "yes, polyester, heat, coat", "Scotch 807": "yes, polyester, heat, coat",
    "3M 808": "yes, polyester, heat, coat", "Scotch 809": "yes, polyester, heat, coat",
    "Capitol Q15": "yes, polyester, heat, no coat",
    "Ampex Grand Master": "test first, unknown, heat, coat",
    "Scotch 206": "test first, unknown, heat, coat", "3M 207": "test first, unknown, heat, coat",
    "Scotch 208": "test first, unknown, heat, coat not known",
    "Scotch 256": "test first, unknown, none, coat not known",
    "3M 996": "test first, unknown, -, coat",
    "Scotch 908": "test first, unknown, -, coat not known",
    "Scotch 986": "test first, unknown, -, coat not known",
    "Scotch 175": "test first, unknown, cold, no coat", "Melody 169": "test first, unknown, cold, no coat",
    "Scotch 176": "test first, unknown, slow unwind, no coat",
    "Sony PR-150": "test first, unknown, cold, coat not known",
    "Sony SLH-180": "test first, unknown, -, coat not known",
    "Sony ULH": "test first, unknown, -, coat not known",
    "Shamrock 031": "test first, unknown, fast play, coat not known",
    "Shamrock 041": "test first, unknown, -, coat not known",
    "Agfa PEM 468": "test first, unknown, heat, coat", "Agfa PEM 469": "test first, unknown, wipe, coat",
    "BASF SM 911": "test first, unknown, -, coat", "Maxell UD-XL 35-90": "test first, unknown, -, coat",
    "Scotch 111": "no, acetate, none, no coat",
}  # fmt: skip
COATS = {"yes": "coat", "no": "no coat", "unknown": "coat not known"}


@pytest.mark.parametrize("name", REPORTED)
def test_a_stock_is_as_it_is_reported(name: str) -> None:
    stock = find_stock(name)
    assert stock is not None
    told = (stock.sticky, stock.base, stock.route or "-", COATS[stock.back_coat])
    assert ", ".join(told) == REPORTED[name]


def test_no_stock_of_the_table_is_left_out_here() -> None:
    here = {id(find_stock(name)) for name in REPORTED}
    assert here == {id(stock) for stock in all_stocks()}
