"""How to lay the files, in words for someone who has the folder alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.album.copies.plan import ALONG, AS_CAPTURED, RATIO, Copy, Way
from core.album.ties import capture_name
from core.values import dataclass
from core.words import counted

_HOW = {AS_CAPTURED: "as captured", ALONG: "read along its curve", RATIO: "read at a constant ratio"}
_TOGETHER = (
    "All files begin at the same moment: drag all of them to the start of an empty session.",
    "They are equally long; where a tape has nothing there is silence.",
)
_STAMPED = (
    "Each file is as it was captured and tells its place in its time reference (bext):",
    "the song's zero is 01:00:00. Import the files at their time stamps.",
)
_APART = (
    "Files that run apart come from tapes that ran at another speed: begun at their time stamps they",
    "are right at their start only. Laid the way 'zero' or 'clock' they stay in their places.",
)
_BESIDE = (
    "parts.csv: of every file what it is, where it lies on the song's clock, and how sure that is.",
    "SHA256SUMS: check sums, for sha256sum -c.",
)


@dataclass(frozen=True, slots=True)
class SheetWords:
    """What the sheet tells besides the files."""

    zero: str = ""
    """The song's zero in words: which moment of which tape."""
    left_out: tuple[str, ...] = ()
    to_know: tuple[str, ...] = ()
    """What is open about the song, and what no tape has."""


def sheet_text(song: str, way: Way, copies: Sequence[Copy], words: SheetWords) -> bytes:
    """Everything that someone needs who opens the folder in a program of their own."""
    return ("\r\n".join(_lines(song, way, copies, words)) + "\r\n").encode("utf-8")


def _lines(song: str, way: Way, copies: Sequence[Copy], words: SheetWords) -> Iterator[str]:
    rates = sorted({copy.rate for copy in copies})
    yield f"{song}: {counted(len(copies), 'file')}, {_rates(rates)}"
    yield ""
    yield from _STAMPED if way == "stamped" else _TOGETHER
    if len(rates) > 1:
        yield "Files of another sample rate must be converted by the program, not played at the wrong rate."
    if any(copy.runs_apart_ms > 1 for copy in copies):
        yield from _APART
    if words.zero:
        yield _zero(way, copies, words.zero)
    yield f"markers.mid and markers.csv: begin, end and notes, counted from {_counted(way)}."
    yield from _BESIDE
    yield ""
    yield from (f"{copy.name}.wav: {_what(copy)}" for copy in copies)
    for one, two in _pairs(copies):
        yield f"a pair: {one.name}.wav goes left, {two.name}.wav right"
    for heading, lines in (("Not in this folder:", words.left_out), ("To know:", words.to_know)):
        if lines:
            yield from ("", heading, *lines)


def _rates(rates: Sequence[int]) -> str:
    return " and ".join(f"{rate} Hz" for rate in rates)


def _counted(way: Way) -> str:
    return "the song's zero" if way == "stamped" else "the start of the files"


def _zero(way: Way, copies: Sequence[Copy], zero: str) -> str:
    if way == "stamped":
        return f"The song's zero is {zero}."
    before = -min(copy.from_seconds for copy in copies)
    where = f"{abs(before):.3f} s {'after' if before > 0 else 'before'} the start of the files"
    return f"The song's zero is {zero}: {where if abs(before) >= 0.0005 else 'the start of the files'}."


def _what(copy: Copy) -> str:
    place = copy.used.place
    where = " where that was told" if place.by == "said" else ""
    near = f", within {place.error_ms:g} ms{where}" if place.error_ms else ""
    apart = f"; runs up to {copy.runs_apart_ms:.1f} ms apart" if copy.runs_apart_ms > 1 else ""
    by = (
        "its clock is the song's"
        if place.own_clock
        else f"placed {'as told' if place.by == 'said' else 'by ' + place.by}"
    )
    width = "stereo" if len(copy.used.tracks) == 2 else "mono"
    tracks = "+".join(map(str, copy.used.tracks))
    track = f"track{'s' if len(copy.used.tracks) > 1 else ''} {tracks} of {capture_name(copy.used.key)}"
    cuts = "".join(_cuts(copy)) if copy.method == ALONG else ""
    return f"{track}, {copy.rate} Hz {width}, {_HOW[copy.method]}; {by}{near}{apart}{cuts}"


def _cuts(copy: Copy) -> Iterator[str]:
    """Where in the file the tape was cut or stood, and what is left out or lacks there."""
    for node in copy.curve.cuts():
        (here, there), (then, later) = copy.curve.nodes[node : node + 2]
        more = (then - here) - (later - there)
        what = f"{more:.2f} s of the capture are left out" if more > 0 else f"{-more:.2f} s are not on it"
        yield f"; at {there - copy.from_seconds:.1f} s of the file {what}: listen there"


def _pairs(copies: Sequence[Copy]) -> Iterator[tuple[Copy, Copy]]:
    """Files that are the two sides of one part, left before right."""
    sides: dict[tuple[object, ...], list[Copy]] = {}
    for copy in copies:
        if copy.used.side_of:
            sides.setdefault((copy.used.side_of, copy.used.take, copy.used.key), []).append(copy)
    yield from ((mine[0], mine[1]) for mine in sides.values() if len(mine) == 2)
