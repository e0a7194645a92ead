"""What the owner chose once for good, as typed values: the shelf keeps each as one plain JSON value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from core.values import dataclass

Choice = Literal[
    "check thresholds",  # name -> the shelf's own threshold or weight
    "equal parts",  # folded name of a part -> the name it goes by
    "figures",  # key of a figure -> {"value": the owner's number}
    "fill in",  # the sheets printed behind every work order
    "keys",  # id of a key -> the keys that do it
    "look",  # the colours of the screen
    "minutes before",  # name of the studio's minutes -> what they were before a learnt time was taken in
    "paper",  # the size that is printed on
    "plain signs",  # letters in place of signs
    "printer",  # sheets go to the printer too
    "sheets",  # what *everything* prints
    "units",  # kind of quantity -> the unit it is shown in
]
"""The names under which choices are kept."""

FILL_IN = ("looks", "line-ups", "transfers", "conditioning")
"""The sheets that may be printed behind a work order, to be filled in at table, deck and chamber."""

PaperSize = Literal["A4", "Letter"]


@dataclass(frozen=True, slots=True)
class Chosen:
    """The owner's choices. One that another program wrote as something else counts as not chosen."""

    kept: Mapping[str, object]

    @property
    def paper_size(self) -> PaperSize:
        """The paper that sheets are printed on where nobody names another: A4 until one is chosen."""
        return "Letter" if self.kept.get("paper") == "Letter" else "A4"

    @property
    def fill_in(self) -> tuple[str, ...]:
        """Which sheets to fill in are printed behind work orders: none until some are chosen."""
        return tuple(name for name in FILL_IN if name in self._list("fill in"))

    @property
    def fills_in(self) -> bool:
        """Whether sheets to fill in were chosen, be it that none is wanted."""
        return "fill in" in self.kept

    @property
    def sheets(self) -> tuple[str, ...]:
        """Names of the sheets that *everything* prints; empty where none were chosen."""
        return tuple(str(one) for one in self._list("sheets"))

    @property
    def printer(self) -> bool:
        """Whether sheets go to the system's printer too."""
        return bool(self.kept.get("printer"))

    @property
    def look(self) -> str:
        """The name of the screen's colours; empty where none was chosen."""
        return str(self.kept.get("look") or "")

    @property
    def plain_signs(self) -> bool | None:
        """Letters in place of signs; None where nothing was chosen."""
        return bool(self.kept["plain signs"]) if "plain signs" in self.kept else None

    @property
    def keys(self) -> Mapping[str, Any]:
        """The owner's own keys, by the id of what they do."""
        return self._by_name("keys")

    @property
    def units(self) -> Mapping[str, str]:
        """In which unit quantities are shown, by their kind: ``{"length": "m"}``."""
        return {kind: str(unit) for kind, unit in self._by_name("units").items()}

    @property
    def figures(self) -> Mapping[str, Mapping[str, Any]]:
        """The owner's figures in place of the tables', by key, each with its ``value``."""
        told = self._by_name("figures")
        return {key: one for key, one in told.items() if isinstance(one, Mapping) and "value" in one}

    def numbers(self, begins: str) -> dict[str, Any]:
        """The owner's figures whose key begins so, each as its number alone."""
        return {key: one["value"] for key, one in self.figures.items() if key.startswith(begins)}

    @property
    def thresholds(self) -> dict[str, float | str]:
        """The shelf's own thresholds and weights for checks of captures, by name."""
        return dict(self._by_name("check thresholds"))

    @property
    def minutes_before(self) -> dict[str, int]:
        """What the studio's minutes were before learnt times were taken in, by their names."""
        return dict(self._by_name("minutes before"))

    @property
    def equal_parts(self) -> dict[str, str]:
        """Folded names of parts that go by another name, each with that one."""
        return dict(self._by_name("equal parts"))

    def _by_name(self, name: Choice) -> Mapping[str, Any]:
        kept = self.kept.get(name)
        return kept if isinstance(kept, Mapping) else {}

    def _list(self, name: Choice) -> list[object]:
        kept = self.kept.get(name)
        return kept if isinstance(kept, list) else []
