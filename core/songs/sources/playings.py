"""What the choice of sources asks of a playing: whose it is, whether it is barred, doubtful, or a mix."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from core.reels.reel import Reel
from core.songs.sources.recordings import Atom, Recording
from core.songs.sources.weighed import Facts, Weighed

_known: list[tuple[Mapping[str, Reel], dict[str, int], frozenset[str]]] = []


def clocks_and_mixes(reels: Mapping[str, Reel]) -> tuple[dict[str, int], frozenset[str]]:
    """By reel the track that it says carries its code, and the reels of mixes; sought once for one shelf."""
    if not _known or _known[0][0] is not reels:
        clocks = {key: reel.timecode_track for key, reel in reels.items() if reel.timecode_track is not None}
        _known[:] = [(reels, clocks, frozenset(key for key, reel in reels.items() if reel.role == "mix"))]
    return _known[0][1], _known[0][2]


def holding(weighed: Sequence[Weighed]) -> dict[Recording, list[int]]:
    """By recording the playings that hold it, those that may be used first."""
    out: dict[Recording, list[int]] = {}
    best = sorted(range(len(weighed)), key=lambda n: (bool(weighed[n].never), bool(weighed[n].last), n))
    for number in best:
        for recording in {atom.recording for atom in weighed[number].carrier.atoms}:
            out.setdefault(recording, []).append(number)
    return out


def is_plain(one: Weighed) -> bool:
    """True for a playing that nothing speaks against."""
    return not one.never and not one.last


def is_barred(one: Weighed) -> bool:
    """True for one that is used only where no other is left."""
    return not one.never and bool(one.last) and not one.is_mix and not one.carrier.in_doubt


def is_doubtful(one: Weighed) -> bool:
    """True for one of which it is not sure that it holds what is told of it."""
    return not one.never and one.carrier.in_doubt and not one.is_mix


def is_mix(one: Weighed) -> bool:
    """True for a mix, in which nothing stands apart."""
    return not one.never and one.is_mix


def united(masks: Iterable[int]) -> int:
    """Masks as one."""
    out = 0
    for mask in masks:
        out |= mask
    return out


def mask_of(atoms: Iterable[Atom], bits: Mapping[Atom, int]) -> int:
    """The bits of these atoms; an atom that has none counts for nothing."""
    return united(bits[atom] for atom in atoms if atom in bits)


def chosen_by_owner(facts: Facts, weighed: Sequence[Weighed]) -> list[int]:
    """The owner's choices that can be had, the later one where two hold the same."""
    out: list[int] = []
    for recording, track in reversed(tuple(facts.own.items())):
        for number, one in enumerate(weighed):
            mine = any((row.reel, row.track) == track for row in one.carrier.rows)
            if not mine or one.never or not any(a.recording == recording for a in one.carrier.atoms):
                continue
            taken = frozenset(atom for n in out for atom in weighed[n].carrier.atoms)
            for n in (number, *sides(weighed, number, recording)):
                if not weighed[n].carrier.atoms & taken:
                    out.append(n)
                    taken |= weighed[n].carrier.atoms
            break
    return out


def sides(weighed: Sequence[Weighed], number: int, recording: Recording) -> list[int]:
    """The other sides of a pair, which are used together with one."""
    return [
        n for n, other in enumerate(weighed)
        if not other.never and _beside(weighed[number], other, recording)
    ]  # fmt: skip


def _beside(one: Weighed, other: Weighed, recording: Recording) -> bool:
    """True for the other side of a pair: the same recording alone, as often copied, on the same reel."""

    def alone(atoms: frozenset[Atom]) -> bool:
        return {atom.recording for atom in atoms} == {recording}

    here, there = one.carrier, other.carrier
    return (
        one is not other and here.reel == there.reel and here.generation == there.generation
        and not here.atoms & there.atoms and alone(here.atoms) and alone(there.atoms)
    )  # fmt: skip
