"""The parts of a song as values: which tracks are used for every recording, where they lie, what is open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from core.album.place import NOWHERE, Loop, Place, Zero
from core.values import dataclass

PartState = Literal["to hand", "open", "not captured", "only on paper", "only in a mix"]


@dataclass(frozen=True, slots=True)
class Source:
    """A track that carries a recording. ``generation`` 0 is the first; ``verdict`` is of it in that span."""

    reel: str
    track: int | None
    pass_number: int | None
    generation: int
    stage: str
    verdict: str | None
    files: tuple[str, ...]
    sheet: str
    take: str
    player: str
    copied_from: str
    part: str = ""
    """What its own row calls it."""

    @property
    def label(self) -> str:
        """``R-001:3``."""
        where = self.reel or f"loose sheet {self.sheet}"
        return where if self.track is None else f"{where}:{self.track}"

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {
            "reel": self.reel, "track": self.track, "pass": self.pass_number, "generation": self.generation,
            "stage": self.stage, "verdict": self.verdict, "files": list(self.files), "sheet": self.sheet,
            "take": self.take, "player": self.player, "copied_from": self.copied_from, "part": self.part,
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Part:
    """One recording: the tracks to use for it (none: why not), and all others that carry it, best first."""

    name: str
    take: str
    use: tuple[Source, ...]
    copied: int | None
    at_least: bool
    """True where the number of copyings is the least that it can be."""
    state: PartState
    place: Place
    why: str
    others: tuple[Source, ...]
    beside: str = ""
    """In a few words what else there is: the runner-up, what the bounce holds, a place to mend."""
    chosen: bool = False
    """True where the owner chose it."""
    goes_on: tuple[Source, ...] = ()
    """Tracks of other tapes on which it goes on where those in use end."""
    goes_on_says: str = ""
    lost: str = ""
    """Which of its sides nothing that is used holds, and why."""

    @property
    def sounding(self) -> tuple[Source, ...]:
        """The tracks to use, and those on which it goes on."""
        return (*self.use, *self.goes_on)

    @property
    def labels(self) -> str:
        """``K-101:3-4``, or ``-`` where there is nothing to use."""
        return track_labels([(one.reel, one.track) for one in self.sounding])

    @property
    def called(self) -> str:
        """Part and take: ``voice, take 4``."""
        return f"{self.name}, take {self.take}" if self.take else self.name

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {
            "part": self.name, "take": self.take, "use": [one.to_json() for one in self.use],
            "copied": self.copied, "state": self.state, "place": self.place.to_json(), "why": self.why,
            "others": [one.to_json() for one in self.others],
            "goes_on": [one.to_json() for one in self.goes_on],
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class NotUsed:
    """A track of the song that is not used, and why."""

    reel: str
    track: int | None
    why: str
    instead: tuple[tuple[str, int | None], ...] = ()
    """What is used in its place, where that is not told in why."""

    @property
    def told(self) -> str:
        """Why, and what is used in its place."""
        return f"{self.why}; in its place: {track_labels(self.instead)}" if self.instead else self.why


@dataclass(frozen=True, slots=True)
class SongParts:
    """The parts of one song, in the order of the sheets; what is not used and what is open, in words."""

    song: str
    title: str
    zero: Zero | None
    parts: tuple[Part, ...]
    not_used: tuple[NotUsed, ...]
    loops: tuple[Loop, ...]
    open: tuple[str, ...]

    @property
    def to_hand(self) -> int:
        """How many recordings are captured and sound."""
        return sum(part.state == "to hand" for part in self.parts)

    def to_json(self) -> dict[str, object]:
        """The document that other programs read."""
        return {
            "song": self.song,
            "title": self.title,
            "zero": self.zero and self.zero._asdict(),
            "parts": [part.to_json() for part in self.parts],
            "not_used": [{"reel": one.reel, "track": one.track, "why": one.told} for one in self.not_used],
            "loops": [loop.to_json() for loop in self.loops],
            "open": list(self.open),
        }

    def not_used_lines(self) -> Iterator[str]:
        """Tracks not used, those of one reel and reason together: ``K-102:1-2 (its sources are used)``.

        What is used in their place comes before a reason that is long.
        """
        groups: dict[tuple[str, str], list[NotUsed]] = {}
        for one in self.not_used:
            groups.setdefault((one.reel, one.why), []).append(one)
        for (_, why), mine in groups.items():
            tracks = track_labels(sorted(((one.reel, one.track) for one in mine), key=_by_track))
            instead = sorted({track for one in mine for track in one.instead}, key=_by_track)
            place = f"in {'their' if len(mine) > 1 else 'its'} place {track_labels(instead)}; "
            yield f"{tracks} ({place if instead else ''}{why})"


def track_labels(tracks: Sequence[tuple[str, int | None]]) -> str:
    """Tracks in short, runs of one reel joined: ``K-101:3-4, K-102:7``; ``-`` for none."""
    out: list[tuple[str, int | None, int | None]] = []
    for reel, track in dict.fromkeys(tracks):
        before, first, last = out[-1] if out else ("", None, None)
        if out and before == reel and track is not None and last is not None and last + 1 == track:
            out[-1] = (reel, first, track)
        else:
            out.append((reel, track, track))
    words = []
    for number, (reel, first, last_track) in enumerate(out):
        where = "" if number and out[number - 1][0] == reel and first is not None else reel or "loose sheet"
        if first is None:
            words.append(where)
            continue
        run = f"{first}" if first == last_track else f"{first}-{last_track}"
        words.append(f"{where}:{run}" if where else run)
    return ", ".join(words) or "-"


def changed_words(before: SongParts, after: SongParts) -> Iterator[str]:
    """What another choice brought in and put out, beyond what was asked for, and what is lost by it."""
    was, now = (list(dict.fromkeys((s.reel, s.track) for part in one.parts for s in part.use))
                for one in (before, after))  # fmt: skip
    new, out = [one for one in now if one not in was], [one for one in was if one not in now]
    if out:
        come, gone = (track_labels(sorted(one, key=_by_track)) for one in (new, out))
        yield f"in: {come}; out: {gone}"
    held = {(part.name, part.take) for part in before.parts if part.use}
    lost = [part.called for part in after.parts if not part.use and (part.name, part.take) in held]
    if lost:
        yield f"without it now: {', '.join(lost)}"


def _by_track(track: tuple[str, int | None]) -> tuple[str, int]:
    return track[0], track[1] or 0


def place_words(place: Place) -> str:
    """Where a part lies, in a few words: never more than is known."""
    if place == NOWHERE or place.curve is None:
        return "place not known"
    if place.by == "said" and place.own_clock:
        return "on its own clock"
    near = f", within {place.error_ms:g} ms" if place.error_ms else ""
    near += " there" if near and place.by == "said" else ""
    return {"timecode": "by timecode", "sound": "by sound", "said": "as told"}[place.by] + near
