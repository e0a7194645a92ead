"""Figures that cannot be: beyond what any tape, deck or treatment ever was. One list for every face.

Columns of files, fields of cards and keys of the studio ask it by the column's name. A shelf that was written
before is read as it is: what it holds is taken (``Reading.kept``, ``Part.kept``).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from core.quantities import Quantity, two_readings
from core.tape.nominal import speed_there_was, speeds_told, width_there_was, widths_told

#: Between what the figures of a column lie, and what would be right; in inches, ips, nWb/m, h, Hz, percent.
#: Common practice of the trade, wide of everything that was ever sold: slips of a finger lie beyond it.
_BETWEEN: Mapping[str, tuple[float, float, str]] = {
    "thickness": (0.0002, 0.005, "a thickness that tape has, such as 1.5 mil or 50 µm"),
    "reel_size": (2, 16, "a size that a reel has, such as 7 in or 10.5 in"),
    # Far beyond every reel of the tables: what a reel of its own size holds is asked where that is told.
    "length": (0, 240_000, "a length that a reel holds, such as 2500 ft: at most 20000 ft (6096 m)"),
    "pack_diameter": (0.2, 16, "a diameter that a reel has: at most 16 in"),
    "hub_diameter": (0.2, 16, "a diameter that a reel has: at most 16 in"),
    "level": (10, 2000, "a level that tape takes, such as 250 nWb/m"),
    # The longest that anybody is known to have warmed a tape for is four days.
    "treatment_hours": (0, 168, "a time for which tape is warmed, such as 8 h: at most 168 h"),
    "sample_rate": (8000, 10**8, "a sampling rate, such as 96 kHz or 44100 Hz"),  # speech over a wire: 8 kHz
    "tracks": (
        1,
        48,
        "a number of tracks that a tape has: at most 48, a whole number from 1",
    ),  # 24 on 2 in; 48 of numbers on 1/2 in
    "track": (1, 48, "a track that a tape has: a whole number from 1 to 48"),
    "timecode_track": (1, 48, "a track that a tape has: a whole number from 1 to 48"),
    "splices": (0, 1000, "a number of splices that a tape has: a whole number from 0 to 1000"),
    "varispeed": (-50, 100, "a percentage from -50 to 100: beyond lies another speed, which the deck has"),
    "year": (1928, 2100, "a year from which a tape can be"),  # the first tape with a coat of oxide is of 1928
    "wind_speed": (1, 1000, "a speed at which a deck winds, such as 180 ips: from 1 ips to 1000 ips"),
    # Of the studio: times in hours or minutes, as the key says.
    "trays": (0, 60, "a number of trays that a chamber has: a whole number, at most 60"),
    "trays_taken": (1, 60, "trays that one reel takes: a whole number from 1 to 60"),
    "touch_minutes": (0, 120, "whole minutes that a load, a turn or a take-out needs: at most 120"),
    "turn_every": (0, 24, "a time after which tape is turned, such as 2 h: at most 24 h"),
    "cool": (0, 168, "a time for which tape cools, such as 8 h: at most 168 h"),
    "inputs": (1, 256, "a number of tracks that are captured at once: a whole number from 1 to 256"),
    "setup_minutes": (0, 480, "whole minutes that a line-up takes: at most 480"),
    "touch_up_minutes": (0, 480, "whole minutes that a line-up takes: at most 480"),
    "identify": (0, 240, "minutes that a look at a reel takes: at most 240"),
    "audition": (0, 240, "minutes for which a reel is heard first: at most 240"),
    "load": (0, 120, "minutes that threading a reel takes: at most 120"),
    "clean": (0, 120, "minutes that cleaning a path takes: at most 120"),
    "splice": (0, 120, "minutes that one joint takes: at most 120"),
    "verify": (0, 240, "minutes that checking files takes: at most 240"),
}


def never_was(name: str, found: Quantity) -> str:
    """What would be right where a figure of that column cannot be; empty where it can."""
    if wrong := beyond(name, found.number):
        return wrong
    if found.number <= 0:
        return "above nothing"
    return _OF_TAPE[name](found) if name in _OF_TAPE else ""


def beyond(name: str, number: Fraction | int) -> str:
    """As ``never_was``, for bare numbers: only whether one lies in its column's range, where that has one."""
    least, most, right = _BETWEEN.get(name, (number, number, ""))
    return "" if least <= number <= most else right


def right_figure(name: str) -> str:
    """What a figure of that column is, in words; empty where the list has nothing of it."""
    return _BETWEEN.get(name, (0, 0, ""))[2]


def beyond_typed(name: str, text: str) -> str:
    """As ``beyond``, for text as it was typed, perhaps in percent; what is no number alone can be."""
    match = re.fullmatch(r"([+-]?\d+(?:[.,]\d+)?) ?%?", text.strip())
    return beyond(name, Fraction(match[1].replace(",", "."))) if match else ""


def _speed(found: Quantity) -> str:
    return "" if speed_there_was(found.number) else f"a speed that a deck runs at ({speeds_told()})"


def _width(found: Quantity) -> str:
    return "" if width_there_was(found.number) else f"a width that tape has ({widths_told()})"


def _length(found: Quantity) -> str:
    if both := _thousands(found):
        return f"a length that reads one way: {both}"
    return ""


def _thousands(found: Quantity) -> str:
    """Both readings of a length such as 1.200 ft, where a reel holds as much with a point for thousands."""
    from core.tape.physics.length import longest_there_was

    number, _, unit = found.text.partition(" ")
    both = two_readings(number, ".")
    if both is None or number.startswith("0") or found.number * 1000 > longest_there_was():
        return ""
    return " or ".join(f"{one} {unit}" for one in both)


_OF_TAPE: Mapping[str, Callable[[Quantity], str]] = {"speed": _speed, "width": _width, "length": _length}
