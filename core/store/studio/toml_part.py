"""One table of a TOML file, read strictly: every wrong key is noted with its path and what would be right."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from fractions import Fraction
from typing import Any

from core.quantities import Kind, Quantity
from core.store.rows.columns import Reading, ReadQuantity, shown
from core.store.rows.figures import offered
from core.store.rows.never_was import beyond, never_was, right_figure

NOTHING = Quantity("", Fraction(1))
MISSING = object()


class Part:
    """A table of the file, its path for messages, and the list in which what is wrong is noted."""

    def __init__(
        self, values: object, path: str, wrong: list[str], quantity: ReadQuantity, *, kept: bool = False
    ) -> None:
        self.path = path
        self.wrong = wrong
        self.read_quantity = quantity
        self.kept = kept  # read from a shelf: figures that are refused now are taken
        self.used: dict[str, None] = {}
        self.inner: list[Part] = []  # tables inside it of which the rest is asked for too
        self.grid = 5  # minutes: stretches of time keep to it
        if not isinstance(values, dict):
            self.say("", values, "a table")
            values = {}
        self.values: dict[str, object] = values

    def say(self, key: str, value: object, right: str) -> None:
        """Notes that a key's value is wrong and what would be right."""
        place = f"{self.path}.{key}" if key and self.path else key or self.path
        what = "is missing: give" if value is MISSING else f"{_told(value)} is not"
        self.wrong.append(f"{place} {what} {right}" if value is MISSING else f"{place}: {what} {right}")

    def get(self, key: str, right: str, *, needed: bool) -> object:
        """The key's raw value; noted where it is needed and missing."""
        self.used[key] = None
        value = self.values.get(key, MISSING)
        if value is MISSING and needed:
            self.say(key, MISSING, right)
        return value

    def checked(self, key: str, right: str, default: Any, fits: Callable[[Any], bool]) -> Any:
        """The value where it fits, else the default (MISSING: the key is needed)."""
        value = self.get(key, right, needed=default is MISSING)
        if value is MISSING or not fits(value):
            if value is not MISSING:
                self.say(key, value, right)
            return None if default is MISSING else default
        return value

    def text(self, key: str, right: str, default: object = MISSING) -> str:
        """Text, trimmed, on one line."""
        found = self.checked(
            key, right, default, lambda v: isinstance(v, str) and (v == "" or v.isprintable())
        )
        return (found or "").strip()

    def name(self, key: str, right: str) -> str:
        """Text that is not empty, of at most 40 characters."""
        fits: Callable[[object], bool] = lambda v: (  # noqa: E731
            isinstance(v, str) and v.isprintable() and 0 < len(v.strip()) <= 40
        )
        return str(self.checked(key, right, MISSING, fits) or "").strip()

    def flag(self, key: str, *, default: bool = False) -> bool:
        """true or false."""
        return bool(self.checked(key, "true or false", default, lambda v: isinstance(v, bool)))

    def whole(
        self, key: str, lowest: int, highest: int, default: object = MISSING, *, column: str = ""
    ) -> int:
        """A whole number in a range, such as there were; ``column``: the name that the list has for it."""
        right = right_figure(column or key) or f"a whole number from {lowest} to {highest}"
        found = self.checked(
            key,
            right,
            default,
            lambda v: isinstance(v, int) and not isinstance(v, bool) and lowest <= v <= highest,
        )
        self._never(key, found, column)
        return lowest if found is None else int(found)

    def number(self, key: str, right: str, default: object = MISSING, highest: int = 100_000) -> Fraction:
        """A number from nothing up, exact as it was typed."""
        right = right_figure(key) or right
        found = self.checked(key, right, default, lambda v: _plain_number(v) and 0 <= v <= highest)
        number = None if found is None else Fraction(str(found))
        self._never(key, number)
        return Fraction(1) if number is None else number

    def _never(self, key: str, found: Fraction | int | None, column: str = "") -> None:
        """Notes a figure that cannot be; what a shelf has kept is taken."""
        never = "" if found is None or self.kept else beyond(column or key, found)
        if never:
            self.say(key, self.values.get(key), never)

    def quantity(
        self, key: str, kind: Kind, *, needed: bool = True, none_too: bool = False, column: str = ""
    ) -> Quantity | None:
        """A number with its unit, above nothing (``none_too``: or nothing); NOTHING where it is wrong."""
        value = self.get(key, f"a {kind} with its unit", needed=needed)
        found = (
            self.read_as(key, value, kind, none_too=none_too, column=column) if value is not MISSING else None
        )
        return NOTHING if needed and found is None else found

    def needed_quantity(self, key: str, kind: Kind, *, none_too: bool = False, column: str = "") -> Quantity:
        """As ``quantity``, for a key that must be there."""
        return self.quantity(key, kind, none_too=none_too, column=column) or NOTHING

    def quantities(self, key: str, kind: Kind, column: str = "") -> tuple[Quantity, ...]:
        """A list of quantities, not empty, none twice, such as there were for that column of a reel."""
        right = f"a list such as {_LISTS[kind]}"
        value = self.checked(key, right, MISSING, lambda v: isinstance(v, list) and len(v) > 0)
        found = [
            self.read_as(f"{key}[{n}]", one, kind, column=column) for n, one in enumerate(value or (), 1)
        ]
        return tuple(dict.fromkeys(one for one in found if one is not None))

    def read_as(
        self, key: str, value: object, kind: Kind, *, none_too: bool = False, column: str = ""
    ) -> Quantity | None:
        """A quantity that stands at that key; None where it is wrong, which is noted."""
        if not isinstance(value, str):
            self.say(key, value, f"a {kind} in quotes, with its unit")
            return None
        try:
            found = self.read_quantity(value, kind)
        except ValueError as error:
            offers = offered(column, value, kind, Reading(UTC, self.read_quantity))
            meant = f": did you mean {' or '.join(offers)}?" if offers else ""
            self.say(key, value, f"{error}{meant}")
            return None
        if kind != "temperature" and (found.number < 0 or (found.number == 0 and not none_too)):
            self.say(key, value, f"a {kind} above nothing")
            return None
        never = never_was(column, found) if column and found.number and not self.kept else ""
        if never:
            self.say(key, value, never)
            return None
        return found

    def part(self, key: str) -> Part | None:
        """A table inside this one; None if it is not there."""
        value = self.get(key, "", needed=False)
        return (
            None
            if value is MISSING
            else Part(value, self._under(key), self.wrong, self.read_quantity, kept=self.kept)
        )

    def parts(self, key: str) -> list[Part]:
        """The tables of an array of tables."""
        value = self.get(key, "", needed=False)
        if value is MISSING:
            return []
        if not isinstance(value, list):
            self.say(key, value, f"a list of tables, each under [[{key}]]")
            return []
        return [
            Part(one, f"{self._under(key)}[{n}]", self.wrong, self.read_quantity, kept=self.kept)
            for n, one in enumerate(value, 1)
        ]

    def rest(self) -> tuple[tuple[str, str, str], ...]:
        """What the table says beyond what was asked for; a key nearly one of ours is noted as wrong."""
        out = []
        unknown = {key: value for key, value in self.values.items() if key not in self.used}
        if unknown:
            from difflib import get_close_matches
        for key, value in unknown.items():
            near = get_close_matches(key.casefold().replace("-", "_"), [*self.used], 1, 0.82)
            if near:
                self.wrong.append(f"{self._under(key)} is not a key we know: did you mean {near[0]}?")
            out.append((self.path, key, json.dumps(_as_json(value), ensure_ascii=False)))
        return tuple(out)

    def _under(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key


_LISTS = {"length": '["1 in", "1/4 in"]', "speed": '["15 ips", "30 ips"]'}


def _plain_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and value == value


def _told(value: object) -> str:
    if isinstance(value, str):
        return shown(value)
    return shown(json.dumps(_as_json(value), ensure_ascii=False)).strip("'")


def _as_json(value: object) -> object:
    """A TOML value as JSON; what JSON has no word for is kept as its TOML text."""
    if isinstance(value, dict):
        return {key: _as_json(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_as_json(one) for one in value]
    if isinstance(value, datetime | date | time):
        return {"toml": value.isoformat()}
    if isinstance(value, float) and (value != value or value in (float("inf"), float("-inf"))):
        return {"toml": str(value)}
    return value
