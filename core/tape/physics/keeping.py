"""Keeping tape: climate, and the time it needs to reach the room."""

from fractions import Fraction

from core.tape.exact import Number
from core.tape.tables import table
from core.tape.where import figure


def acclimatise_hours(degrees_apart: Number) -> Fraction:
    """Hours a tape is left in the room when storage is so many °C away: over 8 °C, 4 h for each 10 °C."""
    apart = abs(Fraction(degrees_apart))
    if apart <= figure("storage.acclimatise_over_c"):
        return Fraction(0)
    return apart / 10 * Fraction(figure("storage.acclimatise_hours"))


def climate_trouble(celsius: Number, humidity: Number, use: str = "over-ten-years") -> tuple[str, ...]:
    """What is wrong with a place for tape (°C, % RH), by a row of the storage table; KeyError for no row."""
    told = table("storage")[use].values
    found = []
    if float(celsius) < figure("storage.lowest_c"):
        found.append(f"colder than {figure('storage.lowest_c')} °C: the lubricant may come out")
    elif float(celsius) < told.get("low_c", float("-inf")):
        found.append(f"colder than {told['low_c']} °C")
    if float(celsius) > told["high_c"]:
        found.append(f"warmer than {told['high_c']} °C")
    if float(humidity) < told["low_rh"]:
        found.append(f"drier than {told['low_rh']} % RH")
    if float(humidity) > told["high_rh"]:
        found.append(f"damper than {told['high_rh']} % RH: binder takes up water")
    return tuple(found)
