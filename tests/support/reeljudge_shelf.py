"""A shelf folder read for the judge: studio.toml, reels.csv, songs.csv and, where it is there, segments.csv.

Exact: TOML floats are read as fractions. What the folder does not tell is None, never a guess.
"""

import csv
import tomllib
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

import reeljudge_hours as hours
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

Setup = tuple[Fraction | str | None, str, Fraction | str, str]
"""Speed, equalisation, level, noise reduction, in the form in which two set-ups are compared."""


def folded_stock(text: str) -> str:
    """A stock's name without case, spaces and hyphens."""
    return "".join(text.split()).replace("-", "").casefold()


def setup_of(raw: dict[str, str | None]) -> Setup:
    """The comparable form of a set-up with keys speed, eq, level, noise_reduction."""
    speed_text = (raw.get("speed") or "").strip()
    noise = (raw.get("noise_reduction") or "").strip().casefold()
    return (
        units.speed(speed_text) if speed_text else None,
        (raw.get("eq") or "").strip().casefold(),
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
    """What one transfer takes: a whole reel (`play` None) or one segment with its play minutes."""

    setup: Setup
    play: Fraction | None


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
    parts: tuple[Part, ...] = ()

    @property
    def calibration(self) -> bool:
        """Whether this is a calibration reel."""
        return self.role == "calibration"

    def has(self, *words: str) -> bool:
        """Whether the condition says any of *words*."""
        return bool(self.condition and self.condition & set(words))

    @property
    def listed(self) -> bool:
        """Whether its stock is known to become sticky."""
        return folded_stock(self.stock) in LISTED_STOCKS

    @property
    def sticky(self) -> bool:
        """Sticky by condition or stock."""
        return self.has("sticky") or self.listed

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
    notes: list[str] = field(default_factory=list)


def _deck(raw: dict) -> Deck:  # type: ignore[type-arg]
    line_up = raw.get("lined_up")
    gentle = raw.get("gentle_wind_speed")
    return Deck(
        raw["id"],
        frozenset(units.length(width) for width in raw["widths"]),
        int(raw["tracks"]),
        frozenset(units.speed(speed) for speed in raw["speeds"]),
        units.speed(raw["wind_speed"]),
        bool(raw.get("loud")),
        Fraction(raw["setup_minutes"]),
        Fraction(raw["touch_up_minutes"]),
        bool(raw.get("setup_needs_helper")),
        setup_of(line_up) if line_up else None,
        bool(raw.get("calibration_needed", True)),
        units.speed(gentle) if gentle else None,
    )


def _chamber(raw: dict) -> Chamber:  # type: ignore[type-arg]
    taken = {units.length(width): int(count) for width, count in raw["trays_taken"].items()}
    return Chamber(
        raw["id"], int(raw["trays"]), taken, units.minutes(raw["turn_every"]), Fraction(raw["touch_minutes"])
    )


def _treatment(raw: dict) -> Treatment:  # type: ignore[type-arg]
    return Treatment(
        units.temperature(raw["temperature"]),
        units.minutes(raw["hours"]),
        units.minutes(raw["cool"]),
        Fraction(raw["playable_days"]),
    )


def _rows(path: Path) -> list[dict[str, str]]:
    if not path.exists():
        return []
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [
            {key: (value or "").strip() for key, value in row.items() if key} for row in csv.DictReader(file)
        ]


def _length(row: dict[str, str], assumed: Fraction) -> Fraction:
    """Inches: as told, else by the area of the pack, else by reel size (common practice), else assumed."""
    if row.get("length"):
        return units.length(row["length"])
    thickness = units.length(row["thickness"]) if row.get("thickness") else None
    if thickness and row.get("pack_diameter") and row.get("hub_diameter"):
        outer, inner = units.length(row["pack_diameter"]), units.length(row["hub_diameter"])
        pi = Fraction("3.14159265358979323846264338327950288")
        return pi * (outer**2 - inner**2) / (4 * thickness)
    nominal = {("7", "1.5"): 1200, ("7", "1"): 1800, ("10.5", "1.5"): 2500, ("10.5", "1"): 3600}
    if thickness and row.get("reel_size"):
        size = units.length(row["reel_size"])
        for (inches, mils), feet in nominal.items():
            if size == Fraction(inches) and thickness == Fraction(mils) / 1000:
                return Fraction(feet * 12)
    return assumed


def _reel(row: dict[str, str], segments: list[dict[str, str]], assumed: Fraction, zone: ZoneInfo) -> Reel:
    def told(key: str) -> str:
        return row.get(key, "")

    def when(key: str) -> int | None:
        return hours.read_time(told(key), zone) if told(key) else None

    words = frozenset(word.strip().casefold() for word in told("condition").split(";") if word.strip())
    listed = folded_stock(told("stock")) in LISTED_STOCKS
    whole = _length(row, assumed)
    setup = setup_of(row)
    parts = []
    for segment in segments:
        filled = {key: segment.get(key) or told(key) for key in ("speed", "eq", "level", "noise_reduction")}
        own = setup_of(filled)
        start = units.clock_minutes(segment["from"]) if segment.get("from") else Fraction(0)
        if segment.get("to"):
            end = units.clock_minutes(segment["to"])
        else:
            end = whole / own[0] / 60 if isinstance(own[0], Fraction) else start
        parts.append(Part(own, end - start))
    return Reel(
        told("reel"),
        told("role").casefold() or "multitrack",
        units.length(told("width")) if told("width") else None,
        int(told("tracks")) if told("tracks") else None,
        setup,
        told("stock"),
        told("base").casefold() or ("polyester" if listed else "unknown"),
        bool(told("thickness")) and units.length(told("thickness")) < Fraction(14, 10000),
        whole,
        told("wind").casefold() != "heads",
        int(told("splices") or 0),
        words or None,
        told("stage").casefold() or "found",
        when("conditioned_at"),
        when("playable_until"),
        told("chamber"),
        when("loaded_at"),
        units.minutes(told("treatment_hours")) if told("treatment_hours") else None,
        bool(told("heard")),
        tuple(parts) or (Part(setup, None),),
    )


def _needs(text: str) -> tuple[str, ...]:
    """Reels of `R-001@12:30-16:45; R-004`, each once."""
    return tuple(dict.fromkeys(need.split("@")[0].strip() for need in text.split(";") if need.strip()))


_HANDLING = {
    "grid": "5",
    "identify": "10",
    "audition": "0",
    "load": "5",
    "clean": "5",
    "splice": "3",
    "verify": "5",
    "listen_share": "0.1",
}


def read_shelf(folder: Path) -> Shelf:
    """The shelf in *folder*; errors of the files come as they are raised."""
    studio = tomllib.loads((folder / "studio.toml").read_text(encoding="utf-8-sig"), parse_float=Fraction)
    zone = ZoneInfo(studio["studio"]["timezone"])
    assumed = units.length(studio["studio"].get("assume_length", "2500 ft"))
    segments = _rows(folder / "segments.csv")
    reels = [
        _reel(row, [part for part in segments if part["reel"] == row["reel"]], assumed, zone)
        for row in _rows(folder / "reels.csv")
    ]
    songs = [
        Song(
            row["song"],
            row.get("album", ""),
            Fraction(row.get("priority") or 1),
            _needs(row.get("needs", "")),
        )
        for row in _rows(folder / "songs.csv")
    ]
    capture = studio.get("capture", {})
    handling = {key: Fraction(studio.get("minutes", {}).get(key, usual)) for key, usual in _HANDLING.items()}
    return Shelf(
        zone,
        {deck["id"]: _deck(deck) for deck in studio.get("deck", [])},
        {chamber["id"]: _chamber(chamber) for chamber in studio.get("chamber", [])},
        {units.length(raw["width"]): _treatment(raw) for raw in studio.get("treatment", [])},
        [hours.hours_row(raw) for raw in studio.get("hours", [])],
        int(capture.get("inputs", 16)),
        int(capture.get("guide_tracks", 0)),
        handling,
        {reel.name: reel for reel in reels},
        {song.name: song for song in songs},
    )
