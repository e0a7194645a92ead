"""Frozen values as the standard library makes them, with comparing functions written when first asked for.

The first picture takes a hundred kinds of values and compares two of them; writing those functions for each
is a quarter of the time that their modules take to load.
"""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(**options: bool):
        """``dataclasses.dataclass``, by the same words."""
        if not options.get("frozen") or not options.get("eq", True) or options.get("order"):
            return dataclasses.dataclass(**options)
        make = dataclasses.dataclass(**{**options, "eq": False, "repr": False})
        return lambda written: _compares_when_asked(make(written), vars(written))


def _compares_when_asked(kind: Any, by_hand: Any) -> Any:
    """The class with stand-ins for what nobody wrote by hand."""

    def own(name: str) -> Any:
        like = dataclasses.make_dataclass(kind.__name__, compared, init=False, repr=False, unsafe_hash=True)
        for one in put_off:
            setattr(kind, one, vars(like)[one])
        return vars(kind)[name]

    compared = [
        (one.name, object, dataclasses.field(compare=one.compare, hash=one.hash))
        for one in dataclasses.fields(kind)
    ]
    put_off = [] if "__eq__" in by_hand else ["__eq__"]
    if put_off and by_hand.get("__hash__") is None:
        put_off.append("__hash__")
    if "__eq__" in put_off:
        kind.__eq__ = lambda one, other: own("__eq__")(one, other)
    if "__hash__" in put_off:
        kind.__hash__ = lambda one: own("__hash__")(one)
    if "__repr__" not in by_hand:
        kind.__repr__ = _shown
    return kind


def _shown(one: Any) -> str:
    told = (f"{field.name}={getattr(one, field.name)!r}" for field in dataclasses.fields(one) if field.repr)
    return f"{type(one).__qualname__}({', '.join(told)})"
