"""Readers of the studio's keys that are more than a word, a number, a quantity or a flag."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from typing import cast

from core.errors import Unusable
from core.quantities import Quantity
from core.store.studio.toml_part import MISSING, NOTHING, Part
from core.studio.studio import WEEKDAYS, Count
from core.tape.where import figure
from core.zones import right_zone, zone

LONGEST_NIGHT_MINUTES = 18 * 60
DAY = 24 * 60
MOST_SLACK = Fraction(9, 10)


def timezone(part: Part) -> str:
    """The name of a time zone that there is."""
    right = "an IANA zone name, such as Europe/Lisbon"
    name = part.text("timezone", right)
    try:
        if name:
            zone(name)
    except Unusable:
        part.say("timezone", name, right_zone(name))
    else:
        if not name and isinstance(part.values.get("timezone"), str):
            part.say("timezone", name, right)
    return name


def assumed_condition(part: Part) -> str:
    """What a reel that nobody has inspected is planned as: ok or sticky."""
    right = "ok or sticky"
    return str(_word(part, "assume_condition", right, "ok", ("ok", "sticky")))


def counted(part: Part) -> Count:
    """How the score counts a song's date: by evenings or by hours."""
    right = "evenings or hours"
    return cast(Count, _word(part, "count", right, "evenings", ("evenings", "hours")))


def _word(part: Part, key: str, right: str, default: str, choices: tuple[str, ...]) -> str:
    found = part.checked(
        key, right, default, lambda v: isinstance(v, str) and v.strip().casefold() in choices
    )
    return str(found).strip().casefold()


def slack(part: Part) -> Fraction:
    """A share of a bench window, written in percent."""
    right = f'a share in percent, such as "10 %", at most {int(MOST_SLACK * 100)} %'
    value = part.get("slack", right, needed=False)
    if value is MISSING:
        return Fraction(1, 10)
    typed = value.strip() if isinstance(value, str) else ""
    match = re.fullmatch(r"([0-9]{1,3}(?:[.,][0-9]{1,4})?) ?%", typed)
    share = Fraction(match[1].replace(",", ".")) / 100 if match else Fraction(1)
    if share > MOST_SLACK:
        part.say("slack", value, right)
        return Fraction(1, 10)
    return share


def bit_depth(part: Part) -> int:
    """16, 24 or 32."""
    return int(part.checked("bit_depth", "16, 24 or 32", MISSING, lambda v: v in (16, 24, 32)) or 24)


def guide_tracks(part: Part) -> int:
    """Tracks that are repeated in every pass: fewer than the inputs."""
    guides = part.whole("guide_tracks", 0, 999, 0)
    inputs = part.values.get("inputs")
    if isinstance(inputs, int) and guides >= inputs:
        part.say("guide_tracks", guides, f"fewer than the {inputs} inputs")
    return guides


def trays_taken(part: Part) -> tuple[tuple[Quantity, int], ...]:
    """Trays that a reel of each width takes."""
    taken = part.part("trays_taken")
    if taken is None:
        part.say("trays_taken", MISSING, 'trays a reel of each width takes, such as { "1 in" = 2 }')
        return ()
    read = [
        (
            taken.read_as(width, width, "length", column="width"),
            taken.whole(width, 1, 1000, column="trays_taken"),
        )
        for width in taken.values
    ]
    return tuple((width or NOTHING, trays) for width, trays in read)


def temperature(part: Part) -> Quantity:
    """A temperature between what does something and what harms tape."""
    warm = part.needed_quantity("temperature", "temperature")
    least, most = figure("heat.least_set_c"), figure("heat.hard_stop_c")
    if warm is not NOTHING and not least <= warm.number <= most:
        right = f"between {least} and {most} degC: more harms tape, less does nothing"
        part.say("temperature", warm.text, right)
    return warm


def told_or_not(part: Part, key: str) -> bool | None:
    """true, false, or None where nobody told."""
    return None if part.get(key, "", needed=False) is MISSING else part.flag(key)


def on_grid(part: Part, key: str, *, none_too: bool = False, column: str = "") -> Quantity:
    """A stretch of time that is a multiple of the studio's grid."""
    found = part.needed_quantity(key, "time", none_too=none_too, column=column)
    if found is not NOTHING and (found.number * 60) % part.grid:
        part.say(key, found.text, f"a multiple of the grid of {part.grid} min ([minutes] grid)")
    return found


def grid(part: Part) -> int:
    """Minutes on which work starts and ends."""
    right = "whole minutes that divide 30: 1, 2, 3, 5, 6, 10, 15 or 30"

    def fits(value: object) -> bool:
        return isinstance(value, int) and not isinstance(value, bool) and value >= 1 and 30 % value == 0

    return int(part.checked("grid", right, 5, fits))


def begins(part: Part) -> int:
    """The minutes past midnight at which a row of hours begins."""
    begin = _clock(part, "from", needed=not part.flag("off"))
    if begin == DAY:
        part.say("from", part.values.get("from"), "a time before 24:00, on the date on which it starts")
    return begin or 0


def ends(part: Part, key: str) -> int | None:
    """The minutes past midnight at which it, or its loud part, ends: after it begins, or on the next day."""
    end = _clock(part, key, needed=key == "to" and not part.flag("off"))
    begin = clock_minutes(part.values.get("from"))
    if begin is None or end is None or end > begin:
        return end
    if end + DAY - begin > LONGEST_NIGHT_MINUTES:
        right = f"after from ({part.values.get('from')}), nor within 18 hours of it on the next day"
        part.say(key, part.values.get(key), right)
    return end + DAY


def _clock(part: Part, key: str, *, needed: bool) -> int | None:
    right = 'a time of day from "00:00" to "24:00"'
    value = part.get(key, right, needed=needed)
    if value is MISSING:
        return None
    minutes = clock_minutes(value)
    if minutes is None:
        part.say(key, value, right)
    return minutes


def clock_minutes(value: object) -> int | None:
    """A time of day as minutes past midnight, to 24:00; None where it is none."""
    match = re.fullmatch(r"([0-9]{1,2}):([0-9]{2})", value.strip()) if isinstance(value, str) else None
    if match is None or int(match[2]) > 59:
        return None
    minutes = int(match[1]) * 60 + int(match[2])
    return minutes if minutes <= DAY else None


def clock_words(minutes: int) -> str:
    """Minutes past midnight as a time of day; past 24:00 it is the next day's."""
    hours, left = divmod(minutes if minutes <= DAY else minutes - DAY, 60)
    return f"{hours:02}:{left:02}"


def days(part: Part) -> tuple[str, ...]:
    """Weekdays, by their short names; a row names days or dates."""
    right = f"a list of {', '.join(WEEKDAYS)}"
    if "days" not in part.values and "dates" not in part.values:
        part.say("days", MISSING, 'weekdays such as ["mon", "tue"], or dates = ["2026-12-24"]')
    value = part.checked("days", right, [], lambda v: isinstance(v, list) and len(v) > 0)
    found = []
    for n, day in enumerate(value, 1):
        if isinstance(day, str) and day.strip().casefold() in WEEKDAYS:
            found.append(day.strip().casefold())
        else:
            part.say(f"days[{n}]", day, f"one of {', '.join(WEEKDAYS)}")
    return tuple(dict.fromkeys(found))


def dates(part: Part) -> tuple[date, ...]:
    """Dates."""
    right = 'a date such as "2026-12-24"'
    value = part.checked("dates", f"a list with {right}", [], lambda v: isinstance(v, list) and len(v) > 0)
    found = []
    for n, day in enumerate(value, 1):
        try:
            if not isinstance(day, str):
                day = day.isoformat()
            if not re.fullmatch(r"\d{4}-\d\d-\d\d", day.strip()):
                raise ValueError
            found.append(date.fromisoformat(day.strip()))
        except (ValueError, AttributeError):
            part.say(f"dates[{n}]", value[n - 1], right)
    return tuple(dict.fromkeys(found))
