"""What the shelf keeps about a song's parts: captures of its reels, the owner's choices, equal names."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from core.errors import Refused
from core.logbook.passes import played_of
from core.reels.length import longest_play
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.heard import Hearing
from core.songs.parts import Part, SongParts, Source
from core.songs.song import SheetRow, Song
from core.songs.sources.recordings import Recording
from core.songs.written.part_names import folded, folded_take, sided
from core.standing.left_to_play import transfers

_Index = tuple[Sequence[SheetRow], dict[str, list[SheetRow]]]
_indexed: list[_Index] = []


def rows_of_song(sheets: Sequence[SheetRow], song: str) -> Sequence[SheetRow]:
    """A song's rows, and those that name no song, in their order; sought once for the very same sheets."""
    if not _indexed or _indexed[0][0] is not sheets:
        index: dict[str, list[SheetRow]] = {}
        for row in sheets:
            index.setdefault(row.song, []).append(row)
        _indexed[:] = [(sheets, index)]
    index = _indexed[0][1]
    return (*index.get(song, ()), *index.get("", ())) if song else tuple(index.get("", ()))


def on_others(sheets: Sequence[SheetRow], song: str) -> Callable[[tuple[str, int]], bool]:
    """Tells of a track whether sheets give it to other songs, and not to this one; sought when asked."""
    found: dict[tuple[str, int], set[str]] = {}

    def told(track: tuple[str, int]) -> bool:
        if not found:
            for row in sheets:
                if row.reel and row.track is not None:
                    found.setdefault((row.reel, row.track), set()).add(row.song)
        songs = found.get(track, set())
        return bool(songs - {""}) and song not in songs

    return told


def hearing_of(shelf: Shelf, song: Song | None = None) -> Hearing:
    """The checks of the reels that carry a song, or of all, with where each pass begins on its tape."""
    reels = None
    if song is not None:
        reels = {need.reel for need in song.needs}
        reels |= {row.reel for row in rows_of_song(shelf.sheets, song.key) if row.song}
    checks = shelf.of_kind("check")
    mine = [checks[key] for key in checks if reels is None or key.rpartition(" pass ")[0] in reels]
    begins: dict[tuple[str, int], float] = {}
    for key in {str(check.get("reel")) for check in mine}:
        begins |= {(key, number): start for number, start in pass_begins(shelf, key).items()}
    return Hearing(mine, begins)


def pass_begins(shelf: Shelf, key: str) -> dict[int, float]:
    """The play time at which each pass of a reel begins, where that is not the tape's start."""
    begins: dict[int, float] = {}
    reel = shelf.reels.get(key)
    for one in transfers(shelf, reel) if reel is not None and shelf.segments_of(key) else ():
        begins |= {number: float(one.span[0]) for number in one.numbers if one.span is not None}
    begins |= {one.number: one.span[0] for one in played_of(shelf, key) if one.span}
    return begins


def longest_on(shelf: Shelf, reel: Reel) -> tuple[Fraction, str] | None:
    """Seconds that a tape plays at the most, and how its length was got; None where that is not known."""
    return longest_play(reel, shelf.studio) if not shelf.segments_of(reel.key) else None


def with_equal(shelf: Shelf, name: str, other: str) -> Shelf:
    """The shelf on which two names are one part; a name that equals itself is let go."""
    one, two = folded(name), folded(other)
    if not one or not two:
        raise Refused("two names of parts are wanted, such as 'gtr L' 'guitar left'")
    kept = shelf.chosen.equal_parts
    _on_a_sheet(shelf, name, other)
    if one == two:
        if one not in kept and one not in kept.values():
            raise Refused(f"{name!r} is a part of its own already")
        kept = {a: b for a, b in kept.items() if one not in (a, b)}
    else:
        target = kept.get(two, two)
        kept = {a: target if b == one else b for a, b in kept.items()} | {one: target}
        kept.pop(target, None)
    return shelf.choosing("equal parts", kept or None)


def _on_a_sheet(shelf: Shelf, *names: str) -> None:
    """Refused for a name that no sheet has, with the nearest; told or without its side."""
    from difflib import get_close_matches

    parts = {folded(row.part): row.part for row in shelf.sheets if row.part.strip()}
    known = {sided(name)[0] for name in parts} | set(parts)
    for name in names:
        if folded(name) not in known:
            near = get_close_matches(folded(name), [*parts], 1)
            hint = f": did you mean {parts[near[0]]!r}?" if near else ": give a part as the sheets call it"
            raise Refused(f"no sheet has a part {name!r}{hint}")


def own_choices(shelf: Shelf, song: str) -> dict[Recording, tuple[str, int]]:
    """The tracks that the owner chose, by recording, in the order of choosing."""
    mine = [one for one in shelf.of_kind("use").values() if one.get("song") == song]
    mine.sort(key=lambda one: str(one.get("at")))
    equals = shelf.chosen.equal_parts  # what was chosen for one name holds for the part that it is since
    return {_chosen(one, equals): (one["reel"], int(one["track"])) for one in mine}


def _chosen(kept: Mapping[str, Any], equals: Mapping[str, str]) -> Recording:
    """The recording that a kept choice is for."""
    return Recording(sided(kept["part"], equals)[0], folded_take(kept["take"]))


def with_choice(shelf: Shelf, parts: SongParts, part: str, track: str, at: str) -> tuple[Shelf, str]:
    """The shelf with the owner's choice for a recording, or without it, and what was done in words."""
    equals = shelf.chosen.equal_parts
    if track == "-":
        return _let_go(shelf, parts, part, equals)
    reel, colon, number = track.rpartition(":")
    first = number.partition("-")[0]
    if not colon or not first.isdigit():
        raise Refused(f"{track!r} is no track: give a reel and a track, such as R-001:3, or - to let go")
    named = _called(parts, part, equals)
    mine = [one for one in named if any(_is(s, reel, int(first)) for s in (*one.use, *one.others))]
    if not mine:
        could = dict.fromkeys(s.label for one in named for s in (*one.use, *one.others) if s.reel)
        there = f"it is on {', '.join(could)}" if could else "no track that is known does"
        raise Refused(f"{track} does not carry {named[0].called}: {there}")
    one = mine[0]
    last = number.partition("-")[2]
    pair = {source.track for source in (*one.use, *one.others) if source.reel == reel}
    if last and (not last.isdigit() or not pair.issuperset(range(int(first), int(last) + 1))):
        raise Refused(f"{track} is no pair of {one.called}: give its first track, such as {reel}:{first}")
    why = next((left.why for left in parts.not_used if (left.reel, left.track) == (reel, int(first))), "")
    if reel not in shelf.reels or why in ("recorded over", "silent as measured") or "tracks" in why:
        raise Refused(f"{track} cannot be used for {one.called}: {why or f'{reel} is not on the shelf'}")
    recording = _recording(one, equals)
    value = {"song": parts.song, "part": recording.part, "take": recording.take,
             "reel": reel, "track": int(first), "at": at}  # fmt: skip
    return shelf.with_record("use", _key(parts.song, recording), value), f"{one.called}: {track} is used"


def _is(source: Source, reel: str, track: int) -> bool:
    return (source.reel, source.track) == (reel, track)


def _key(song: str, recording: Recording) -> str:
    return f"{song}: {recording.part}/{recording.take}"


def _recording(part: Part, equals: Mapping[str, str]) -> Recording:
    return Recording(sided(part.name, equals)[0], folded_take(part.take))


def _called(parts: SongParts, name: str, equals: Mapping[str, str]) -> list[Part]:
    """The recordings of that name, with ``/TAKE`` the one of that take."""
    whole = [one for one in parts.parts if folded(one.name) == folded(name)]
    base, _, take = name.rpartition("/")
    exact = [one for one in parts.parts
             if base and sided(one.name, equals)[0] == sided(base, equals)[0]
             and folded_take(one.take) == folded_take(take)]  # fmt: skip
    loose = [one for one in parts.parts if sided(one.name, equals)[0] == sided(name, equals)[0]]
    found = whole or exact or loose
    if not found:
        names = ", ".join(dict.fromkeys(one.name for one in parts.parts)) or "it has none"
        raise Refused(f"{parts.song} has no part {name!r}: {names}")
    return found


def _let_go(shelf: Shelf, parts: SongParts, part: str, equals: Mapping[str, str]) -> tuple[Shelf, str]:
    """Without the choices kept under that name, also of a part that no sheet has any more."""
    base, _, take = part.rpartition("/")
    names = {Recording(sided(part, equals)[0], ""), Recording(sided(base, equals)[0], folded_take(take))}
    kept = {key: one for key, one in shelf.of_kind("use").items() if one.get("song") == parts.song}
    lapsed = [key for key, one in kept.items() if _chosen(one, equals) in names]
    meant = {_recording(one, equals) for one in (() if lapsed else _called(parts, part, equals))}
    chosen = lapsed or [key for key, one in kept.items() if _chosen(one, equals) in meant]
    if not chosen:
        raise Refused(f"{part}: nothing was chosen, the program chooses already")
    for key in chosen:
        shelf = shelf.with_record("use", key, None)
    return shelf, f"{part}: the program chooses again"
