"""What one reel will take."""

from __future__ import annotations

import argparse

from core.clock import clock_text
from core.words import hours_text
from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Every figure with how it was got."""
    told = opened(given).estimate(given.reel)
    if given.json:
        print_json(told.to_json())
        return 0
    lines = [f"{given.reel}: {told.sure.replace('within', 'length within')}"]
    for name, how in told.how:
        lines.append(f"  {_CALLED[name]:<13} {_shown(name, getattr(told, name)):>9}  {how}")
    print_lines(lines)
    return 0


_CALLED = {
    "length_feet": "length", "play_seconds": "play time", "passes": "passes", "winds": "winds",
    "machine_minutes": "machine time", "capture_bytes": "capture",
}  # fmt: skip


def _shown(name: str, value: float | None) -> str:
    """A figure with its unit, as a person reads it."""
    if value is None:
        return "not known"
    if name == "play_seconds":
        return clock_text(round(value))
    if name == "machine_minutes":
        return hours_text(round(value))
    if name == "capture_bytes":
        return f"{value / 1e9:.1f} GB"
    return f"{value:g} ft" if name == "length_feet" else f"{value:g}"
