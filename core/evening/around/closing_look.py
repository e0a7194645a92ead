"""What the closing look tells, as values: what is put back where, and all else under its heading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from core.values import dataclass

#: Steps that take a tape into the hands; what waits of them may have been fetched.
HANDS = ("identify", "repair", "audition", "transfer", "align", "wind")
PERHAPS = "if it was fetched"


@dataclass(frozen=True, slots=True)
class PutBack:
    """One reel that was in the hands: where it goes now, and how its tape is left, in words."""

    reel: str
    place: str
    tape: str = ""
    since: datetime | None = None
    """When it was ticked as put back; None where it is still to be done."""


@dataclass(frozen=True, slots=True)
class Closing:
    """All that is looked at before one leaves; every line is a sentence of its own."""

    back: tuple[PutBack, ...]
    leave: tuple[str, ...]
    home: tuple[str, ...]
    files: tuple[str, ...]
    moved: tuple[str, ...]
    coming: tuple[str, ...]

    @property
    def put_back(self) -> tuple[str, ...]:
        """``A1: R-001 tails out, R-002``: a line a place."""
        return tuple(line for line, _, _ in self.by_place)

    @property
    def by_place(self) -> tuple[tuple[str, tuple[str, ...], bool], ...]:
        """A line a place, its reels, and whether all of them are back."""
        places: dict[str, list[PutBack]] = {}
        for one in self.back:
            places.setdefault(one.place, []).append(one)
        return tuple(
            (f"{place}: {_among(there)}", tuple(one.reel for one in there), _all_back(there))
            for place, there in places.items()
        )

    def sections(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """What is not empty, under its heading, in the order in which it is done."""
        for name, lines in (
            ("Put back", self.put_back),
            ("Leave", self.leave),
            ("Somebody home", self.home),
            ("Files", self.files),
            ("Next", self.coming),
            ("Moved", self.moved),
        ):
            if lines:
                yield name, lines

    @property
    def lines(self) -> tuple[str, ...]:
        """Everything, a sentence a line, for a text that has no headings."""
        return tuple(f"{name}: {'; '.join(lines)}" for name, lines in self.sections())


def _among(there: Sequence[PutBack]) -> str:
    """``R-001, R-002 tails out``; of reels that are left in more than one way none seems left as the next."""
    ways = {one.tape for one in there}
    return ("; " if len(ways) > 1 else ", ").join(map(_told, there))


def _told(one: PutBack) -> str:
    since = f"(back {one.since:%H:%M})" if one.since is not None else ""
    return " ".join(part for part in (one.reel, one.tape, since) if part)


def _all_back(there: Sequence[PutBack]) -> bool:
    return all(one.since is not None for one in there)
