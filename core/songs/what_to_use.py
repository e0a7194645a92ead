"""Which tracks to use for a song: every recording held once, nothing missing, nothing twice.

Fewest copyings come first, then what is captured, then what passed its check on that track in that span. A
track that cannot be had (not on the shelf, silent as measured, beyond the tape, recorded over) is never used;
one of a barred tape only where nothing else holds the recording; a mix only for what is nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from core.album.place import SongClock
from core.reels.reel import STAGES, Reel
from core.songs.choice import choose
from core.songs.claims import Sounded
from core.songs.heard import NOT_HEARD, Heard, Hearing
from core.songs.part_names import Equals
from core.songs.recordings import Atom, Carrier, Recorded, Recording, recorded
from core.songs.song import SheetRow, Song

Track = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Facts:
    """What the choice rests on: the song, the sheets, the tapes, what was captured, what the owner said."""

    song: Song
    sheets: Sequence[SheetRow]
    reels: Mapping[str, Reel]
    hearing: Hearing
    why_barred: Callable[[Reel], str | None] = lambda reel: None
    equals: Equals = field(default_factory=dict)
    own: Mapping[Recording, Track] = field(default_factory=dict)
    clock: SongClock = field(default_factory=SongClock)
    same_place: tuple[str, ...] = ()
    """Other songs that the same album has at the same place."""
    albums: str = ""
    """A line where the song names several albums."""
    sounded: Sequence[Sounded] = ()
    """What sound says of the copies that the sheets claim, as far as anybody listened."""
    takes: Sequence[str] = ()
    """A line for each stretch of a tape that sounds like the song and of which nothing tells."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A carrier with what was heard of each of its tracks, and why it cannot be used, if so."""

    carrier: Carrier
    heard: tuple[Heard, ...]
    never: str = ""
    """Why it cannot be used at all."""
    last: str = ""
    """Why it is used only where nothing else is: a barred tape, a mix."""
    is_mix: bool = False
    verdict: str | None = None
    """The worst of its tracks in the song's span; None where one is not checked."""
    cost: int = 0
    """Smaller is better."""


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


def what_to_use(facts: Facts) -> Choice:
    """The choice of tracks; Refused for copies in a ring."""
    found = recorded(facts.song.key, _music(facts), facts.equals, _clocks(facts).items())
    needs = {reel: facts.song.span_on(reel) for reel in {one.reel for one in found.carriers}}
    weighed = tuple(_weighed(one, facts, needs) for one in found.carriers)
    weighed = tuple(sorted(weighed, key=lambda one: one.cost))
    bits = {atom: 1 << number for number, atom in enumerate(found.atoms)}
    owners = _owners(facts, weighed)
    used, done = set(owners), 0
    for number in owners:
        done |= _mask(weighed[number].carrier.atoms, bits)
    for allowed in (_plain, _barred, _mix):
        mine = [
            n for n, one in enumerate(weighed) if allowed(one) and not _mask(one.carrier.atoms, bits) & done
        ]
        masks = [_mask(weighed[n].carrier.atoms, bits) for n in mine]
        costs = [weighed[n].cost for n in mine]
        open_atoms = (1 << len(bits)) - 1 & ~done
        for picked in choose(masks, costs, open_atoms & _any(masks)):
            used.add(mine[picked])
            done |= masks[picked]
    return Choice(found, weighed, frozenset(used), frozenset(owners), _holding(weighed))


def _clocks(facts: Facts) -> dict[str, int]:
    """By reel, the track that it says carries its code; also of reels that only copies name."""
    return {key: reel.timecode_track for key, reel in facts.reels.items() if reel.timecode_track is not None}


def _music(facts: Facts) -> list[SheetRow]:
    """The rows but those of the track that the reel itself says carries its code."""
    clocks = _clocks(facts)
    return [row for row in facts.sheets if row.track is None or row.track != clocks.get(row.reel)]


def _holding(weighed: Sequence[Weighed]) -> dict[Recording, list[int]]:
    out: dict[Recording, list[int]] = {}
    best = sorted(range(len(weighed)), key=lambda n: (bool(weighed[n].never), bool(weighed[n].last), n))
    for number in best:
        for recording in {atom.recording for atom in weighed[number].carrier.atoms}:
            out.setdefault(recording, []).append(number)
    return out


def _plain(one: Weighed) -> bool:
    return not one.never and not one.last


def _barred(one: Weighed) -> bool:
    return not one.never and bool(one.last) and not one.is_mix


def _mix(one: Weighed) -> bool:
    return not one.never and one.is_mix


def _any(masks: Iterable[int]) -> int:
    out = 0
    for mask in masks:
        out |= mask
    return out


def _mask(atoms: Iterable[Atom], bits: Mapping[Atom, int]) -> int:
    return _any(bits[atom] for atom in atoms if atom in bits)


def _owners(facts: Facts, weighed: Sequence[Weighed]) -> list[int]:
    """The owner's choices that can be had, the later one where two hold the same."""
    out: list[int] = []
    for recording, track in reversed(tuple(facts.own.items())):
        for number, one in enumerate(weighed):
            mine = any((row.reel, row.track) == track for row in one.carrier.rows)
            if not mine or one.never or not any(a.recording == recording for a in one.carrier.atoms):
                continue
            alike = [
                n for n, other in enumerate(weighed) if not other.never and _beside(one, other, recording)
            ]
            taken = frozenset(atom for n in out for atom in weighed[n].carrier.atoms)
            for n in (number, *alike):
                if not weighed[n].carrier.atoms & taken:
                    out.append(n)
                    taken |= weighed[n].carrier.atoms
            break
    return out


def _beside(one: Weighed, other: Weighed, recording: Recording) -> bool:
    """True for the other side of a pair: the same recording alone, as often copied, on the same reel."""

    def alone(atoms: frozenset[Atom]) -> bool:
        return {atom.recording for atom in atoms} == {recording}

    here, there = one.carrier, other.carrier
    return (
        one is not other and here.reel == there.reel and here.generation == there.generation
        and not here.atoms & there.atoms and alone(here.atoms) and alone(there.atoms)
    )  # fmt: skip


def _weighed(one: Carrier, facts: Facts, needs: Mapping[str, object]) -> Weighed:
    need = facts.song.span_on(one.reel)
    heard = tuple(
        facts.hearing.heard(one.reel, row.track, need) if one.reel else NOT_HEARD for row in one.rows
    )
    reel = facts.reels.get(one.reel)
    never = _never(one, reel, heard)
    recordings = {atom.recording for atom in one.atoms}
    is_mix = reel is not None and reel.role == "mix" and one.generation > 0 and len(recordings) > 1
    last = "a mix" if is_mix else ""
    if reel is not None and not is_mix:
        last = facts.why_barred(reel) or ""
    verdict = _worst(heard)
    return Weighed(one, heard, never, last, is_mix, verdict, _cost(one, reel, verdict))


def _worst(heard: Sequence[Heard]) -> str | None:
    verdicts = [one.verdict for one in heard]
    if None in verdicts:
        return None
    return max(verdicts, key=lambda one: ("pass", "remarks", "fail").index(one or ""))


def _never(one: Carrier, reel: Reel | None, heard: Sequence[Heard]) -> str:
    if not one.reel:
        return "a loose sheet: of which tape is not known"
    if reel is None:
        return f"{one.reel} is not on the shelf"
    if any(row.recorded_over for row in one.rows):
        return "recorded over"
    beyond = [track for track in one.tracks if reel.tracks and track > reel.tracks]
    if beyond:
        return f"{one.reel} has {reel.tracks} tracks"
    if not one.tracks:
        return "no track is told"
    return "silent as measured" if any(sound.silent for sound in heard) else ""


def _cost(one: Carrier, reel: Reel | None, heard: str | None) -> int:
    """Smaller is better: copyings, not captured, verdict, stage, tracks; each counts before all behind it."""
    atoms = len(one.atoms)
    captured = heard is not None or (reel is not None and reel.past("transferred"))
    verdict = {"pass": 0, "remarks": 1, None: 2, "fail": 3}[heard]
    stage = len(STAGES) - STAGES.index(reel.stage) if reel is not None and reel.stage in STAGES else 9
    total = 0
    for step in (one.generation, 0 if captured else 1, verdict, stage):
        total = total * 1000 + step * atoms
    return total * 1000 + len(one.rows)
