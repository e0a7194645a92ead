"""The album's page as values: songs side by side with a rule where a side ends, what is missing, players."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from core.clock import minutes_text
from core.release.album import Album
from core.release.album_song import AlbumSong
from core.release.people.credits import Credit
from core.release.waits import PLAYERS, grouped
from core.songs.song import Song
from core.values import dataclass
from core.words import day_text


@dataclass(frozen=True, slots=True)
class SongLine:
    """A song at its place on the album."""

    place: int
    one: AlbumSong


@dataclass(frozen=True, slots=True)
class LeftOutLine:
    """A song that is left out as a what-if."""

    song: Song


@dataclass(frozen=True, slots=True)
class RuleLine:
    """Where a side ends: its name and how long it is; ``over`` where the carrier cannot take it."""

    words: str
    over: bool


@dataclass(frozen=True, slots=True)
class WordLine:
    """Words with a role; ``head`` is one of line_list.ROLES."""

    role: str
    words: str
    rest: bool = False
    """The rest of the line above, where that was too long."""


@dataclass(frozen=True, slots=True)
class PlayerLine:
    """A player, and how the asking stands."""

    credit: Credit


Line = SongLine | LeftOutLine | RuleLine | WordLine | PlayerLine


def page_lines(page: Album, left_out: tuple[Song, ...], *, free: bool) -> Iterator[Line]:
    """The whole page from the top down."""
    place = 0
    fit = page.fit(free=free)
    for number, side in enumerate(page.sides(free=free)):
        for one in side:
            place += 1
            yield SongLine(place, one)
        if number < len(fit.side_seconds):
            yield _rule(page, free=free, number=number)
    yield from (LeftOutLine(song) for song in left_out)
    asked = [one for one in page.missing if one.waits_for != PLAYERS]
    if not asked:
        yield WordLine("head", "Nothing else is missing" if page.missing else "Nothing is missing")
    for who, some in grouped(asked).items():
        yield WordLine("head", f"Missing: waits for {who}")
        yield from (WordLine("next", one.sentence) for one in some)
    if not page.credits_whole:
        yield WordLine("dim", "who plays on it is being looked up ...")
    if page.credits:
        yield WordLine("head", "Who plays on it")
    yield from (PlayerLine(credit) for credit in page.credits)


def song_words(one: AlbumSong) -> str:
    """All of a song that its line has no room for: what it lacks, until when, the day wished for."""
    told = [what.says for what in one.missing] or [one.state]
    if one.date is not None and any(step.due and not step.done for step in one.steps):
        told.append(f"there by {day_text(one.date.date())}")
    if one.wished and not any("wished by" in words for words in told):
        told.append(f"wished by {day_text(one.wished)}")
    return f"{one.name}: {'; '.join(told)}"


def _rule(page: Album, *, free: bool, number: int) -> RuleLine:
    fit = page.fit(free=free)
    carrier, seconds = fit.carrier, fit.side_seconds[number]
    name = f"side {'AB'[number]}" if carrier.sides > 1 else "end"
    unknown = sum(one.seconds is None for one in page.sides(free=free)[number])
    words = f"{name}  {minutes_text(seconds)} of {minutes_text(Fraction(carrier.safe_seconds))}"
    words += f", and {unknown} of unknown length" if unknown else ""
    return RuleLine(words, seconds > carrier.most_seconds or (not fit.fits and carrier.sides == 1))


def fits_words(page: Album, *, free: bool) -> str:
    """Whether it fits, on what, without what, and in which order."""
    fit = page.fit(free=free)
    order = ", split freely" if free and len(fit.sides) > 1 else ""
    without = f" without {', '.join(page.without)}" if page.without else ""
    return f"{fit.carrier.name}{order}{without}: {fit.verdict}"
