"""Where on the tape: place, play time, pack diameter and turns of either reel, each from any other."""

import math
from fractions import Fraction

from core.tape.exact import Number, not_negative, positive
from core.tape.physics.length import MIL, pack_for_length
from core.values import dataclass


def play_seconds(length_in: Number, speed_ips: Number) -> Fraction:
    """Seconds that so many inches last at a speed; also winding time at a mean winding speed."""
    return not_negative(length_in, "the length") / positive(speed_ips, "the speed")


def length_played(seconds: Number, speed_ips: Number) -> Fraction:
    """Inches of tape that pass in so many seconds."""
    return not_negative(seconds, "the time") * positive(speed_ips, "the speed")


@dataclass(frozen=True, slots=True)
class Run:
    """A tape that runs from a supply reel to a take-up reel, both of one hub diameter.

    `length_in` inches in all, `hub_in` inches, `thickness_mil` of the whole tape. A place is in inches
    from the start of the tape as it is played. ValueError for a place off the tape.
    """

    length_in: Fraction
    hub_in: Fraction
    thickness_mil: Fraction

    def __post_init__(self) -> None:
        positive(self.length_in, "the length")
        positive(self.hub_in, "the hub's diameter")
        positive(self.thickness_mil, "the thickness")

    def take_up_pack_in(self, place_in: Number) -> float:
        """Diameter of the take-up pack when the tape stands at that place."""
        return pack_for_length(self._on_tape(place_in), self.hub_in, self.thickness_mil)

    def supply_pack_in(self, place_in: Number) -> float:
        """Diameter of the supply pack when the tape stands at that place."""
        return pack_for_length(self.length_in - self._on_tape(place_in), self.hub_in, self.thickness_mil)

    def take_up_turns(self, place_in: Number) -> float:
        """Turns that the take-up reel has made since the start: what most turn counters count."""
        return (self.take_up_pack_in(place_in) - float(self.hub_in)) / (2 * self._thickness_in)

    def supply_turns(self, place_in: Number) -> float:
        """Turns that the supply reel has made since the start."""
        return (self.supply_pack_in(0) - self.supply_pack_in(place_in)) / (2 * self._thickness_in)

    def place_at_take_up_turns(self, turns: Number) -> float:
        """The place at which the take-up reel has made so many turns."""
        gone = float(not_negative(turns, "the count of turns"))
        pack = float(self.hub_in) + 2 * self._thickness_in * gone
        return self._reached(self._between(float(self.hub_in), pack))

    def place_at_supply_turns(self, turns: Number) -> float:
        """The place at which the supply reel has made so many turns."""
        gone = float(not_negative(turns, "the count of turns"))
        full = self.supply_pack_in(0)
        left = full - 2 * self._thickness_in * gone
        if left < float(self.hub_in) - 1e-9:
            raise ValueError(f"the supply reel is empty before it makes {gone:g} turns")
        return self._reached(self._between(left, full))

    def place_at_take_up_pack(self, pack_in: Number) -> float:
        """The place at which the take-up pack measures so much."""
        pack = positive(pack_in, "the pack's diameter")
        if pack < self.hub_in:
            raise ValueError("the pack is no smaller than its hub")
        return self._reached(self._between(float(self.hub_in), float(pack)))

    def _between(self, small_in: float, large_in: float) -> float:
        return math.pi * (large_in**2 - small_in**2) / (4 * self._thickness_in)

    @property
    def _thickness_in(self) -> float:
        return float(self.thickness_mil * MIL)

    def _on_tape(self, place_in: Number) -> Fraction:
        place = not_negative(place_in, "the place")
        if place > self.length_in:
            raise ValueError(f"the tape ends at {float(self.length_in):g} in, before {float(place):g} in")
        return place

    def _reached(self, place_in: float) -> float:
        end = float(self.length_in)
        if place_in > end * (1 + 1e-9):
            raise ValueError(f"the tape ends at {end:g} in, before {place_in:g} in")
        return min(place_in, end)


@dataclass(frozen=True, slots=True)
class Counter:
    """A deck's turn counter: it shows `per_turn` for each turn of the reel that drives it."""

    per_turn: Fraction = Fraction(1)
    reel: str = "take-up"

    def __post_init__(self) -> None:
        positive(self.per_turn, "the counter's step for each turn")
        if self.reel not in ("take-up", "supply"):
            raise ValueError("a counter is driven by the take-up or the supply reel")

    def shows(self, run: Run, place_in: Number) -> float:
        """What the counter shows at a place, set to nothing at the start of the tape."""
        turns = run.take_up_turns(place_in) if self.reel == "take-up" else run.supply_turns(place_in)
        return turns * float(self.per_turn)

    def place(self, run: Run, shown: Number) -> float:
        """Inches from the start of the tape when the counter shows that."""
        turns = not_negative(shown, "what the counter shows") / self.per_turn
        if self.reel == "take-up":
            return run.place_at_take_up_turns(turns)
        return run.place_at_supply_turns(turns)
