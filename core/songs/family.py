"""A song's family: its tapes, and which was copied from which, as a tree of lines from the oldest down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from core.songs.parts import track_labels
from core.songs.song import SheetRow
from core.songs.sources.recordings import Carrier
from core.songs.sources.weighed import Facts
from core.songs.sources.what_to_use import Choice, what_to_use
from core.songs.written.copies import copied_tracks, of_unknown_source
from core.values import dataclass

_Group = tuple[str, tuple[str, ...], str, bool]
"""A tape, the tapes that it came from, for a bounce the tracks, and whether it is used: never both in one."""


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
    """True where these tracks are used for the mix."""


def family(facts: Facts) -> tuple[Kin, ...]:
    """The tree; Refused for copies in a ring."""
    choice = what_to_use(facts)
    return tuple(_Tree(facts, choice).lines())


class _Tree:
    def __init__(self, facts: Facts, choice: Choice) -> None:
        self.facts = facts
        self.used = {label for n in choice.used for label in _tracks(choice.weighed[n].carrier.rows)}
        self.never = {id(row): one.never for one in choice.weighed for row in one.carrier.rows}
        self.groups: dict[_Group, list[Carrier]] = {}
        for carrier in sorted(
            (one.carrier for one in choice.weighed),
            key=lambda one: (one.reel, [row.track or 0 for row in one.rows]),
        ):
            place = carrier.reel or f"loose sheet {carrier.rows[0].sheet}"
            used = bool(carrier.reel) and not self.used.isdisjoint(_tracks(carrier.rows))
            key = (place, _parents(carrier.rows), _bounced(carrier.rows), used)
            self.groups.setdefault(key, []).append(carrier)
        self.below = self._hung()
        self.told: set[_Group] = set()

    def _hung(self) -> dict[_Group, list[_Group]]:
        """Below each group those that were made of its tracks, of every one of its sources."""
        holds = {
            group: {(row.reel, row.track) for one in mine for row in one.rows}
            for group, mine in self.groups.items()
        }
        return {
            group: [
                other for other, mine in self.groups.items()
                if other != group and any(
                    track in holds[group] for one in mine for row in one.rows
                    for track in copied_tracks(row.copied_from)
                )
            ]
            for group in self.groups
        }  # fmt: skip

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
        """The group and all that was made of it; what stands above already is named again, no more."""
        line = self._line(group, depth)
        if group in self.told:
            yield replace(line, words="as above")
            return
        self.told.add(group)
        yield line
        for other in self.below[group]:
            yield from self._below(other, depth + 1)

    def _line(self, group: _Group, depth: int) -> Kin:
        carriers = self.groups[group]
        rows = [row for one in carriers for row in one.rows]
        loose = not carriers[0].reel
        tracks = group[0] if loose else _labels(rows)
        names = ", ".join(dict.fromkeys(" ".join(row.part.split()) or "not named" for row in rows))
        reel = self.facts.reels.get(carriers[0].reel)
        words = [names, _made_of(rows, mix=reel is not None and reel.role == "mix")]
        words += [] if loose else self._cannot(rows)
        if group[0] not in self.facts.reels and not loose and not any("not on" in one for one in words):
            words.append("not on the shelf")
        return Kin(depth, carriers[0].reel, tracks, "; ".join(word for word in words if word), group[3])

    def _cannot(self, rows: list[SheetRow]) -> list[str]:
        """Why some or all of the tracks cannot be had."""
        reasons: dict[str, list[SheetRow]] = {}
        for row in rows:
            if self.never[id(row)]:
                reasons.setdefault(self.never[id(row)], []).append(row)
        return [why if len(mine) == len(rows) else f"{_labels(mine)} {why}" for why, mine in reasons.items()]


def _tracks(rows: Iterable[SheetRow]) -> set[tuple[str, int | None]]:
    """The tracks that rows tell of, as far as they still carry it."""
    return {(row.reel, row.track) for row in rows if not row.recorded_over}


def _labels(rows: Iterable[SheetRow]) -> str:
    """Their tracks in short; a row without a track stands before those of its reel."""
    return track_labels(sorted(((row.reel, row.track) for row in rows), key=lambda at: (at[0], at[1] or 0)))


def _parents(rows: tuple[SheetRow, ...]) -> tuple[str, ...]:
    found = dict.fromkeys(reel for row in rows for reel, _ in copied_tracks(row.copied_from))
    unknown = any(of_unknown_source(row.copied_from) for row in rows)
    return (*found, *(("?",) if unknown else ()))


def _bounced(rows: tuple[SheetRow, ...]) -> str:
    return next((row.copied_from for row in rows if len(list(copied_tracks(row.copied_from))) > 1), "")


def _made_of(rows: list[SheetRow], *, mix: bool) -> str:
    """``first recordings``, or of which tracks it is a copy."""
    tracks = [track for row in rows for track in copied_tracks(row.copied_from)]
    if not tracks and not any(of_unknown_source(row.copied_from) for row in rows):
        return "first recordings" if len(rows) > 1 else "first recording"
    several = any(len(list(copied_tracks(row.copied_from))) > 1 for row in rows)
    kind = ("mix" if mix else "bounce") if several else "copy"
    sources = track_labels(sorted(set(tracks))) if tracks else "what is not known"
    return f"{kind} of {sources}"
