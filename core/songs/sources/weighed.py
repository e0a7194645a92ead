"""What a choice of tracks rests on, and a carrier that was weighed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from fractions import Fraction

from core.album.place import SongClock
from core.reels.reel import Reel
from core.songs.claims import Sounded
from core.songs.heard import Heard, Hearing
from core.songs.song import SheetRow, Song
from core.songs.sources.recordings import Carrier, Recording
from core.songs.written.part_names import Equals
from core.values import dataclass

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
    elsewhere: Callable[[Track], bool] = lambda track: False
    """True for a track that sheets give to other songs."""
    same_span: Sequence[str] = ()
    """A line for each other song that has a span of this one."""
    longest: Callable[[Reel], tuple[Fraction, str] | None] = lambda reel: None
    """Seconds that a tape plays at the most, and how its length was got."""


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
    stage: str = ""
    """Where its reel stands; blank where it is not on the shelf."""

    @property
    def captured(self) -> bool:
        """True where it is captured, checked or not."""
        return self.verdict is not None or self.stage in ("transferred", "verified")
