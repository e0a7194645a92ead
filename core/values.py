"""Frozen values as the standard library makes them, with functions written when they are first asked for.

The first picture takes a hundred kinds of values, fills those of forty and compares two: writing what fills,
compares and freezes each kind takes longer than all else that there is to making one.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass

    from _typeshed import DataclassInstance
else:

    def dataclass(*, frozen: bool = False, eq: bool = True, **options: bool):
        """``dataclasses.dataclass``, by the same words."""
        if not frozen or options.keys() - {"slots"}:
            return dataclasses.dataclass(frozen=frozen, eq=eq, **options)
        make = dataclasses.dataclass(init=False, eq=False, repr=False, **options)

        def made(written: type) -> type:
            by_hand = vars(written)
            kind = _frozen(make(written), by_hand)
            return _compares_when_asked(kind, by_hand) if eq else kind

        return made


def _frozen(kind: Any, by_hand: Mapping[str, object]) -> Any:
    """The class, filled by a function that its first value writes, and never written to again."""

    def fills(one: object, *told: object, **named: object) -> None:
        if kind.__init__ is fills:
            kind.__init__ = _filling(kind)
        kind.__init__(one, *told, **named)

    if "__init__" not in by_hand:
        kind.__init__ = fills
    kind.__setattr__, kind.__delattr__ = _no_writing, _no_taking
    if "__slots__" in vars(kind):
        kind.__getstate__, kind.__setstate__ = _told, _taken_up
    if "__repr__" not in by_hand:
        kind.__repr__ = _shown
    return kind


def _filling(kind: Any) -> Callable[..., None]:
    """Writes what fills a value of that kind: an argument a field, in their order, each put in its place."""
    words: dict[str, object] = {"_put_": object.__setattr__, "_blank_": dataclasses.MISSING}
    asked, body = [], []
    for number, one in enumerate(dataclasses.fields(kind)):
        default, fresh, name = f"_default_{number}_", f"_fresh_{number}_", one.name
        words |= {default: one.default, fresh: one.default_factory}
        made = one.default_factory is not dataclasses.MISSING
        given = one.default is not dataclasses.MISSING
        value = name if one.init else f"{fresh}()" if made else default
        if one.init:
            asked.append(f"{name}=_blank_" if made else f"{name}={default}" if given else name)
        if one.init and made:
            value = f"{fresh}() if {name} is _blank_ else {name}"
        if one.init or made or given:
            body.append(f" _put_(self, {name!r}, {value})")
    if hasattr(kind, "__post_init__"):
        body.append(" self.__post_init__()")
    exec(f"def __init__({', '.join(('self', *asked))}):\n" + ("\n".join(body) or " pass"), words)
    filling = cast("Callable[..., None]", words["__init__"])
    filling.__qualname__ = f"{kind.__qualname__}.__init__"
    return filling


def _no_writing(one: object, name: str, value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_taking(one: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _told(one: DataclassInstance) -> list[object]:
    return [getattr(one, field.name) for field in dataclasses.fields(one)]


def _taken_up(one: DataclassInstance, told: list[object]) -> None:
    for field, value in zip(dataclasses.fields(one), told, strict=True):
        object.__setattr__(one, field.name, value)


def _compares_when_asked(kind: Any, by_hand: Mapping[str, object]) -> Any:
    """The class with stand-ins for what nobody wrote by hand."""

    def own(name: str) -> Any:
        like = dataclasses.make_dataclass(kind.__name__, compared(), init=False, repr=False, unsafe_hash=True)
        for one in put_off:
            setattr(kind, one, vars(like)[one])
        return vars(kind)[name]

    def compared() -> list[tuple[str, type, object]]:
        return [
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
    return kind


def _shown(one: DataclassInstance) -> str:
    told = (f"{field.name}={getattr(one, field.name)!r}" for field in dataclasses.fields(one) if field.repr)
    return f"{type(one).__qualname__}({', '.join(told)})"
