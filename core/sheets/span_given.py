"""The span that a sheet or a song is given on a tape: on the tape, and no other song's."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction

from core.clock import clock_text
from core.errors import Refused
from core.shelf import Shelf
from core.songs.song import Need, Song
from core.songs.spans import same_span, span_words
from core.standing.of_songs.song_facts import hearing_of, longest_on

Span = tuple[Fraction, Fraction]


def within_the_tape(shelf: Shelf, reel: str, span: Span | None) -> None:
    """Refused for a span past the end of what is captured, or of what the tape can hold."""
    if span is None:
        return
    need = Need(reel, *span)
    hearing = hearing_of(shelf, Song("", needs=(need,)))
    check = hearing.check(reel, None, None)
    if check is None:
        _on_the_tape(shelf, reel, span)
        return
    ends = max(
        (one.ends or 0.0) for one in (hearing.heard(reel, t, None) for t in check.get("tracks") or (1,))
    )
    if ends and float(span[1]) > ends + 1.0:
        raise Refused(
            f"{reel} to {clock_text(span[1])}: it is captured to {clock_text(round(ends))}, give a span in it"
        )


def _on_the_tape(shelf: Shelf, reel: str, span: Span) -> None:
    """Refused for a span past the end of a tape that is not captured, as far as its length is known."""
    most = longest_on(shelf, shelf.reel(reel))
    if most is not None and span[1] > most[0]:
        told = f"it plays {clock_text(round(most[0]))} at most (length: {most[1]})"
        raise Refused(f"{reel} to {clock_text(span[1])}: {told}: give a span in it, or mend its length")


def of_no_other(shelf: Shelf, reel: str, span: Span | None, mine: Collection[str]) -> None:
    """Refused where another song has that very span: one stretch of a tape is one song."""
    for song in shelf.songs.values() if span is not None else ():
        for need in song.needs if song.key not in mine else ():
            if same_span(need, Need(reel, *(span or ()))):
                told = f"{span_words(need)} is {song.key} {song.title}".rstrip()
                raise Refused(f"{told}: mend its needs first, or give another span")


def song_span(shelf: Shelf, song: str, reel: str, span: Span) -> Shelf:
    """The shelf on which a stretch of a tape is that song's span."""
    one = shelf.song(song)
    shelf.reel(reel)
    within_the_tape(shelf, reel, span)
    of_no_other(shelf, reel, span, (song,))
    rest = tuple(need for need in one.needs if need.reel != reel)
    at = next((n for n, need in enumerate(one.needs) if need.reel == reel), len(rest))
    return shelf.with_song(replace(one, needs=(*rest[:at], Need(reel, *span), *rest[at:])))
