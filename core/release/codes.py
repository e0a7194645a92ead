"""Codes of recordings and works: their form, as given; whether they were issued nobody here can tell."""

from __future__ import annotations

import re


def plain_isrc(text: str) -> str:
    """An ISRC without what is written around and between its letters."""
    return re.sub(r"[\s-]", "", text).upper().removeprefix("ISRC")


def isrc_trouble(text: str) -> str | None:
    """What is wrong with an ISRC (ISO 3901): two letters, three letters or digits, seven digits."""
    if re.fullmatch(r"[A-Z]{2}[A-Z0-9]{3}\d{7}", plain_isrc(text)):
        return None
    return "is no ISRC: two letters, three letters or digits, then seven digits, such as AA-6Q7-20-00047"


def iswc_trouble(text: str) -> str | None:
    """What is wrong with an ISWC (ISO 15707): T, nine digits and a check digit, modulo 10; else None.

    The check digit makes 1 + the sum of each digit times its place (1 to 9) + itself a multiple of ten.
    """
    plain = re.sub(r"[\s.-]", "", text).upper().removeprefix("ISWC")
    if not re.fullmatch(r"T\d{10}", plain):
        return "is no ISWC: T, nine digits and a check digit, such as T-034.524.680-1"
    digits = [int(one) for one in plain[1:]]
    check = (-(1 + sum(n * digit for n, digit in enumerate(digits[:9], 1)))) % 10
    if digits[9] == check:
        return None
    return f"has a check digit of {digits[9]} where {check} is right: a digit is mistyped"
