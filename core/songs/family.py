"""A song's family: its tapes, and which was copied from which, as a tree of lines from the oldest down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from core.songs.copies import copied_tracks, of_unknown_source
from core.songs.parts import track_labels
from core.songs.recordings import Carrier
from core.songs.song import SheetRow
from core.songs.what_to_use import Choice, Facts, what_to_use

_Group = tuple[str, tuple[str, ...], str]
"""A tape, the tapes that it came from, and for a bounce the tracks; copies of single tracks are one group."""


@dataclass(frozen=True, slots=True)
class Kin:
    """One line of the tree: tracks of one tape that came from the same tapes."""

    depth: int
    reel: str
    """Empty for a loose sheet."""
    tracks: str
    """``K-102:1-2``, or the name of a loose sheet."""
    words: str
    used: bool
    """True where any of these tracks is used for the mix."""


def family(facts: Facts) -> tuple[Kin, ...]:
    """The tree; Refused for copies in a ring."""
    choice = what_to_use(facts)
    return tuple(_Tree(facts, choice).lines())


class _Tree:
    def __init__(self, facts: Facts, choice: Choice) -> None:
        self.facts = facts
        self.used = {id(row) for n in choice.used for row in choice.weighed[n].carrier.rows}
        self.never = {id(row): one.never for one in choice.weighed for row in one.carrier.rows}
        self.groups: dict[_Group, list[Carrier]] = {}
        for carrier in sorted(
            (one.carrier for one in choice.weighed),
            key=lambda one: (one.reel, [row.track or 0 for row in one.rows]),
        ):
            place = carrier.reel or f"loose sheet {carrier.rows[0].sheet}"
            key = (place, _parents(carrier.rows), _bounced(carrier.rows))
            self.groups.setdefault(key, []).append(carrier)
        self.told: set[_Group] = set()

    def lines(self) -> Iterator[Kin]:
        """First recordings, each followed by what was made of it; what hangs on nothing comes last."""
        last = sorted(self.groups, key=lambda group: not self.groups[group][0].reel)
        for group in last:
            if not group[1]:
                yield from self._below(group, 0)
        for group in last:
            if group not in self.told:
                yield from self._below(group, 0)

    def _below(self, group: _Group, depth: int) -> Iterator[Kin]:
        if group in self.told:
            return
        self.told.add(group)
        yield self._line(group, depth)
        for other in self.groups:
            if group[0] in other[1] and other not in self.told:
                yield from self._below(other, depth + 1)

    def _line(self, group: _Group, depth: int) -> Kin:
        carriers = self.groups[group]
        rows = [row for one in carriers for row in one.rows]
        loose = not carriers[0].reel
        tracks = group[0] if loose else _labels(rows)
        names = ", ".join(dict.fromkeys(" ".join(row.part.split()) or "not named" for row in rows))
        words = [names, _made_of(rows)]
        words += [] if loose else self._cannot(rows)
        if group[0] not in self.facts.reels and not loose and not any("not on" in one for one in words):
            words.append("not on the shelf")
        used = any(id(row) in self.used for row in rows)
        return Kin(depth, carriers[0].reel, tracks, "; ".join(word for word in words if word), used)

    def _cannot(self, rows: list[SheetRow]) -> list[str]:
        """Why some or all of the tracks cannot be had."""
        reasons: dict[str, list[SheetRow]] = {}
        for row in rows:
            if self.never[id(row)]:
                reasons.setdefault(self.never[id(row)], []).append(row)
        return [why if len(mine) == len(rows) else f"{_labels(mine)} {why}" for why, mine in reasons.items()]


def _labels(rows: Iterable[SheetRow]) -> str:
    """Their tracks in short; a row without a track stands before those of its reel."""
    return track_labels(sorted(((row.reel, row.track) for row in rows), key=lambda at: (at[0], at[1] or 0)))


def _parents(rows: tuple[SheetRow, ...]) -> tuple[str, ...]:
    found = dict.fromkeys(reel for row in rows for reel, _ in copied_tracks(row.copied_from))
    unknown = any(of_unknown_source(row.copied_from) for row in rows)
    return (*found, *(("?",) if unknown else ()))


def _bounced(rows: tuple[SheetRow, ...]) -> str:
    return next((row.copied_from for row in rows if len(list(copied_tracks(row.copied_from))) > 1), "")


def _made_of(rows: list[SheetRow]) -> str:
    """``first recordings``, or of which tracks it is a copy."""
    tracks = [track for row in rows for track in copied_tracks(row.copied_from)]
    if not tracks and not any(of_unknown_source(row.copied_from) for row in rows):
        return "first recordings" if len(rows) > 1 else "first recording"
    kind = "bounce" if any(len(list(copied_tracks(row.copied_from))) > 1 for row in rows) else "copy"
    sources = track_labels(sorted(set(tracks))) if tracks else "what is not known"
    return f"{kind} of {sources}"
