"""A shelf folder read for the judge: studio.toml, reels.csv, songs.csv and, where it is there, segments.csv.

Exact: TOML floats are read as fractions.
"""

import csv
import io
import re
import tomllib
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

import reeljudge_hours as hours
import reeljudge_nominal as nominal
import reeljudge_units as units
from reeljudge_shelf import (
    LISTED_STOCKS,
    Chamber,
    Comfort,
    Deck,
    Part,
    Reel,
    Shelf,
    Song,
    Treatment,
    folded_stock,
    setup_of,
)


def _deck(raw: dict) -> Deck:  # type: ignore[type-arg]
    line_up = raw.get("lined_up")
    gentle = raw.get("gentle_wind_speed")
    return Deck(
        raw["id"],
        frozenset(nominal.width(width) for width in raw["widths"]),
        int(raw["tracks"]),
        frozenset(nominal.speed(speed) for speed in raw["speeds"]),
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
    taken = {nominal.width(width): int(count) for width, count in raw["trays_taken"].items()}
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
        text = file.read()
    header = re.split(r"[\r\n]", text, maxsplit=1)[0]
    between = max((",", ";", "\t"), key=header.count)
    return [
        {key.strip(): (value or "").strip() for key, value in row.items() if key}
        for row in csv.DictReader(io.StringIO(text, newline=""), delimiter=between)
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
    usual = {("7", "1.5"): 1200, ("7", "1"): 1800, ("10.5", "1.5"): 2500, ("10.5", "1"): 3600}
    if thickness and row.get("reel_size"):
        size = units.length(row["reel_size"])
        for (inches, mils), feet in usual.items():
            if size == Fraction(inches) and thickness == Fraction(mils) / 1000:
                return Fraction(feet * 12)
    return nominal.at_most(assumed, row.get("reel_size", ""))


def _assumed(filled: dict[str, str], studio: dict[str, str]) -> frozenset[str]:
    """Fills blank eq and level by what the studio assumes, and says what that was."""
    said = set()
    for key in ("eq", "level"):
        usual = studio.get(f"assume_{key}", "").strip()
        if usual and not filled.get(key):
            filled[key] = usual
            said.add(f"{key} {usual}")
    return frozenset(said)


def _reel(
    row: dict[str, str],
    segments: list[dict[str, str]],
    studio: dict[str, str],
    zone: ZoneInfo,
) -> Reel:
    def told(key: str) -> str:
        return row.get(key, "")

    def when(key: str) -> int | None:
        return hours.read_time(told(key), zone) if told(key) else None

    words = frozenset(word.strip().casefold() for word in told("condition").split(";") if word.strip())
    listed = folded_stock(told("stock")) in LISTED_STOCKS
    signs = frozenset(word.strip().casefold() for word in told("signs").split(";"))
    whole = _length(row, units.length(studio.get("assume_length", "2500 ft")))
    own_row = dict(row)
    source = (told("role").casefold() or "multitrack") != "calibration"
    assumed = _assumed(own_row, studio) if source else frozenset()
    setup = setup_of(own_row)
    parts = []
    for segment in segments:
        filled = {key: segment.get(key) or told(key) for key in ("speed", "eq", "level", "noise_reduction")}
        says = _assumed(filled, studio)
        own = setup_of(filled)
        start = units.clock_minutes(segment["from"]) if segment.get("from") else Fraction(0)
        if segment.get("to"):
            end = units.clock_minutes(segment["to"])
        else:
            end = whole / own[0] / 60 if isinstance(own[0], Fraction) else start
        parts.append(Part(own, end - start, says))
    return Reel(
        told("reel"),
        told("role").casefold() or "multitrack",
        nominal.width(told("width")) if told("width") else None,
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
        bool(told("tones")),
        signs,
        tuple(parts) or (Part(setup, None, assumed),),
    )


def _needs(text: str) -> tuple[str, ...]:
    """Reels of `R-001@12:30-16:45; R-004`, each once."""
    return tuple(dict.fromkeys(need.split("@")[0].strip() for need in text.split(";") if need.strip()))


def _comfort(raw: dict) -> Comfort:  # type: ignore[type-arg]
    return Comfort(
        raw.get("count", "evenings") != "hours",
        units.share(raw.get("slack", "10 %")),
        Fraction(raw.get("line_up_hour", Fraction(1, 2))),
        Fraction(raw.get("tied_hour", Fraction(1, 10))),
    )


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
    room = studio["studio"]
    segments = _rows(folder / "segments.csv")
    reels = [
        _reel(row, [part for part in segments if part["reel"] == row["reel"]], room, zone)
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
        {nominal.width(raw["width"]): _treatment(raw) for raw in studio.get("treatment", [])},
        [hours.hours_row(raw) for raw in studio.get("hours", [])],
        int(capture.get("inputs", 16)),
        int(capture.get("guide_tracks", 0)),
        handling,
        {reel.name: reel for reel in reels},
        {song.name: song for song in songs},
        _comfort(studio.get("comfort", {})),
        str(room.get("assume_condition", "ok")).strip().casefold() == "sticky",
    )
