"""An album's page as plain text."""

from __future__ import annotations

from collections.abc import Iterator

from core.clock import minutes_text
from core.release.album import Album
from core.release.album_song import AlbumSong
from core.release.carriers import Fit
from core.release.waits import grouped
from core.words import counted
from tui.text.plain import fit


def album_lines(page: Album) -> Iterator[str]:
    """Songs in order with length, state and next step; carriers; credits; what is missing."""
    unknown = sum(one.seconds is None for one in page.songs)
    length = f"{minutes_text(page.seconds)} with {page.gap} s between songs"
    yield f"{page.name}   {counted(len(page.songs), 'song')}   {length}"
    yield f"{page.fit().carrier.name}: {page.fit().verdict}"
    yield page.fullness
    if page.without:
        yield f"without {', '.join(page.without)}"
    if unknown:
        yield f"the length of {counted(unknown, 'song')} is not known"
    for number, one in enumerate(page.songs, 1):
        yield _song(number, one)
    for one_fit, free in zip(page.fits, page.free, strict=True):
        yield f"{fit(one_fit.carrier.name, 24)}{fit(_sides(one_fit), 15)}{one_fit.verdict}"
        if free.sides != one_fit.sides:
            yield f"{fit('  split freely', 24)}{fit(_sides(free), 15)}{free.verdict}"
    for credit in page.credits:
        yield f"{credit.name} ({credit.says}): {credit.plays_words}"
    yield "what is missing:" if page.missing else "nothing is missing"
    for who, some in grouped(page.missing).items():
        yield f"  it waits for {who}:"
        yield from (f"    {one.sentence}" for one in some)


def _sides(fitted: Fit) -> str:
    return " / ".join(minutes_text(seconds) for seconds in fitted.side_seconds)


def _song(number: int, one: AlbumSong) -> str:
    place = one.song.order if one.song.order is not None else number
    length = minutes_text(one.seconds) if one.seconds is not None else "?"
    source = "" if one.length_from == "nothing" else f"({one.length_from})"
    wish = f"for {one.wished.isoformat()}" if one.wished else ""
    told = "; ".join(words for words in (wish, one.next) if words)
    title = fit(one.song.title or one.song.key, 24)
    return f"{place:>3}  {title}{length:>6} {fit(source, 11)}{fit(one.state, 14)}{told}"
