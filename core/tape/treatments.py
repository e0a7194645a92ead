"""Programmes of warming: what is published, what common practice gives a width, and limits of temperature."""

from fractions import Fraction

from core.tape.exact import Number, positive
from core.tape.tables import Row, table
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Programme:
    """One course of warmth: °C, hours in warmth, hours between turns, hours of cooling, days playable after.

    `low_c` and `high_c` bound what a thermometer may show. ValueError for a course above the hard stop.
    """

    celsius: float
    hours: Fraction
    turn_hours: Fraction
    cool_hours: Fraction
    playable_days: Fraction
    low_c: float
    high_c: float
    source: str = ""

    def __post_init__(self) -> None:
        stop = figure("heat.hard_stop_c")
        if not self.celsius <= stop or not self.high_c <= stop:
            raise ValueError(f"no tape is warmed above {stop} °C, and {self.celsius:g} °C was asked for")
        if self.hours <= 0 or self.turn_hours <= 0 or self.cool_hours < 0 or self.playable_days < 0:
            raise ValueError("hours of warmth and between turns are above nothing, the others not below")


def programme(
    celsius: Number,
    hours: Number,
    *,
    turn_hours: Number | None = None,
    cool_hours: Number | None = None,
    playable_days: Number | None = None,
    source: str = "studio.toml",
) -> Programme:
    """A programme from its figures; what is left out is common practice: turned every 2 h, cooled as long."""
    band = figure("heat.reading_band_c")
    warm, stop = float(celsius), float(figure("heat.hard_stop_c"))
    turn = figure("heat.turn_hours") if turn_hours is None else turn_hours
    days = figure("heat.playable_days") if playable_days is None else playable_days
    cool = hours if cool_hours is None else cool_hours
    high = max(warm, min(warm + band, stop))
    whole = Fraction(hours)
    return Programme(warm, whole, Fraction(turn), Fraction(cool), Fraction(days), warm - band, high, source)


def house_programme(width_in: Number) -> Programme | None:
    """What common practice gives a tape of that width; None for a width that nobody speaks of."""
    width = float(positive(width_in, "the width"))
    for row in published(width):
        if row.values.get("house"):
            told = row.values
            return programme(
                told["high_c"],
                told["hours"],
                turn_hours=told["turn_hours"],
                cool_hours=told["cool_hours"],
                playable_days=told["playable_days"],
                source=f"treatments.{row.key}",
            )
    return None


def published(width_in: Number) -> tuple[Row, ...]:
    """Every published programme that speaks of that width, or of none in particular."""
    width = float(width_in)
    rows = table("treatments").values()
    return tuple(row for row in rows if not row.values["widths"] or width in row.values["widths"])


def published_hours(width_in: Number) -> tuple[float, float] | None:
    """The fewest and the most hours that a source which names this width gives; None where none does."""
    width = float(width_in)
    named = [row.values for row in table("treatments").values() if width in row.values["widths"]]
    hours = [float(told[key]) for told in named for key in ("hours_low", "hours_high") if key in told]
    return (min(hours), max(hours)) if hours else None


def temperature_trouble(celsius: Number) -> str | None:
    """What is wrong with a set point; None where the careful sources would do the same."""
    warm = float(celsius)
    low, high = figure("heat.band_low_c"), figure("heat.band_high_c")
    stop, harm = figure("heat.hard_stop_c"), figure("heat.harm_c")
    if not warm <= stop:
        return f"{warm:g} °C is refused: nothing above {stop} °C, and above {harm} °C tape is harmed"
    if warm > high:
        return f"{warm:g} °C is above the {low} to {high} °C of the careful sources"
    if warm < low:
        return f"{warm:g} °C is below the {low} to {high} °C of the careful sources, and may do nothing"
    return None


def fahrenheit(celsius: Number) -> float:
    """Degrees Fahrenheit."""
    return float(celsius) * 9 / 5 + 32


def celsius(fahrenheit_degrees: Number) -> float:
    """Degrees Celsius."""
    return (float(fahrenheit_degrees) - 32) * 5 / 9
