"""A date on the command line."""

from __future__ import annotations

from datetime import date

from core.errors import Unusable


def read_date(option: str, text: str | None) -> date | None:
    """The date of an option, None where it is not given; Unusable with the option's name where it is none."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Unusable(f"{option} {text!r} is no date: write it as 2026-12-24") from None
