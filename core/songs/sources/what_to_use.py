"""Which tracks to use for a song: every recording held once, nothing missing, nothing twice.

Fewest copyings come first, then what is captured, then what passed its check on that track in that span.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from core.songs.sources.choice import choose
from core.songs.sources.playings import (
    chosen_by_owner,
    clocks_and_mixes,
    holding,
    is_barred,
    is_doubtful,
    is_mix,
    is_plain,
    mask_of,
    sides,
    united,
)
from core.songs.sources.recordings import Atom, Recorded, Recording
from core.songs.sources.told_by_sheets import recorded
from core.songs.sources.weighed import Facts, Weighed
from core.songs.sources.weighing import Weighing
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Choice:
    """What was recorded, every carrier weighed, those to use, and those that the owner chose."""

    recorded: Recorded
    weighed: tuple[Weighed, ...]
    used: frozenset[int]
    """Numbers of the weighed carriers to use."""
    owners: frozenset[int]
    holding: Mapping[Recording, Sequence[int]]
    """Numbers of the carriers that hold any of each recording, best first."""
    apart: frozenset[int] = frozenset()
    """Carriers left out since they hold another playing of what is used: no pair is of two playings."""


def what_to_use(facts: Facts) -> Choice:
    """The choice of tracks; Refused for copies in a ring."""
    clocks, mixes = clocks_and_mixes(facts.reels)
    music = [row for row in facts.sheets if row.track is None or row.track != clocks.get(row.reel)]
    found = recorded(facts.song.key, music, facts.equals, clocks.items(), mixes, facts.elsewhere)
    weighing = Weighing(facts)
    weighed = tuple(sorted(map(weighing.weighed, found.carriers), key=lambda one: one.cost))
    owners = chosen_by_owner(facts, weighed)
    used, apart = _of_one_playing(_Filling(found, weighed, owners))
    return Choice(found, weighed, used, frozenset(owners), holding(weighed), apart)


def lost_by(choice: Choice, recording: Recording, number: int) -> list[Recording]:
    """The recordings that would be held no more, or in part only, were the owner to choose that carrier."""
    weighed = choice.weighed
    mine = [number, *sides(weighed, number, recording)]
    atoms = frozenset[Atom]().union(*(weighed[n].carrier.atoms for n in mine))
    displaced = [weighed[n].carrier.atoms for n in choice.used if weighed[n].carrier.atoms & atoms]
    if all(one <= atoms for one in displaced) and not choice.apart:
        return []  # what goes is held by what comes
    owners = [n for n in sorted(choice.owners) if not weighed[n].carrier.atoms & atoms]
    instead, _ = _of_one_playing(_Filling(choice.recorded, weighed, [*owners, *mine]))
    held, then = (
        frozenset[Atom]().union(*(weighed[n].carrier.atoms for n in some)) for some in (choice.used, instead)
    )
    lost = {atom.recording for atom in held - then}
    return [one for one in choice.recorded.names if one in lost]


@dataclass(frozen=True, slots=True)
class _Filling:
    """What is left beside the owner's own choices is filled in: tapes, barred ones, doubtful ones, mixes."""

    recorded: Recorded
    weighed: Sequence[Weighed]
    owners: Sequence[int]

    def twice_played(self) -> set[Recording]:
        """The recordings of which two tapes have the same side at first hand; left and right are one."""
        tapes: dict[Atom, str] = {}
        return {
            atom.recording
            for one in self.weighed if not one.carrier.generation
            for told, place in one.carrier.playings
            for atom in one.carrier.atoms
            if atom.recording == told and tapes.setdefault(atom, place) != place
        }  # fmt: skip

    def run(self, without: frozenset[int] = frozenset()) -> frozenset[int]:
        """Numbers of the carriers to use, none of those left out."""
        bits = {atom: 1 << number for number, atom in enumerate(self.recorded.atoms)}
        held = [mask_of(one.carrier.atoms, bits) for one in self.weighed]
        used = set(self.owners)
        done = united(held[n] for n in self.owners)
        for allowed in (is_plain, is_barred, is_doubtful, is_mix):
            mine = [
                n for n, one in enumerate(self.weighed)
                if allowed(one) and n not in without and not held[n] & done
            ]  # fmt: skip
            if not mine:
                continue
            if allowed is is_doubtful:  # one by one, the least copied first: what such a one adds is not sure
                for n in sorted(mine, key=lambda n: self.weighed[n].carrier.generation):
                    if not held[n] & done:
                        used.add(n)
                        done |= held[n]
                continue
            masks = [held[n] for n in mine]
            costs = [self.weighed[n].cost for n in mine]
            open_atoms = (1 << len(bits)) - 1 & ~done
            for picked in choose(masks, costs, open_atoms & united(masks)):
                used.add(mine[picked])
                done |= masks[picked]
        return frozenset(used)


def _of_one_playing(filling: _Filling) -> tuple[frozenset[int], frozenset[int]]:
    """What to use, and what is left out for it: left of one playing and right of another are no pair."""
    apart: frozenset[int] = frozenset()
    used = filling.run()
    if not filling.twice_played():
        return used, apart
    while (torn := _torn(filling, used)) is not None:
        best: tuple[tuple[int, int], frozenset[int], frozenset[int]] | None = None
        for place in _told_places(filling, used, torn):
            left = apart | {
                n for n, one in enumerate(filling.weighed)
                if n not in filling.owners and _places(one, torn) and not _places(one, torn) & place
            }  # fmt: skip
            then = filling.run(left)
            atoms = sum(len(filling.weighed[n].carrier.atoms) for n in then)
            worth = (atoms, -sum(filling.weighed[n].cost for n in then))
            if best is None or worth > best[0]:
                best = (worth, then, left)
        now = sum(len(filling.weighed[n].carrier.atoms) for n in used)
        if best is None or best[2] == apart or best[0][0] < now:
            break  # a side that is nowhere else is not left out for it
        _, used, apart = best
    return used, apart


def _torn(filling: _Filling, used: Iterable[int]) -> Recording | None:
    """A recording of which two carriers in use hold two playings, beyond what the owner chose so."""
    several = filling.twice_played()
    seen: dict[Recording, frozenset[str]] = {}
    for number in sorted(used, key=lambda n: n not in filling.owners):
        one = filling.weighed[number]
        for recording in several and several & {told for told, _ in one.carrier.playings}:
            places = _places(one, recording)
            before = seen.setdefault(recording, places)
            if not places & before and number not in filling.owners:
                return recording
    return None


def _told_places(filling: _Filling, used: Iterable[int], recording: Recording) -> list[frozenset[str]]:
    """The playings of a recording among what is in use, in a settled order."""
    told = {_places(filling.weighed[n], recording) for n in used}
    return sorted((one for one in told if one), key=sorted)


def _places(one: Weighed, recording: Recording) -> frozenset[str]:
    """The tapes whose playing of the recording a carrier holds."""
    return frozenset(place for told, place in one.carrier.playings if told == recording)
