"""Ties between captures: how one lies to another, how that was got, and how much it is to be trusted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.album.place import CaptureKey, Curve, KeptKey
from core.as_json import as_json, read
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Tie:
    """One capture lies in another along a curve."""

    one: CaptureKey
    two: CaptureKey
    by: str
    """timecode, sound or said."""
    curve: Curve
    """Seconds of the first to seconds of the second."""
    error_ms: float | None = None
    says: str = ""
    quality: float = 0.0
    """How many times chance the likeness is, for one by sound."""
    unsure: tuple[tuple[float, float], ...] = ()
    """Stretches of the first without a node."""
    span: tuple[float, float] | None = None
    """Seconds of the first over which anything was found."""
    tracks: tuple[int, int] | None = None
    polarity: int = 1
    of: tuple[str, str] = ("", "")
    """Which content it was found in, by the short names of the checked files."""
    trusted: bool = True
    """False for code of which only the labels say that it is one clock."""

    @property
    def cost(self) -> float:
        """What to avoid in choosing a way: small for what is proved, large for what is only said."""
        least = {"timecode": 0.01 if self.trusted else 2.0, "sound": 0.05, "said": 50.0}[self.by]
        return least + (self.error_ms or 0.0)

    @property
    def blame(self) -> float:
        """How likely this tie is the wrong one of a ring that does not close; larger is likelier."""
        kind = {"timecode": 1.0 if self.trusted else 20.0, "sound": 5.0, "said": 100.0}[self.by]
        return kind * (20.0 / max(1.0, self.quality) if self.by == "sound" else 1.0)

    def turned(self) -> Tie:
        """The same tie from the other end."""
        there = self.curve.song
        tracks = None if self.tracks is None else (self.tracks[1], self.tracks[0])
        return Tie(
            self.two, self.one, self.by, self.curve.turned(), self.error_ms, self.says, self.quality,
            tuple((there(a), there(b)) for a, b in self.unsure),
            None if self.span is None else (there(self.span[0]), there(self.span[1])),
            tracks, self.polarity, (self.of[1], self.of[0]), self.trusted,
        )  # fmt: skip

    def named(self) -> str:
        """``R-001 and R-002 by sound``, with passes where they are not the first."""
        return f"{capture_name(self.one)} and {capture_name(self.two)} by {self.by}"

    def to_json(self) -> dict[str, object]:
        """As the shelf keeps it and `tie --json` prints it."""
        return as_json(
            _Kept(
                KeptKey(*self.one), KeptKey(*self.two), self.by,
                tuple((round(x, 6), round(y, 6)) for x, y in self.curve.nodes),
                self.error_ms, self.says, round(self.quality, 2), self.unsure, self.span, self.tracks,
                self.polarity, self.of,
            )
        )  # fmt: skip

    @classmethod
    def from_json(cls, value: Mapping[str, object]) -> Tie:
        """The inverse of `to_json`; raises ValueError for anything else."""
        kept = read(_Kept, value)
        return cls(
            kept.one.key, kept.two.key, kept.by, Curve(kept.curve),
            kept.error_ms, kept.says, kept.quality, kept.unsure, kept.span, kept.tracks, kept.polarity,
            kept.of,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Kept:
    """A tie as its record tells it."""

    one: KeptKey
    two: KeptKey
    by: str
    curve: tuple[tuple[float, float], ...]
    error_ms: float | None = None
    says: str = ""
    quality: float = 0.0
    unsure: tuple[tuple[float, float], ...] = ()
    span: tuple[float, float] | None = None
    tracks: tuple[int, int] | None = None
    polarity: int = 1
    of: tuple[str, str] = ("", "")


def capture_name(key: CaptureKey) -> str:
    """``R-001``, ``R-001 pass 2``."""
    return key[0] if key[1] == 1 else f"{key[0]} pass {key[1]}"


def tie_key(one: CaptureKey, two: CaptureKey) -> str:
    """What the tie of two captures is kept under, from whichever end."""
    first, second = sorted((one, two))
    return f"{first[0]} pass {first[1]} and {second[0]} pass {second[1]}"


def said_tie(
    one: CaptureKey, two: CaptureKey, at: Sequence[tuple[float, float]], rate: float, error_ms: float = 30.0
) -> Tie:
    """What the owner tells: the same is heard at these seconds of both; ValueError where that cannot be.

    Of one place only, the second runs at `rate` seconds to a second of the first, by the speeds measured.
    A tap is good to some hundredths of a second (common experience; nobody measured this hand).
    """
    if len(at) == 1:
        (here, there), between = at[0], "one place: its own speed is not told by it"
        curve = Curve.line(here, there, rate, 60.0)
    else:
        (here, there), (then, later) = sorted(at)[0], sorted(at)[-1]
        if then - here < 1 or not 0.5 < (later - there) / (then - here) < 2:
            raise ValueError("two places must be a second apart or more, in the same order on both captures")
        apart = then - here
        away = error_ms * (1 + 2 * 60 / apart)
        between = f"two places {apart:.0f} s apart: a minute from them within {away:.0f} ms only"
        curve = Curve(((here, there), (then, later)))
    return Tie(one, two, "said", curve, error_ms, f"as told at {between}")
