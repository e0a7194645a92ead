"""What is kept of old mixes that were held against captured tracks, and what is said of it on every face."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from core.album.place import CaptureKey
from core.album.ties import capture_name
from core.as_json import as_json, named, read
from core.standing.kept_checks import files_sum
from core.values import dataclass

if TYPE_CHECKING:
    from core.shelf import Shelf
    from core.songs.heard import Check


@dataclass(frozen=True, slots=True)
class OldMix:
    """What was told of one mix, as the shelf keeps it."""

    song: str
    key: CaptureKey
    floor: float
    """Share that the tracks leave over anyway, where they leave least."""
    tells: bool
    stretches: tuple[tuple[float, float, float], ...]
    """From, to, and the share left over, in seconds of the mix's capture."""
    tracks: int
    reels: Mapping[str, str]
    """The tapes that were held against it, each with the short names of its checked files."""

    def to_json(self) -> dict[str, object]:
        """As kept, and as `oldmix --json` prints it."""
        spans = tuple((round(a, 3), round(b, 3), round(share, 3)) for a, b, share in self.stretches)
        return as_json(
            _Kept(self.song, *self.key, round(self.floor, 3), self.tells, self.tracks, self.reels, spans)
        )

    @classmethod
    def from_json(cls, value: Mapping[str, object]) -> OldMix:
        """The inverse; raises ValueError for anything else."""
        kept = read(_Kept, value)
        return cls(kept.song, (kept.reel, kept.number), kept.floor, kept.tells, kept.stretches, kept.tracks,
                   kept.reels)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Kept:
    """What was told of a mix, as its record tells it."""

    song: str
    reel: str
    number: int = field(metadata=named("pass"))
    floor: float
    tells: bool
    tracks: int
    reels: Mapping[str, str]
    stretches: tuple[tuple[float, float, float], ...]


def kept_old_mixes(shelf: Shelf, song: str, checks: Mapping[CaptureKey, Check]) -> list[tuple[OldMix, bool]]:
    """What is kept of the song's mixes that are still what they were, and whether all else is so too."""
    out = []
    for record in shelf.of_kind("old mix").values():
        try:
            mix = OldMix.from_json(record)
        except ValueError:
            continue
        sums = reel_sums(checks)
        if mix.song == song and mix.key in checks and mix.reels.get(mix.key[0]) == sums.get(mix.key[0]):
            out.append((mix, dict(mix.reels) == sums))
    return out


def reel_sums(checks: Mapping[CaptureKey, Check]) -> dict[str, str]:
    """Short names of the contents of every tape's checked passes."""
    out: dict[str, list[str]] = {}
    for (reel, _), check in sorted(checks.items()):
        out.setdefault(reel, []).append(files_sum(check))
    return {reel: " ".join(sums) for reel, sums in out.items()}


def old_mix_says(mix: OldMix) -> Iterator[str]:
    """A line for every stretch, or one that says why there is none."""
    name = capture_name(mix.key)
    if not mix.tells:
        yield (
            f"{name}: the captured tracks explain too little of it ({100 * (1 - mix.floor):.0f} %): a part "
            "that sounds all through is not captured, or it was treated too much for this to tell"
        )
    for first, last, share in mix.stretches:
        yield (
            f"{name} {_at(first)} to {_at(last)}: something may sound that none of {mix.tracks} captured "
            f"tracks has ({100 * share:.0f} % is left over, elsewhere {100 * mix.floor:.0f} %): listen"
        )
    if mix.tells and not mix.stretches:
        yield f"{name}: nothing stands out that the {mix.tracks} captured tracks do not explain"


def old_mix_open(mix: OldMix, *, current: bool) -> Iterator[str]:
    """What of it is still open on a song; what was looked at before other captures came is said to be."""
    if not current:
        name = capture_name(mix.key)
        yield f"{name} was looked at before other captures: reelturn oldmix {mix.song} looks again"
    elif mix.stretches or not mix.tells:
        yield from old_mix_says(mix)


def _at(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"
