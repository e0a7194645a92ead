"""The credits of an album: who plays what, song by song with writers and codes, and who was asked."""

from __future__ import annotations

from reportlab.platypus.flowables import Flowable

from core.clock import minutes_text
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, section, table
from core.paper.look.page import Sheet, column
from core.paper.look.text import BODY, SMALL, STRONG, TINY, Text
from core.release.album import Album
from core.release.album_song import AlbumSong
from core.release.codes import isrc_trouble, iswc_trouble
from core.words import counted


def credits_sheet(page: Album, size: str = "A4") -> Sheet:
    """Players with the asking, a line to sign where it is open, then each song as on a sleeve."""
    wide = column(size)
    story: list[Flowable] = []
    if page.credits:
        head: list[Cell] = [
            "",
            "on the sleeve",
            "plays",
            "asked",
            "answered",
            "says yes to the name and the use",
        ]
        rows = [_player(page, number) for number in range(len(page.credits))]
        widths = [3, 20, 36, 11, 12, 24]
        story += section("Who plays on it", table(head, rows, widths, column=wide, type_=SMALL, most=10))
    else:
        story.append(Text("No sheet names a player of the tracks that are used.", BODY))
    rows = [_song(page, place, one) for place, one in enumerate(page.songs, 1)]
    songs: list[Cell] = ["", "song", "length", "writers", "ISRC", "ISWC", "played by"]
    story += section(
        "Song by song", table(songs, rows, [3, 17, 7, 16, 17, 16, 30], column=wide, type_=SMALL, most=12)
    )
    story.append(Text("Players come from the sheets of the tracks that are used; codes are printed as given, "
                      "only their form is checked (ISO 3901, ISO 15707).", TINY))  # fmt: skip
    asked = sum(1 for one in page.credits if one.open)
    aside = (
        f"{counted(asked, 'player')} still to be asked or heard from" if asked else "everyone has said yes"
    )
    return Sheet(f"Credits: {said(page.name)}", tuple(story), aside if page.credits else "")


def _player(page: Album, number: int) -> list[Cell]:
    one = page.credits[number]
    titles = {song.song.key: song.name for song in page.songs}
    plays = "; ".join(
        f"{said(titles.get(song, song))}: {', '.join(map(said, parts))}" for song, parts in one.plays
    )
    known = f" ({said(one.player)} on the sheets)" if one.name != one.player else ""
    answer = f"{'yes' if one.asked.agreed else 'no'}, {one.asked.answered}" if one.asked.answered else ""
    return [
        Tick(8, ticked=not one.open), Text(said(one.name) + known, STRONG, 3), plays, one.asked.asked, answer,
        Blank(height=16) if one.open else "",
    ]  # fmt: skip


def _song(page: Album, place: int, one: AlbumSong) -> list[Cell]:
    by_player = (
        f"{said(credit.name)} ({', '.join(map(said, parts))})"
        for credit in page.credits for song, parts in credit.plays if song == one.song.key
    )  # fmt: skip
    length = minutes_text(one.seconds) if one.seconds is not None else "?"
    return [
        str(place), Text(said(one.name), STRONG, 3), length, said(one.song.writers) or Blank(height=12),
        _code(one.song.isrc, isrc_trouble), _code(one.song.iswc, iswc_trouble), "; ".join(by_player),
    ]  # fmt: skip


def _code(code: str, trouble: object) -> Cell:
    if not code:
        return ""
    assert callable(trouble)
    return f"{said(code)} (!)" if trouble(code) else said(code)
