"""A box whose word for the tape only looks like a stock: asked about until the owner says which it is.

`Ampex 456 Grand Master` is what boxes really say. It names no row of the table, and it may well be the 456:
it is never taken for that stock, and never for a sound one either.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from core.tape.stock import Base, Stock
from core.tape.stock_names import normal_name
from core.tape.stocks import all_stocks, find_stock


def written_like(text: str, own: Mapping[str, Stock] = {}) -> Stock | None:
    """The suspect stock whose number stands in `text` beside other words; None where it names a stock.

    Stocks known to become sticky count beside any word; those with mixed reports beside their own maker's
    name. The owner's rows count before the table's.
    """
    if not text.strip() or find_stock(text, own) is not None:
        return None
    suspects = [stock for stock in _resembling(text) if _now(stock, own).sticky != "no"]
    mine = [stock for stock in own.values() if stock.sticky == "yes" and _holds_number(text, stock)]
    return next(iter([*suspects, *mine]), None)


def base_written(text: str, own: Mapping[str, Stock] = {}) -> Base:
    """The base other than polyester of which the words on a box speak; ``unknown`` where they speak of none.

    By a plain word (``511 acetate``), or by the number of a stock of that base beside its maker's name
    (``Scotch 111A``). Words of a box are no proof: they only say that somebody is to look.
    """
    plain = re.search(rf"\b(?:{'|'.join(_BASES)})\b", _letters(text))
    if plain is not None:
        return next(base for words, base in _BASES.items() if re.fullmatch(words, plain[0]))
    if not text.strip() or find_stock(text, own) is not None:
        return "unknown"
    return _base_of_alike(text)


_ACETATE = (
    "(?:di|tri)?a[cz][eé]t(?:ate?s?|ato|aat)(?:-?band)?|acet(?:yl|at)[ -]?cellulose"
    "|[cz]ell?ulose-?a[cz]etat\\w*|safety (?:base|film)|cellulose|celluloid"
)
_PVC = "pvc|polyvinyl(?: ?chlorid[e]?)?|luvitherm|genotherm|vinyl (?:base|back(?:ed|ing))"
_PAPER_TAPE = "(?:cinta|fita) de papel|papierband|bande papier|papier tape|kraft paper"
#: Plain words for a base, as people write them, also where other languages are spoken: common practice of the
#: trade, and the trade names of PVC film, from memory.
_BASES: Mapping[str, Base] = {_ACETATE: "acetate", _PVC: "pvc", f"paper|{_PAPER_TAPE}": "paper"}
#: Those that are the title of nothing.
_NO_TITLE = f"(?:{_ACETATE}|{_PVC}|{_PAPER_TAPE})"
_NO_TAPE = "(?<!no )(?<!not )(?<!from )(?<!from an )"


def base_on_label(text: str) -> Base:
    """The same of a box's label, where such a word names the tape: ``old acetate reel``, no song of paper.

    Acetate and PVC do so wherever they stand, but for the disc of that name; paper beside a word for tape, or
    where nothing else stands on the box.
    """
    label = " ".join(re.findall(r"[\w-]+", _letters(text)))
    base = "|".join(_BASES)
    near = re.search(rf"\b({base})[ -]?(?:tape|base|backed|backing|reel|spool|roll)s?\b", label)
    alone = re.search(r"^(?:on |auf |sur )?papi?er$|\b(?:on|auf|sur) papi?er$", label)
    plain = re.search(rf"{_NO_TAPE}\b{_NO_TITLE}\b(?! (?:disc|disk|dub)s?\b)", label)
    if plain is None and alone is not None:
        return "paper"
    found = near or plain
    return base_written(found[0]) if found else "unknown"


def base_in_notes(text: str) -> Base:
    """The same of a tape's notes, where a cell that nobody could read, or another key of it, told it."""
    cell = re.search(rf"\bbase(?:[_ ]seen)?:? ({'|'.join(_BASES)})\b", _letters(text))
    return base_written(cell[1]) if cell else base_on_label(text)


#: Letters without which no word for a base stands.
_OF_A_BASE = ("acet", "azet", "acét", "pvc", "p.v.c", "p. v", "vinyl", "papier", "paper", "papel", "cellul",
              "zellul", "celul", "safety", "luvi", "geno", "base")  # fmt: skip


def may_tell_a_base(text: str) -> bool:
    """True of words in which a base may be told: most notes have none of its letters."""
    plain = text.casefold()
    return any(one in plain for one in _OF_A_BASE)


def _letters(text: str) -> str:
    """The text caseless, with letters that stand for a word as that word: P.V.C."""
    return re.sub(r"\bp\. ?v\. ?c\b\.?", "pvc", text.casefold())


@lru_cache(maxsize=4096)
def _base_of_alike(text: str) -> Base:
    """The base of the table's stock, other than polyester, whose number and maker stand in the text."""
    said = normal_name(text)
    alike = (
        stock.base for stock in all_stocks()
        if stock.base not in ("polyester", "unknown")
        and _names_maker(said, stock)
        and _holds_number(text, stock)
    )  # fmt: skip
    return next(alike, "unknown")


@lru_cache(maxsize=4096)
def _resembling(text: str) -> tuple[Stock, ...]:
    """The table's suspect stocks whose number stands in the text, those of a maker named there first."""
    said = normal_name(text)
    found = [
        (not _names_maker(said, stock), stock)
        for stock in all_stocks()
        if stock.sticky != "no"
        and _holds_number(text, stock)
        and (stock.sticky == "yes" or _names_maker(said, stock))
    ]
    return tuple(stock for _, stock in sorted(found, key=lambda one: (one[0], one[1].sticky != "yes")))


def _now(stock: Stock, own: Mapping[str, Stock]) -> Stock:
    whole = f"{stock.makers[0]} {stock.model}" if stock.makers else stock.model
    return find_stock(whole, own) or stock


def _names_maker(said: str, stock: Stock) -> bool:
    return any(normal_name(maker) in said for maker in stock.makers)


def _holds_number(text: str, stock: Stock) -> bool:
    return _tells(stock.model) in normal_name(text) and bool(_alone(stock.model).search(text.casefold()))


@cache
def _tells(model: str) -> str:
    """The number in a model's name, or the whole name where it has none of three digits."""
    digits = re.search(r"[0-9]{3,}", model)
    return digits[0] if digits else normal_name(model)


@cache
def _alone(model: str) -> re.Pattern[str]:
    """What tells a model, standing by itself: 468 of PEM 468, never in 4680."""
    told = _tells(model)
    if told.isdigit():
        return re.compile(rf"(?<![0-9]){told}(?![0-9])")
    spaced = r"[\s-]*".join(map(re.escape, told))
    return re.compile(rf"(?<![a-z0-9]){spaced}(?![a-z0-9])")
