"""What the judge knows of a shelf: decks, chambers, treatments, comfort, reels and songs as plain values.

What the folder does not tell is None, never a guess.
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction
from zoneinfo import ZoneInfo

import reeljudge_hours as hours
import reeljudge_nominal as nominal
import reeljudge_units as units

STAGES = ("found", "identified", "conditioned", "aligned", "transferred", "verified")
NEVER = 10**15
"""An instant after everything: playable for good, or never at hand again."""

_MAKERS = {
    ("ampex", "quantegy"): ("406", "407", "456", "457", "499"),
    ("scotch", "3m"): ("226", "227", "250", "806", "807", "808", "809"),
    ("capitol", "audiotape"): ("q15",),
}
LISTED_STOCKS = frozenset(
    maker + number for makers, numbers in _MAKERS.items() for number in numbers for maker in ("", *makers)
)
"""Back-coated stocks known to become sticky, folded, with and without the maker."""
PRAISE = frozenset({"gold", "grand", "master", "mastering", "premium", "professional", "studio"})
"""Words that makers print beside a stock's number."""

Setup = tuple[Fraction | str | None, str, Fraction | str, str]
"""Speed, equalisation, level, noise reduction, in the form in which two set-ups are compared."""


def folded_stock(text: str) -> str:
    """A stock's name without case, spaces and hyphens."""
    return "".join(text.split()).replace("-", "").casefold()


def written_like(text: str) -> str | None:
    """The listed number beside a maker's name or a word of praise, where the stock itself is not listed."""
    if folded_stock(text) in LISTED_STOCKS:
        return None
    words = re.findall(r"[0-9a-z]+", text.casefold())
    for makers, numbers in _MAKERS.items():
        known = set(makers) | PRAISE
        for place, word in enumerate(words):
            beside = set(words[max(0, place - 1) : place] + words[place + 1 : place + 2])
            if word in numbers and beside & known:
                return word
    return None


def setup_of(raw: dict[str, str | None]) -> Setup:
    """The comparable form of a set-up with keys speed, eq, level, noise_reduction."""
    speed_text = (raw.get("speed") or "").strip()
    noise = (raw.get("noise_reduction") or "").strip().casefold()
    ips = nominal.speed(speed_text) if speed_text else None
    return (
        ips,
        nominal.eq(ips, raw.get("eq") or ""),
        units.level(raw.get("level") or ""),
        "" if noise == "none" else noise,
    )


@dataclass(frozen=True, slots=True)
class Deck:
    """A tape machine."""

    id: str
    widths: frozenset[Fraction]
    tracks: int
    speeds: frozenset[Fraction]
    wind_ips: Fraction
    loud: bool
    setup_minutes: Fraction
    touch_up_minutes: Fraction
    setup_needs_helper: bool
    lined_up: Setup | None
    calibration_needed: bool
    gentle_ips: Fraction | None


@dataclass(frozen=True, slots=True)
class Chamber:
    """A conditioning chamber."""

    id: str
    trays: int
    trays_taken: dict[Fraction, int]
    turn_every: Fraction
    touch_minutes: Fraction


@dataclass(frozen=True, slots=True)
class Treatment:
    """What a width gets: degrees Celsius, minutes of heat and cooling, days of playing."""

    temperature: Fraction
    minutes: Fraction
    cool: Fraction
    playable_days: Fraction


@dataclass(frozen=True, slots=True)
class Part:
    """What one transfer takes: a whole reel (`play` None) or one segment with its play minutes.

    `assumed` is what its set-up owes to the studio's assumptions, as the plan says it.
    """

    setup: Setup
    play: Fraction | None
    assumed: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Reel:
    """A row of reels.csv."""

    name: str
    role: str
    width: Fraction | None
    tracks: int | None
    setup: Setup
    stock: str
    base: str
    thin: bool
    length: Fraction
    tails: bool
    splices: int
    condition: frozenset[str] | None
    stage: str
    conditioned_at: int | None
    playable_until: int | None
    chamber: str
    loaded_at: int | None
    treatment_minutes: Fraction | None
    heard: bool
    tones: bool = False
    signs: frozenset[str] = frozenset()
    parts: tuple[Part, ...] = ()

    @property
    def calibration(self) -> bool:
        """Whether this is a calibration reel."""
        return self.role == "calibration"

    def has(self, *words: str) -> bool:
        """Whether condition or signs say any of *words*."""
        return bool(((self.condition or frozenset()) | self.signs) & set(words))

    @property
    def listed(self) -> bool:
        """Whether its stock is known to become sticky."""
        return folded_stock(self.stock) in LISTED_STOCKS

    @property
    def sticky(self) -> bool:
        """Known to be sticky, by condition or stock."""
        return self.has("sticky") or self.listed

    @property
    def written_like(self) -> str | None:
        """The listed number that its stock holds without being it, or None."""
        return written_like(self.stock)

    def before(self, stage: str) -> bool:
        """Whether the reel's stage comes before *stage*."""
        return STAGES.index(self.stage) < STAGES.index(stage)

    @property
    def uninspected(self) -> bool:
        """Nobody wrote down its condition yet, and it is not conditioned: it counts as found."""
        return self.condition is None and self.before("conditioned")

    @property
    def splices_due(self) -> bool:
        """Whether joints have to be remade before the transfer."""
        return self.before("transferred") and (self.splices > 0 or self.has("splices"))


@dataclass(frozen=True, slots=True)
class Song:
    """A row of songs.csv, as far as planning goes."""

    name: str
    album: str
    priority: Fraction
    needs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comfort:
    """How the owner wants to live: what the score counts, and the share of every window that stays free."""

    by_evenings: bool
    slack: Fraction
    line_up_hour: Fraction
    tied_hour: Fraction


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything that a plan is judged against."""

    zone: ZoneInfo
    decks: dict[str, Deck]
    chambers: dict[str, Chamber]
    treatments: dict[Fraction, Treatment]
    rows: list[hours.HoursRow]
    inputs: int
    guide_tracks: int
    minutes: dict[str, Fraction]
    reels: dict[str, Reel]
    songs: dict[str, Song]
    comfort: Comfort
    assume_sticky: bool = False
    notes: list[str] = field(default_factory=list)
