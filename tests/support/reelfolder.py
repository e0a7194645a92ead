"""Writing shelf folders for tests: studio.toml, reels.csv, songs.csv and segments.csv from plain values."""

import csv
from fractions import Fraction
from pathlib import Path
from typing import Any

REEL_COLUMNS = [
    "reel",
    "box_label",
    "contents",
    "role",
    "width",
    "tracks",
    "speed",
    "eq",
    "level",
    "noise_reduction",
    "stock",
    "base",
    "thickness",
    "reel_size",
    "length",
    "pack_diameter",
    "hub_diameter",
    "wind",
    "splices",
    "condition",
    "stage",
    "conditioned_at",
    "playable_until",
    "chamber",
    "loaded_at",
    "treatment_hours",
    "heard",
    "tones",
    "decoded",
    "varispeed",
    "timecode_track",
    "timecode_rate",
    "location",
    "notes",
]
SONG_COLUMNS = [
    "song",
    "title",
    "artist",
    "album",
    "order",
    "priority",
    "target_length",
    "needs",
    "todo",
    "notes",
]
SEGMENT_COLUMNS = ["reel", "from", "to", "speed", "eq", "level", "noise_reduction", "title"]

NO_COMFORT: dict[str, Any] = {"count": "hours", "slack": "0 %", "line_up_hour": 0, "tied_hour": 0}
"""Ends counted to the minute, every window filled, nothing paid for line-ups and warm chambers."""


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return str(value)
    if isinstance(value, Fraction):
        return str(float(value)) if value.denominator > 1 else str(value.numerator)
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {_value(one)}" for key, one in value.items()) + " }"
    return '"' + str(value).replace("\\", "\\\\").replace('"', '\\"') + '"'


def _key(key: str) -> str:
    return key if key.replace("_", "").isalnum() else f'"{key}"'


def toml(studio: dict[str, Any]) -> str:
    """The text of a studio.toml: tables for dicts, arrays of tables for lists of dicts."""
    lines = []
    for name, table in studio.items():
        for one in table if isinstance(table, list) else [table]:
            lines.append(f"[[{name}]]" if isinstance(table, list) else f"[{name}]")
            lines += [f"{_key(key)} = {_value(value)}" for key, value in one.items()]
            lines.append("")
    return "\n".join(lines)


def write_table(path: Path, columns: list[str], rows: list[dict[str, Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns, lineterminator="\n")
        writer.writeheader()
        writer.writerows({key: "" if value is None else value for key, value in row.items()} for row in rows)


def write(
    folder: Path,
    studio: dict[str, Any],
    reels: list[dict[str, Any]],
    songs: list[dict[str, Any]],
    segments: list[dict[str, Any]] | None = None,
) -> Path:
    """Writes a shelf folder and returns it; keys that are not columns are an error."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "studio.toml").write_text(toml(studio), encoding="utf-8")
    write_table(folder / "reels.csv", REEL_COLUMNS, reels)
    write_table(folder / "songs.csv", SONG_COLUMNS, songs)
    if segments:
        write_table(folder / "segments.csv", SEGMENT_COLUMNS, segments)
    return folder


def feet(minutes: float | Fraction, ips: float | Fraction) -> str:
    """The length of tape that plays so many minutes at a speed, as a CSV quantity."""
    exact = Fraction(minutes) * 60 * Fraction(ips) / 12
    return f"{exact.numerator}" + (f"/{exact.denominator} ft" if exact.denominator > 1 else " ft")
