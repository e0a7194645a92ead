"""The studio as plain values. Every plain number carries its unit in its name; quantities carry their own."""

from __future__ import annotations

from dataclasses import field
from datetime import date, tzinfo
from fractions import Fraction
from typing import Literal

from core.errors import Unusable
from core.quantities import Quantity
from core.studio.setup import Setup, speed_key, width_key
from core.values import dataclass
from core.zones import zone

Count = Literal["evenings", "hours"]

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Deck:
    """A tape machine. Widths in inches, speeds and winding speeds in ips."""

    id: str
    widths: tuple[Quantity, ...]
    tracks: int
    speeds: tuple[Quantity, ...]
    wind_speed: Quantity
    loud: bool = False
    setup_minutes: int = 0
    touch_up_minutes: int = 0
    setup_needs_helper: bool = False
    lined_up: Setup | None = None
    calibration_needed: bool = True
    gentle_wind_speed: Quantity | None = None
    reverse_play: bool = False

    def takes_width(self, width: Quantity) -> bool:
        """True if the deck has a head block for that width."""
        wanted = width_key(width)
        return any(width_key(own) == wanted for own in self.widths)

    def takes(self, width: Quantity, tracks: int, speed: Quantity) -> bool:
        """True if the deck can play such a reel: its width, its speed, at least its tracks."""
        runs = any(speed_key(speed) == speed_key(own) for own in self.speeds)
        return self.takes_width(width) and runs and self.tracks >= tracks


@dataclass(frozen=True, slots=True)
class Capture:
    """The recorder: inputs at once, sample rate (Hz), bits; ``guide_tracks`` are repeated in every pass.

    ``folder`` is where captures lie; with ``second_copy`` no reel is verified without a copy elsewhere.
    ``file_names`` is the shelf's own rule for the names of captured files; empty for none.
    """

    inputs: int
    sample_rate: Quantity
    bit_depth: int
    guide_tracks: int = 0
    folder: str = ""
    second_copy: bool = False
    file_names: str = ""


@dataclass(frozen=True, slots=True)
class Chamber:
    """A warm-air conditioning chamber: trays in all, trays a reel of each width takes.

    ``motor_below``: the lowest tray lies over the fan's motor, and nothing is planned into it; None where
    nobody told, and it is the last to be taken.
    """

    id: str
    trays: int
    trays_taken: tuple[tuple[Quantity, int], ...]
    turn_every: Quantity
    touch_minutes: int
    motor_below: bool | None = None

    def trays_for(self, width: Quantity) -> int | None:
        """Trays that a reel of that width takes; None if the chamber does not list it."""
        wanted = width_key(width)
        return next((n for own, n in self.trays_taken if width_key(own) == wanted), None)

    @property
    def trays_to_fill(self) -> int:
        """The trays that a plan fills: all but the one over a motor, and never fewer than one reel takes."""
        if not self.motor_below:
            return self.trays
        return min(self.trays, max(self.trays - 1, *(taken for _, taken in self.trays_taken), 1))

    def takes(self, width: Quantity) -> bool:
        """True if a reel of that width fits at all."""
        taken = self.trays_for(width)
        return taken is not None and taken <= self.trays


@dataclass(frozen=True, slots=True)
class Treatment:
    """What a width gets: temperature (°C), hours of warmth and of cooling, days playable after take-out."""

    width: Quantity
    temperature: Quantity
    hours: Quantity
    cool: Quantity
    playable_days: Fraction


@dataclass(frozen=True, slots=True)
class HoursRow:
    """When someone is there: on weekdays or on dates, minutes past midnight; ``to`` may pass 24 h."""

    days: tuple[str, ...]
    dates: tuple[date, ...]
    from_minutes: int
    to_minutes: int
    bench: bool = False
    home: bool = False
    helper: bool = False
    loud_until_minutes: int | None = None
    off: bool = False


@dataclass(frozen=True, slots=True)
class Minutes:
    """Handling times in minutes; ``listen_share`` is a share of play time."""

    grid: int = 5
    identify: Fraction = Fraction(10)
    audition: Fraction = Fraction(0)
    load: Fraction = Fraction(5)
    clean: Fraction = Fraction(5)
    splice: Fraction = Fraction(3)
    verify: Fraction = Fraction(5)
    listen_share: Fraction = Fraction(1, 10)


@dataclass(frozen=True, slots=True)
class Comfort:
    """How the owner wants to live with a plan.

    ``count``: a song's date counts by evenings or by hours; ``slack`` is the share of every bench window that
    stays free; the other two are points of score that an hour costs.
    """

    count: Count = "evenings"
    slack: Fraction = Fraction(1, 10)
    line_up_hour: Fraction = Fraction(1, 2)
    tied_hour: Fraction = Fraction(1, 10)


@dataclass(frozen=True, slots=True)
class Studio:
    """One studio; ``extra`` holds what its file says beyond what we know, as ``(table, key, JSON text)``.

    ``assume_...`` is what a reel is planned with where nothing tells; an empty ``assume_eq`` and no level
    assume nothing. ``assume_condition`` is ``ok`` or ``sticky``.
    """

    name: str
    timezone: str
    decks: tuple[Deck, ...] = ()
    capture: Capture | None = None
    chambers: tuple[Chamber, ...] = ()
    treatments: tuple[Treatment, ...] = ()
    hours: tuple[HoursRow, ...] = ()
    minutes: Minutes = field(default_factory=Minutes)
    assume_length: Quantity | None = None
    extra: tuple[tuple[str, str, str], ...] = ()
    assume_eq: str = ""
    assume_level: Quantity | None = None
    assume_condition: str = "ok"
    comfort: Comfort = field(default_factory=Comfort)

    def __post_init__(self) -> None:
        for what, ids in (("deck", [d.id for d in self.decks]), ("chamber", [c.id for c in self.chambers])):
            twice = next((one for one in ids if ids.count(one) > 1), None)
            if twice is not None:
                raise Unusable(f"two {what}s are called {twice}: give each an id of its own")

    @property
    def zone(self) -> tzinfo:
        """The studio's time zone."""
        return zone(self.timezone)

    def deck(self, key: str) -> Deck | None:
        """The deck of that id."""
        return next((deck for deck in self.decks if deck.id == key), None)

    def chamber(self, key: str) -> Chamber | None:
        """The chamber of that id."""
        return next((chamber for chamber in self.chambers if chamber.id == key), None)

    def treatment(self, width: Quantity | None) -> Treatment | None:
        """The treatment of that width."""
        wanted = width_key(width)
        return next((one for one in self.treatments if wanted and width_key(one.width) == wanted), None)
