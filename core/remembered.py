"""What follows from a whole shelf alone, worked out once for the shelf that is asked about again."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

    from core.shelf import Shelf

_Told = TypeVar("_Told")


def once_a_shelf(work: Callable[[Shelf], _Told]) -> Callable[[Shelf], _Told]:
    """The same function, which keeps its answer for the shelf that it was asked about last.

    A shelf is never changed, so that the same value has the same answer; what is given must not be changed
    either. Threads may ask at once: one of them works it out in vain.
    """
    last: tuple[Shelf, _Told] | None = None

    @wraps(work)
    def asked(shelf: Shelf) -> _Told:
        nonlocal last
        known = last
        if known is None or known[0] is not shelf:
            known = last = (shelf, work(shelf))
        return known[1]

    return asked
