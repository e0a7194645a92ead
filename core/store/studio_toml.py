"""The studio's file, read strictly: what cannot be is refused with its path and what would be right."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

from core.clock import zone
from core.errors import Unusable
from core.quantities import Quantity
from core.store.columns import ReadQuantity
from core.store.toml_part import MISSING, NOTHING, Part
from core.studio.setup import Setup
from core.studio.studio import (
    WEEKDAYS,
    Capture,
    Chamber,
    Deck,
    HoursRow,
    Minutes,
    Studio,
    Treatment,
)
from core.tape.where import figure

LONGEST_NIGHT_MINUTES = 18 * 60
DAY = 24 * 60


def read_studio_file(path: Path) -> Studio:
    """The studio that a ``studio.toml`` tells of; Unusable names every wrong key."""
    from core.quantities import read_quantity

    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError as error:
        raise Unusable(f"{path}: not UTF-8 text (byte {error.start + 1}): save it as UTF-8") from error
    return read_studio(text_tables(text, str(path)), read_quantity, str(path))


def text_tables(text: str, file: str) -> dict[str, Any]:
    """The tables of TOML text; Unusable with the line where it breaks."""
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Unusable(f"{file}: not a TOML file: {error}") from error
    except RecursionError as error:
        raise Unusable(f"{file}: not a TOML file: nested too deeply") from error


def read_studio(tables: dict[str, Any], quantity: ReadQuantity, file: str = "studio.toml") -> Studio:
    """The studio that these tables tell of."""
    wrong: list[str] = []
    top = Part(tables, "", wrong, quantity)
    extra: list[tuple[str, str, str]] = []

    def one(key: str) -> Part:
        return top.part(key) or Part({}, key, wrong, quantity)

    studio = one("studio")
    values: dict[str, Any] = {
        "name": studio.name("name", 'the studio\'s name, such as "Harbour Lane"'),
        "timezone": _timezone(studio),
        "assume_length": studio.quantity("assume_length", "length", needed=False),
    }
    minutes_part = one("minutes")
    minutes = _minutes(minutes_part)
    decks, chambers, treatments = top.parts("deck"), top.parts("chamber"), top.parts("treatment")
    hours, capture = top.parts("hours"), top.part("capture")
    values |= {
        "decks": tuple(_deck(part) for part in decks),
        "chambers": tuple(_chamber(part, minutes.grid) for part in chambers),
        "treatments": _treatments(treatments, minutes.grid),
        "hours": tuple(_hours(part) for part in hours),
        "capture": _capture(capture) if capture else None,
        "minutes": minutes,
    }
    setups = [setup for deck in decks if (setup := deck.part("lined_up")) is not None]
    for setup in setups:
        setup.used = dict.fromkeys(("speed", "eq", "level", "noise_reduction"))
    for part in (
        studio,
        *decks,
        *setups,
        *([capture] if capture else []),
        *chambers,
        *treatments,
        *hours,
        minutes_part,
        top,
    ):
        extra.extend(part.rest())
    _ids_differ(decks, "deck", wrong)
    _ids_differ(chambers, "chamber", wrong)
    if wrong:
        raise Unusable("\n".join(f"{file}: {line}" for line in wrong))
    return Studio(**values, extra=tuple(extra))


def _timezone(part: Part) -> str:
    right = "an IANA zone name, such as Europe/Lisbon"
    name = part.text("timezone", right)
    try:
        if name:
            zone(name)
    except Unusable:
        part.say("timezone", name, right)
    else:
        if not name and "timezone" in part.values and isinstance(part.values["timezone"], str):
            part.say("timezone", name, right)
    return name


def _ids_differ(parts: list[Part], what: str, wrong: list[str]) -> None:
    seen: set[str] = set()
    for part in parts:
        name = str(part.values.get("id", "")).strip()
        if name and name in seen:
            wrong.append(f"{part.path}.id: {name!r} is there already: give each {what} an id of its own")
        seen.add(name)


def _deck(part: Part) -> Deck:
    setup_minutes = part.whole("setup_minutes", 0, 10_000)
    return Deck(
        id=part.name("id", 'the deck\'s id, such as "D1"'),
        widths=part.quantities("widths", "length"),
        tracks=part.whole("tracks", 1, 1000),
        speeds=part.quantities("speeds", "speed"),
        wind_speed=part.needed_quantity("wind_speed", "speed"),
        loud=part.flag("loud"),
        setup_minutes=setup_minutes,
        touch_up_minutes=part.whole("touch_up_minutes", 0, 10_000),
        setup_needs_helper=part.flag("setup_needs_helper"),
        lined_up=_setup(part),
        calibration_needed=part.flag("calibration_needed", True),
        gentle_wind_speed=part.quantity("gentle_wind_speed", "speed", needed=False),
    )


def _setup(part: Part) -> Setup | None:
    setup = part.part("lined_up")
    if setup is None:
        return None
    return Setup(
        setup.quantity("speed", "speed", needed=False),
        setup.text("eq", 'text such as "NAB"', ""),
        setup.quantity("level", "flux", needed=False),
        setup.text("noise_reduction", "text", ""),
    )


def _capture(part: Part) -> Capture:
    inputs = part.whole("inputs", 1, 1000)
    guides = part.whole("guide_tracks", 0, 999, 0)
    if guides >= inputs:
        part.say("guide_tracks", guides, f"fewer than the {inputs} inputs")
    return Capture(
        inputs=inputs,
        sample_rate=part.needed_quantity("sample_rate", "frequency"),
        bit_depth=part.checked("bit_depth", "16, 24 or 32", MISSING, lambda v: v in (16, 24, 32)) or 24,
        guide_tracks=guides,
        folder=part.text("folder", "a folder's path", ""),
        second_copy=part.flag("second_copy"),
        file_names=part.text("file_names", "a rule for file names", ""),
    )


def _chamber(part: Part, grid: int) -> Chamber:
    taken = part.part("trays_taken")
    if taken is None:
        part.say("trays_taken", MISSING, 'trays a reel of each width takes, such as { "1 in" = 2 }')
    pairs = []
    for width in taken.values if taken else ():
        found = taken._quantity(width, width, "length") if taken else None
        trays = taken.whole(width, 1, 1000) if taken else 1
        pairs.append((found or NOTHING, trays))
    return Chamber(
        id=part.name("id", 'the chamber\'s id, such as "C1"'),
        trays=part.whole("trays", 0, 1000),
        trays_taken=tuple(pairs),
        turn_every=_on_grid(part, "turn_every", grid),
        touch_minutes=part.whole("touch_minutes", 0, 600),
    )


def _treatments(parts: list[Part], grid: int) -> tuple[Treatment, ...]:
    out: list[Treatment] = []
    for part in parts:
        width = part.needed_quantity("width", "length")
        if width is not NOTHING and any(width.number == one.width.number for one in out):
            part.say("width", width.text, "a width of its own: there is a treatment for it already")
        warm = part.needed_quantity("temperature", "temperature")
        least, most = figure("heat.least_set_c"), figure("heat.hard_stop_c")
        if warm is not NOTHING and not least <= warm.number <= most:
            part.say(
                "temperature",
                warm.text,
                f"between {least} and {most} degC: more harms tape, less does nothing",
            )
        hours, cool = _on_grid(part, "hours", grid), _on_grid(part, "cool", grid, none_too=True)
        days = part.number("playable_days", "a number of days", highest=3650)
        out.append(Treatment(width, warm, hours, cool, days))
    return tuple(out)


def _on_grid(part: Part, key: str, grid: int, none_too: bool = False) -> Quantity:
    found = part.needed_quantity(key, "time", none_too)
    if found is not NOTHING and (found.number * 60) % grid:
        part.say(key, found.text, f"a multiple of the grid of {grid} min ([minutes] grid)")
    return found


def _minutes(part: Part) -> Minutes:
    grid = part.checked(
        "grid", "whole minutes that divide 30: 1, 2, 3, 5, 6, 10, 15 or 30", 5,
        lambda v: isinstance(v, int) and not isinstance(v, bool) and v >= 1 and 30 % v == 0,
    )  # fmt: skip
    names = ("identify", "audition", "load", "clean", "splice", "verify")
    defaults = Minutes()
    values = {name: part.number(name, "minutes, from 0", getattr(defaults, name), 1440) for name in names}
    share = part.number("listen_share", "a share of play time, from 0 to 1", defaults.listen_share, 1)
    return Minutes(grid=int(grid), listen_share=share, **values)


def _hours(part: Part) -> HoursRow:
    days, dates = _days(part), _dates(part)
    if not days and not dates and "days" not in part.values and "dates" not in part.values:
        part.say("days", MISSING, 'weekdays such as ["mon", "tue"], or dates = ["2026-12-24"]')
    off = part.flag("off")
    begin = _clock(part, "from", needed=not off)
    end = _clock(part, "to", needed=not off)
    loud = _clock(part, "loud_until", needed=False)
    if begin == DAY:
        part.say("from", part.values.get("from"), "a time before 24:00, on the date on which it starts")
    return HoursRow(
        days=days,
        dates=dates,
        from_minutes=begin or 0,
        to_minutes=_after(part, "to", begin, end) or 0,
        bench=part.flag("bench"),
        home=part.flag("home"),
        helper=part.flag("helper"),
        loud_until_minutes=_after(part, "loud_until", begin, loud),
        off=off,
    )


def _after(part: Part, key: str, begin: int | None, end: int | None) -> int | None:
    """The minutes past midnight, on the next day where it is not after ``from``."""
    if begin is None or end is None or end > begin:
        return end
    if end + DAY - begin > LONGEST_NIGHT_MINUTES:
        right = f"after from ({part.values.get('from')}), nor within 18 hours of it on the next day"
        part.say(key, part.values.get(key), right)
    return end + DAY


def _clock(part: Part, key: str, needed: bool) -> int | None:
    right = 'a time of day from "00:00" to "24:00"'
    value = part.get(key, right, needed)
    if value is MISSING:
        return None
    match = re.fullmatch(r"([0-9]{1,2}):([0-9]{2})", value.strip()) if isinstance(value, str) else None
    minutes = int(match[1]) * 60 + int(match[2]) if match else -1
    if match is None or int(match[2]) > 59 or minutes > DAY:
        part.say(key, value, right)
        return None
    return minutes


def _days(part: Part) -> tuple[str, ...]:
    right = f"a list of {', '.join(WEEKDAYS)}"
    value = part.checked("days", right, [], lambda v: isinstance(v, list) and len(v) > 0)
    days = []
    for n, day in enumerate(value, 1):
        if isinstance(day, str) and day.strip().casefold() in WEEKDAYS:
            days.append(day.strip().casefold())
        else:
            part.say(f"days[{n}]", day, f"one of {', '.join(WEEKDAYS)}")
    return tuple(dict.fromkeys(days))


def _dates(part: Part) -> tuple[date, ...]:
    right = 'a date such as "2026-12-24"'
    value = part.checked("dates", f"a list with {right}", [], lambda v: isinstance(v, list) and len(v) > 0)
    dates = []
    for n, day in enumerate(value, 1):
        try:
            if not isinstance(day, str):
                day = day.isoformat()
            if not re.fullmatch(r"\d{4}-\d\d-\d\d", day.strip()):
                raise ValueError
            dates.append(date.fromisoformat(day.strip()))
        except (ValueError, AttributeError):
            part.say(f"dates[{n}]", value[n - 1], right)
    return tuple(dict.fromkeys(dates))
