"""The studio as TOML tables and as the text of a ``studio.toml``."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from core.quantities import Quantity
from core.studio.setup import Setup
from core.studio.studio import Capture, Chamber, Deck, HoursRow, Studio, Treatment


def studio_tables(studio: Studio) -> dict[str, Any]:
    """The tables from which the same studio is read again; what it says beyond what we know at its place."""
    tables: dict[str, Any] = {
        "studio": _told(name=studio.name, timezone=studio.timezone, assume_length=studio.assume_length)
    }
    tables |= _told(
        deck=[_deck(deck) for deck in studio.decks] or None,
        capture=_capture(studio.capture) if studio.capture else None,
        chamber=[_chamber(chamber) for chamber in studio.chambers] or None,
        treatment=[_treatment(treatment) for treatment in studio.treatments] or None,
        hours=[_hours(row) for row in studio.hours] or None,
    )
    minutes = studio.minutes
    tables["minutes"] = {name: _plain(getattr(minutes, name)) for name in minutes.__slots__}
    for path, key, text in studio.extra:
        _place(tables, path)[key] = json.loads(text)
    return tables


def _place(tables: dict[str, Any], path: str) -> dict[str, Any]:
    place: Any = tables
    for step in path.split(".") if path else ():
        name, _, number = step.partition("[")
        place = place.setdefault(name, {})
        place = place[int(number[:-1]) - 1] if number else place
    found: dict[str, Any] = place
    return found


def _told(**values: Any) -> dict[str, Any]:
    return {key: _plain(value) for key, value in values.items() if value is not None}


def _plain(value: Any) -> Any:
    if isinstance(value, Quantity):
        return value.text
    if isinstance(value, Fraction):
        return value.numerator if value.denominator == 1 else float(value)
    return value


def _setup(setup: Setup) -> dict[str, Any]:
    return _told(speed=setup.speed, eq=setup.eq, level=setup.level, noise_reduction=setup.noise_reduction)


def _deck(deck: Deck) -> dict[str, Any]:
    return _told(
        id=deck.id, widths=[width.text for width in deck.widths], tracks=deck.tracks,
        speeds=[speed.text for speed in deck.speeds], wind_speed=deck.wind_speed, loud=deck.loud,
        setup_minutes=deck.setup_minutes, touch_up_minutes=deck.touch_up_minutes,
        setup_needs_helper=deck.setup_needs_helper,
        lined_up=_setup(deck.lined_up) if deck.lined_up else None,
        calibration_needed=deck.calibration_needed, gentle_wind_speed=deck.gentle_wind_speed,
    )  # fmt: skip


def _capture(capture: Capture) -> dict[str, Any]:
    return _told(
        inputs=capture.inputs, sample_rate=capture.sample_rate, bit_depth=capture.bit_depth,
        guide_tracks=capture.guide_tracks, folder=capture.folder or None,
        second_copy=capture.second_copy or None, file_names=capture.file_names or None,
    )  # fmt: skip


def _chamber(chamber: Chamber) -> dict[str, Any]:
    return _told(
        id=chamber.id, trays=chamber.trays,
        trays_taken={width.text: trays for width, trays in chamber.trays_taken},
        turn_every=chamber.turn_every, touch_minutes=chamber.touch_minutes,
    )  # fmt: skip


def _treatment(treatment: Treatment) -> dict[str, Any]:
    return _told(
        width=treatment.width, temperature=treatment.temperature, hours=treatment.hours,
        cool=treatment.cool, playable_days=treatment.playable_days,
    )  # fmt: skip


def _hours(row: HoursRow) -> dict[str, Any]:
    loud = row.loud_until_minutes
    return _told(
        days=list(row.days) or None,
        dates=[day.isoformat() for day in row.dates] or None,
        **{"from": None if row.off and not row.to_minutes else _clock(row.from_minutes)},
        to=None if row.off and not row.to_minutes else _clock(row.to_minutes),
        bench=row.bench, home=row.home, helper=row.helper,
        loud_until=None if loud is None else _clock(loud), off=row.off or None,
    )  # fmt: skip


def _clock(minutes: int) -> str:
    hours, left = divmod(minutes if minutes <= 24 * 60 else minutes - 24 * 60, 60)
    return f"{hours:02}:{left:02}"


def studio_text(studio: Studio) -> str:
    """The text of a ``studio.toml``."""
    return "\n".join(_lines(studio_tables(studio))) + "\n"


def _lines(tables: dict[str, Any]) -> Iterator[str]:
    bare = {key: value for key, value in tables.items() if not _table(value) and not _array(value)}
    for key, value in bare.items():
        yield f"{_key(key)} = {_value(value)}"
    first = not bare
    for key, value in tables.items():
        if key in bare:
            continue
        for head, one in (
            [(f"[[{_key(key)}]]", one) for one in value] if _array(value) else [(f"[{_key(key)}]", value)]
        ):
            if not first:
                yield ""
            first = False
            yield head
            for name, inner in one.items():
                yield f"{_key(name)} = {_value(inner)}"


def _table(value: Any) -> bool:
    return isinstance(value, dict) and set(value) != {"toml"}


def _array(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(_table(one) for one in value)


def _key(key: str) -> str:
    plain = key and all(c.isascii() and (c.isalnum() or c in "_-") for c in key)
    return key if plain else _quoted(key)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, dict):
        if set(value) == {"toml"}:
            return str(value["toml"])
        inner = ", ".join(f"{_key(key)} = {_value(one)}" for key, one in value.items())
        return "{ " + inner + " }" if inner else "{}"
    if isinstance(value, list):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    return repr(value)


def _quoted(text: str) -> str:
    """A basic TOML string: JSON's escapes are among TOML's, DEL apart."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
