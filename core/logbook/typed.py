"""Records of one kind as values of one class. What a record holds and its class does not know stays in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Generic, Protocol, TypeVar

from core.as_json import as_json, names_of, read
from core.errors import Refused
from core.shelf import RecordKind, Shelf
from core.values import dataclass


class Logged(Protocol):
    """A frozen dataclass that the shelf keeps; ``kept_as`` is the kind of record that holds it."""

    kept_as: ClassVar[RecordKind]
    __dataclass_fields__: ClassVar[dict[str, Any]]


V = TypeVar("V", bound=Logged)


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
    known = names_of(type(value)).values()
    unknown = {name: one for name, one in there.items() if name not in known}
    return shelf.with_record(value.kept_as, key, {**as_json(value, quiet=True), **unknown})


def value_of(made: type[V], key: str, record: Mapping[str, object]) -> V:
    """A record read as that value; Refused where it is none."""
    try:
        return read(made, record)
    except ValueError as error:
        raise Refused(f"{made.kept_as} {key!r} on this shelf cannot be read: {error}") from None
