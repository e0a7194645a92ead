"""The parts of a song as lines of text: the same words on the command line and in the program."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from core.songs.parts import Part, SongParts, place_words
from core.words import counted

if TYPE_CHECKING:
    from core.songs.family import Kin


def parts_head(found: SongParts) -> str:
    """``The Heron Gate: parts, 11 of 13 to hand; by timecode, loops 0.02 ms``."""
    places = dict.fromkeys(place_words(part.place).partition(",")[0] for part in found.parts if part.use)
    loops = f", loops {max(loop.misfit_ms for loop in found.loops):.2f} ms" if found.loops else ""
    laid = f"; {' and '.join(places)}{loops}" if places else ""
    return (
        f"{found.title or found.song}: {found.to_hand} of {counted(len(found.parts), 'part')} to hand{laid}"
    )


def copied_words(part: Part) -> str:
    """How often it was copied: ``2``, ``1+`` from an unknown source, ``-`` for nothing to use."""
    return "-" if part.copied is None else f"{part.copied}{'+' if part.at_least else ''}"


def parts_lines(found: SongParts) -> Iterator[str]:
    """Every recording, what is not used, and what is open."""
    yield f"{found.song}  {parts_head(found)}"
    if found.zero:
        yield f"  the song's clock is that of {found.zero.reel}, zero at {found.zero.seconds:g} s"
    for part in found.parts:
        head = f"  {part.name:<20} {part.take:<4} {part.labels:<14} {copied_words(part):<3} {part.state:<13}"
        yield f"{head} {place_words(part.place)}; {part.why}"
    for line in found.not_used_lines():
        yield f"  not used: {line}"
    for line in found.open:
        yield f"  open: {line}"


def family_lines(kin: Iterable[Kin]) -> Iterator[tuple[str, str]]:
    """The tree as lines with their roles; what is used stands out."""
    yield "dim", "from the first recordings down; what is used for the mix is marked"
    for one in kin:
        limb = "   " * (one.depth - 1) + "`- " if one.depth else ""
        yield ("good" if one.used else "word"), f" {limb}{'>' if one.used else ' '} {one.tracks}  {one.words}"
