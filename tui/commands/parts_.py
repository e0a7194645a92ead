"""The best source of every part of a song."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from core.words import counted
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.songs.parts import Part, SongParts


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Every part with its reel and track, and where it sits in time."""
    found = opened(given).parts(given.song)
    if given.json:
        print_json(found.to_json())
    else:
        print_lines(_lines(found))
    return 0


def _lines(found: SongParts) -> Iterator[str]:
    yield f"{found.song}  {found.title}: {counted(len(found.parts), 'part')}"
    for part in found.parts:
        yield f"  {part.name:<20} {part.best.label:<12} {part.best.stage:<12} {_place(part):<22} {part.why}"
    for line in found.open:
        yield f"  open: {line}"


def _place(part: Part) -> str:
    from core.clock import clock_text

    place = part.place
    if place.clock_at_zero is not None:
        return f"code {clock_text(Fraction(round(place.clock_at_zero * 1000), 1000))} at start"
    if place.start is not None and place.end is not None:
        return f"{clock_text(Fraction(place.start))}-{clock_text(Fraction(place.end))}"
    return "whole reel"
