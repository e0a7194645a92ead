"""Values as plain JSON and back: cattrs reads and writes a frozen dataclass by its fields.

A field tells with `named` where JSON calls it otherwise (``from``), or that it is left out while it is as by
default. cattrs loads when the first value is read or written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from fractions import Fraction
from functools import cache
from types import GenericAlias
from typing import TYPE_CHECKING, Any, TypeVar, cast, get_type_hints

from core.clock import write_time

if TYPE_CHECKING:
    from cattrs import Converter

_NAME, _QUIET, _AS_TOLD = "name", "quiet", "as told"

V = TypeVar("V")
Record = Mapping[str, Any]
"""What a shelf keeps under one key, as plain JSON; whoever knows its kind reads it as a value."""


def named(name: str = "", *, quiet: bool = False, as_told: bool = False) -> dict[str, object]:
    """Metadata of a field: what JSON calls it; ``quiet``: not told while it is as by default.

    ``as_told``: a word, one of a list, that is read all the same where another program wrote one that is
    not on the list.
    """
    return {_NAME: name, _QUIET: quiet, _AS_TOLD: as_told}


def read(made: type[V], told: object) -> V:
    """The value that JSON tells; what is there beside its fields is passed over.

    ValueError with every place that is wrong, where it is no such value.
    """
    try:
        return _converter(quiet=False).structure(told, made)
    except Exception as error:  # cattrs gathers all that is wrong in one group
        from cattrs import StructureHandlerNotFoundError, transform_error

        if isinstance(error, StructureHandlerNotFoundError):
            raise  # nothing is wrong with what was told: the class has a field of no kind known here
        raise ValueError("; ".join(transform_error(error, path=made.__name__))) from error


def as_json(value: object, *, quiet: bool = False) -> dict[str, object]:
    """The value as plain JSON, its fields in their order; ``quiet``: only those not as by default."""
    return cast(dict[str, object], _converter(quiet=quiet).unstructure(value))


@cache
def names_of(made: type) -> Mapping[str, str]:
    """What JSON calls each field of a class."""
    return {at.name: str(at.metadata.get(_NAME) or at.name) for at in fields(made)}


def _named_tuple(made: object) -> bool:
    return isinstance(made, type) and issubclass(made, tuple) and hasattr(made, "_fields")


@cache
def _bare(made: type) -> type[tuple[object, ...]]:
    """The tuple without names."""
    return cast(type[tuple[object, ...]], GenericAlias(tuple, tuple(get_type_hints(made).values())))


@cache
def _converter(*, quiet: bool) -> Converter:
    from cattrs import Converter
    from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

    made = Converter(unstruct_collection_overrides={tuple: list})
    made.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    made.register_unstructure_hook(datetime, write_time)
    made.register_structure_hook_func(lambda one: one is object, lambda told, _: told)
    made.register_structure_hook(Fraction, lambda text, _: Fraction(str(text)))
    made.register_unstructure_hook(Fraction, str)
    made.register_unstructure_hook(float, float)  # numbers of numpy are no JSON
    made.register_unstructure_hook(int, int)
    made.register_unstructure_hook(bool, bool)

    def each(one: type) -> dict[str, object]:
        silent = {at.name: quiet or bool(at.metadata.get(_QUIET)) for at in fields(one)}
        words = {at.name for at in fields(one) if at.metadata.get(_AS_TOLD)}
        return {
            name: override(
                rename=told if told != name else None,
                omit_if_default=silent[name],
                struct_hook=(lambda word, _: str(word)) if name in words else None,
            )
            for name, told in names_of(one).items()
        }

    # A tuple with names is a list in JSON, of as many.
    made.register_unstructure_hook_func(_named_tuple, list)
    made.register_structure_hook_func(
        _named_tuple,
        lambda told, one: one._make(made.structure(told, _bare(one))),
    )
    made.register_structure_hook_factory(
        is_dataclass,
        lambda one: make_dict_structure_fn(one, made, **each(one)),  # type: ignore[arg-type]
    )
    made.register_unstructure_hook_factory(
        is_dataclass,
        lambda one: make_dict_unstructure_fn(one, made, **each(one)),  # type: ignore[arg-type]
    )
    return made
