"""Records of one kind as values of one class, and back: cattrs reads and writes them by the class's fields.

A field whose record has another name (``from``, ``by paper``) tells it with `named`. What a record holds and
its class does not know stays in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar, Generic, Protocol, TypeVar, cast

from core.clock import write_time
from core.errors import Refused
from core.shelf import Shelf

if TYPE_CHECKING:
    from cattrs import Converter

_NAME = "record"


class Logged(Protocol):
    """A frozen dataclass that the shelf keeps; ``kept_as`` is the kind of record that holds it."""

    kept_as: ClassVar[str]
    __dataclass_fields__: ClassVar[dict[str, Any]]


V = TypeVar("V", bound=Logged)


def named(name: str) -> dict[str, str]:
    """Metadata of a field that its record keeps under another name, such as ``by paper``."""
    return {_NAME: name}


@dataclass(frozen=True, slots=True, eq=False)
class Entries(Mapping[str, V], Generic[V]):
    """The records of one kind by key, each read as a value when it is looked at.

    Looking at one that is no such value raises Refused, with its kind and key.
    """

    made: type[V]
    records: Mapping[str, Mapping[str, object]]

    def __getitem__(self, key: str) -> V:
        return value_of(self.made, key, self.records[key])

    def __contains__(self, key: object) -> bool:
        return key in self.records

    def __iter__(self) -> Iterator[str]:
        return iter(self.records)

    def __len__(self) -> int:
        return len(self.records)


def entries(shelf: Shelf, made: type[V]) -> Entries[V]:
    """What the shelf keeps of that kind."""
    return Entries(made, shelf.of_kind(made.kept_as))


def with_entry(shelf: Shelf, key: str, value: Logged) -> Shelf:
    """The shelf with that value under that key."""
    there = shelf.of_kind(value.kept_as).get(key, {})
    unknown = {name: one for name, one in there.items() if name not in _names(type(value))}
    return shelf.with_record(value.kept_as, key, {**record_of(value), **unknown})


def value_of(made: type[V], key: str, record: Mapping[str, object]) -> V:
    """A record read as that value; Refused where it is none."""
    try:
        return _converter().structure(record, made)
    except Exception as error:  # cattrs gathers all that is wrong in one group
        from cattrs import transform_error

        wrong = "; ".join(transform_error(error, path=""))
        raise Refused(f"{made.kept_as} {key!r} on this shelf cannot be read: {wrong}") from None


def record_of(value: Logged) -> dict[str, object]:
    """The value as its record: plain JSON, without what is as by default."""
    return cast(dict[str, object], _converter().unstructure(value))


@cache
def _converter() -> Converter:
    """cattrs with our moments and names; it loads when the first record is looked at."""
    from cattrs import Converter
    from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

    made = Converter(unstruct_collection_overrides={tuple: list})
    made.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    made.register_unstructure_hook(datetime, write_time)

    def names(one: type) -> Any:
        return {at.name: override(rename=at.metadata[_NAME]) for at in fields(one) if at.metadata}

    made.register_structure_hook_factory(
        is_dataclass, lambda one: make_dict_structure_fn(one, made, **names(one))
    )
    made.register_unstructure_hook_factory(
        is_dataclass,
        lambda one: make_dict_unstructure_fn(one, made, _cattrs_omit_if_default=True, **names(one)),
    )
    return made


@cache
def _names(made: type[Logged]) -> frozenset[str]:
    """The names under which a record keeps the fields of that class."""
    return frozenset(at.metadata.get(_NAME, at.name) for at in fields(made))
