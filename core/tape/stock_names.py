"""How a stock is written: maker and model, the model alone; compared without case, spaces and hyphens."""

from __future__ import annotations

from functools import lru_cache
from itertools import permutations

HYPHENS = "-\u00ad\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
_NO_HYPHENS = dict.fromkeys(map(ord, HYPHENS))


@lru_cache(maxsize=1024)
def written_names(makers: tuple[str, ...], model: str, alone: tuple[str, ...]) -> frozenset[str]:
    """Every way to write a model: with each maker, with two of them, and alone, as they are compared."""
    together = ("/".join(both) for both in permutations(makers, 2))
    whole = (model, *alone, *(maker + model for maker in (*makers, *together)))
    return frozenset(normal_name(one) for one in whole)


def normal_name(text: str) -> str:
    """A stock's name as it is compared: caseless, without spaces and hyphens."""
    return "".join(text.translate(_NO_HYPHENS).casefold().split())
