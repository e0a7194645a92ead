"""What an album still lacks, each in one sentence, with what it waits for: tapes, a person, you, a player."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from core.release.codes import isrc_trouble, iswc_trouble, plain_isrc
from core.release.credits import Credit
from core.release.mixes import Mix, mix_remarks, the_one
from core.release.steps import SongStep, waits_on
from core.shelf import Shelf
from core.songs.on_albums import on_several
from core.songs.song import Song
from core.songs.when import SongDate
from core.words import day_text, listed

TAPES, YOU, PLAYERS = "the tapes", "you", "the players"


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is missing: who or what it waits for, and a sentence without the song's name."""

    waits_for: str
    says: str
    song: str = ""
    title: str = ""

    @property
    def sentence(self) -> str:
        """With the song before it."""
        return f"{self.song} {self.title}".strip() + f": {self.says}" if self.song else self.says


def grouped(missing: Iterable[Missing]) -> dict[str, list[Missing]]:
    """By what it waits for: tapes first, then each person by name, you, and the players to be asked."""
    by: dict[str, list[Missing]] = {}
    for one in missing:
        by.setdefault(one.waits_for, []).append(one)
    people = [who for who in by if who not in (TAPES, YOU, PLAYERS)]
    return {who: by[who] for who in (TAPES, *people, YOU, PLAYERS) if who in by}


def waits_words(missing: Iterable[Missing]) -> str:
    """How much waits for whom: ``waits for tapes (9), 2 people (3), you (8)``."""
    by = grouped(missing)
    people = [who for who in by if who not in (TAPES, YOU, PLAYERS)]
    one = people[0] if len(people) == 1 else f"{len(people)} people"
    waits = {TAPES: by.get(TAPES, ()), one: [what for who in people for what in by[who]]}
    waits |= {who: by.get(who, ()) for who in (YOU, PLAYERS)}
    told = ", ".join(f"{who.removeprefix('the ')} ({len(some)})" for who, some in waits.items() if some)
    return f"waits for {told}" if told else "nothing is missing"


def of_song(
    shelf: Shelf,
    song: Song,
    state: str,
    when: SongDate,
    seconds: Fraction | None,
    mixes: tuple[Mix, ...],
    steps: Sequence[SongStep],
    today: date,
    wished: date | None = None,
    captured: Fraction | None = None,
) -> tuple[Missing, ...]:
    """What one song lacks, what comes next first; ``captured`` is how long it is on its tapes, in seconds."""
    said: list[tuple[str, str]] = []
    if state == "nothing known":
        said.append((YOU, "nothing is known of it: which reel is it on?"))
    elif when.state == "waiting" and state in ("waiting", "in work"):
        waits = f"; waits for {', '.join(when.waits_for)}" if when.waits_for else ""
        wish = f"; wished by {day_text(wished)}" if wished else ""
        said.append((TAPES, when.words + wish + waits))
    elif when.state == "barred":
        why = "; ".join(f"{reel}: {says}" for reel, says in when.told.barred_by)
        said.append((YOU, f"barred by {why}"))
    by_number = {step.number: step for step in steps}
    said += [
        (_for(shelf, step, by_number), _step_words(shelf, step, by_number, today))
        for step in steps if not step.done
    ]  # fmt: skip
    one = the_one(mixes)
    if one is not None:
        said += [(YOU, f"mix {one.number} is the one, but {odd}")
                 for odd in mix_remarks(one, None, song.target_length, captured)]  # fmt: skip
    if one is None:
        waiting = [mix for mix in mixes if mix.stands == "to-approve"]
        if waiting:
            said.append((YOU, f"mix {waiting[-1].number} is to be approved"))
        elif state in ("captured", "in work"):
            said.append((YOU, "no mix is the one yet"))
    if seconds is None:
        said.append((YOU, "its length is not known"))
    return tuple(Missing(who, says, song.key, song.title) for who, says in said)


def _for(shelf: Shelf, step: SongStep, steps: Mapping[int, SongStep], passed: tuple[int, ...] = ()) -> str:
    """Who or what a step waits for at last: through the steps before it, a reel, a person, who does it."""
    waits = waits_on(shelf, step, steps)
    if waits and step.after.isdigit() and step.number not in passed:
        return _for(shelf, steps[int(step.after)], steps, (*passed, step.number))
    if waits and not step.after.isdigit():
        return TAPES if step.after in shelf.reels else waits
    return step.who or YOU


def _step_words(shelf: Shelf, step: SongStep, steps: Mapping[int, SongStep], today: date) -> str:
    waits = waits_on(shelf, step, steps)
    who = f", {step.who}" if step.who else ""
    late = " (late)" if step.due is not None and step.due < today else ""
    until = f", by {step.by}{late}" if step.by else ""
    return f"{step.text}{who}{until}" + (f"; waits for {waits}" if waits else "")


def of_album(songs: Sequence[Song], who: Iterable[Credit]) -> tuple[Missing, ...]:
    """What the album as a whole lacks: places of its own, answers of players, codes."""
    said = [Missing(YOU, one) for one in (*_places_twice(songs), *_codes(songs))]
    said += [Missing(PLAYERS, f"credits: {one.open}") for one in who if one.open]
    return tuple(said)


def half_on(shelf: Shelf, album: str) -> tuple[Missing, ...]:
    """Songs that name this album among several: they are not on it until they name it alone."""
    every, name = tuple(shelf.songs.values()), _folded(album)
    mine = [song for song in every if name in (_folded(piece) for piece in song.album.split(";"))]
    return tuple(Missing(YOU, told) for song in mine if (told := on_several(song, every)))


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _places_twice(songs: Sequence[Song]) -> list[str]:
    by_place: dict[int, list[str]] = {}
    for song in songs:
        if song.order is not None:
            by_place.setdefault(song.order, []).append(song.key)
    twice = {place: keys for place, keys in by_place.items() if len(keys) > 1}
    return [f"{listed(keys)} have one place on the album: {place}" for place, keys in twice.items()]


def _codes(songs: Sequence[Song]) -> list[str]:
    said = []
    for song in songs:
        for code, trouble in ((song.isrc, isrc_trouble), (song.iswc, iswc_trouble)):
            wrong = trouble(code) if code else None
            if wrong:
                said.append(f"{song.key}: {code} {wrong}")
    by_code: dict[str, list[str]] = {}
    for song in songs:
        if song.isrc:
            by_code.setdefault(plain_isrc(song.isrc), []).append(song.key)
    said += [f"{listed(keys)} have one ISRC: {code}" for code, keys in by_code.items() if len(keys) > 1]
    lacking = [song.key for song in songs if not song.isrc]
    if lacking and len(lacking) < len(songs):
        said.append(f"no ISRC for {', '.join(lacking)}")
    return said
