"""What is to be planned, read once: windows, decks, chambers and jobs as whole minutes, all rules applied."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import field
from fractions import Fraction

from core.plan import Do
from core.planning.facts.timescale import Timescale
from core.reels.reel import Reel
from core.standing.calibration import Nearness
from core.studio.setup import Setup
from core.studio.studio import Chamber, Deck, Studio
from core.values import dataclass

Stretch = tuple[int, int]
Run = tuple[int | Fraction, int | Fraction]  # exact minutes, whole ones as ints


@dataclass(frozen=True, slots=True)
class Window:
    """A bench window, cut to the plan and without its slack: grid minutes inside it."""

    index: int
    start: int
    end: int
    label: str  # its date in words
    over: int = 0  # the minute at which the whole run is over

    @property
    def minutes(self) -> int:
        """How long it is."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Home:
    """A stretch at home, or a day of a long one: loads start in [first, last] and are done by ``end``."""

    first: int
    last: int
    end: int


@dataclass(frozen=True, slots=True)
class DeckFacts:
    """A deck: line-up minutes, and where in each window it may run and may be lined up in full."""

    deck: Deck
    full: int
    touch_up: int
    stands_on: int  # index of a set-up, -1 for none
    runs: tuple[tuple[Stretch, ...], ...]  # by window
    full_runs: tuple[tuple[Stretch, ...], ...]  # by window
    calibrations: tuple[tuple[int, ...], ...]  # by set-up: jobs of calibration reels that fit, nearest first
    asked: tuple[int, ...]  # set-ups of the transfers that may be played on it
    for_full: tuple[int, ...] = field(init=False)  # windows in which a full line-up fits at all

    def __post_init__(self) -> None:
        rooms = (any(b - a >= self.full for a, b in runs) for runs in self.full_runs)
        object.__setattr__(self, "for_full", tuple(w for w, room in enumerate(rooms) if room))

    def needed(self, setup: int) -> tuple[int, ...]:
        """The calibration reels one of which such a line-up must name; empty where it may do without."""
        return self.calibrations[setup] if self.deck.calibration_needed else ()

    @property
    def every_needed(self) -> tuple[int, ...]:
        """All calibration reels that some line-up of this deck may have to name."""
        return tuple(sorted({job for setup in range(len(self.calibrations)) for job in self.needed(setup)}))


@dataclass(frozen=True, slots=True)
class RunningLoad:
    """A load that was started before the plan: its members' jobs or keys, outs, and touches still to come."""

    chamber: int
    loaded: int
    members: tuple[tuple[str, int, int, int], ...]  # reel, out, cool until, playable until
    touches: tuple[tuple[Do, int], ...]  # what to do, minute
    end: int
    temperature: str


@dataclass(frozen=True, slots=True)
class Made:
    """A touch-up with which the plan begins, and which was made: its deck stands so in this bench window."""

    deck: int
    setup: int
    start: int
    end: int
    calibration: int  # a job, -1 for none


@dataclass(frozen=True, slots=True)
class ChamberFacts:
    """A chamber: trays, turns, touches; ``homes`` are the stretches in which someone is home and awake."""

    chamber: Chamber
    trays: int
    turn_every: int
    touch: int
    busy_until: int


@dataclass(frozen=True, slots=True)
class Part:
    """One transfer of a reel: the set-up, and minutes on each deck (None where the deck cannot take it).

    ``passes`` is how many are left of it.
    """

    setup: int
    minutes: tuple[int | None, ...]
    name: str = ""
    passes: int = 0
    rests: tuple[str, ...] = ()  # what it rests on that nobody has told
    tones: bool = False  # tones are recorded at its head


@dataclass(frozen=True, slots=True)
class Comfort:
    """What of a plan's comfort is in the score, in hundredths of priority for a minute.

    ``marks`` are the minutes up to which an end counts, one for each night; none where it counts to the
    minute. ``bench`` are the runs of bench time, whole but for the plan's edges: outside them a warm chamber
    ties someone.
    """

    marks: tuple[int, ...] = ()
    line_up: Fraction = Fraction(0)
    tied: Fraction = Fraction(0)
    bench: tuple[Run, ...] = ()

    def counted(self, minute: int) -> int:
        """The minute up to which the wait for something counts that is done then."""
        return self.marks[bisect_left(self.marks, minute)] if self.marks else minute


@dataclass(frozen=True, slots=True)
class Job:
    """A reel with work in this plan. Minutes are whole; 0 where a step is not needed.

    ``warmth`` is ``no``, ``may`` (playable for now, may be given up and warmed) or ``must``. ``ready`` is the
    first minute at which it is at hand; ``lapse`` the last one at which a transfer may end, None for no end.
    """

    index: int
    reel: Reel
    calibration: bool
    identify: int
    warmth: str
    heat: int
    cool: int
    playable: int
    temperature: str
    trays: tuple[int, ...]  # by chamber, 0 where it does not fit
    ready: int
    lapse: int | None
    repair: int
    audition: int
    audition_decks: tuple[int, ...]
    parts: tuple[Part, ...]
    verify: int
    passes: int
    ends: bool = True  # False: planned no further than its first hearing
    look: bool = False  # True while it is still to be identified, which may take no time
    look_from: int = 0  # when it may be looked at: out of the load that runs, and cooled
    assumed: bool = False  # nobody has inspected it: what follows its look waits until that evening is over
    rests: tuple[str, ...] = ()  # what its entry in a load and its repair rest on
    waits: str = ""  # why nothing is planned with it: in the heat past its take-out, or to be looked at
    windows: frozenset[int] | None = None  # where it may be transferred, where the owner wished something

    @property
    def key(self) -> str:
        """The reel's key."""
        return self.reel.key


@dataclass(frozen=True, slots=True)
class SongFacts:
    """A song that counts: priority, jobs it still needs (indices), and whether one of them can never end.

    With ``wish`` it stands for a wish of the owner: plans are compared with it, the score is told without.
    """

    key: str
    priority: int
    jobs: tuple[int, ...]
    hopeless: bool
    wish: bool = False


@dataclass(frozen=True, slots=True)
class Problem:
    """All facts of one plan; jobs in the order of the reels' keys, so that equal shelves give equal plans."""

    studio: Studio
    scale: Timescale
    windows: tuple[Window, ...]
    hearing_runs: tuple[tuple[Stretch, ...], ...]  # by window: where a first hearing may be
    homes: tuple[Home, ...]
    decks: tuple[DeckFacts, ...]
    chambers: tuple[ChamberFacts, ...]
    setups: tuple[Setup, ...]
    jobs: tuple[Job, ...]
    songs: tuple[SongFacts, ...]
    running: tuple[RunningLoad, ...]
    barred: dict[str, str]
    inspect: tuple[str, ...]  # left over after identify: what is likely of them could not be planned
    fillers: tuple[str, ...]  # found, planned only as far as identify, and not counted as work that can end
    never: int  # reels that count in the score and cannot end in this plan
    end: int  # last minute for any item or touch
    comfort: Comfort
    slack: Fraction  # share of every window that stays free
    made: tuple[Made, ...] = ()
    work: tuple[Job, ...] = field(init=False, compare=False, repr=False)  # the jobs whose verify counts
    nearness: dict[tuple[int, int], Nearness] = field(init=False, compare=False, repr=False)  # as asked for

    def __post_init__(self) -> None:
        counts = tuple(job for job in self.jobs if not job.calibration and job.ends)
        object.__setattr__(self, "work", counts)
        object.__setattr__(self, "nearness", {})

    @property
    def now(self) -> int:
        """The minute before which nothing but the line-ups is that were made."""
        return max((one.end for one in self.made), default=0)

    @property
    def for_songs(self) -> frozenset[int]:
        """The jobs of songs that can be ready in this plan."""
        return frozenset(job for song in self.songs if not song.hopeless for job in song.jobs)

    @property
    def penalty(self) -> Fraction:
        """Minutes that count for what is not verified: one and a half horizons."""
        return self.scale.horizon * Fraction(3, 2)
