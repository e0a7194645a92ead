"""Holding what sheets claim against what sounds: each copy against its source, on the curve of the two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from core.album.place import CaptureKey, Curve, SongClock
from core.album.ties import capture_name, tie_key
from core.as_json import Record
from core.clock import write_time
from core.errors import Refused
from core.songs.claims import Claim, Sounded, claims, sounded_of
from core.songs.song import SheetRow
from core.songs.written.copies import Track
from core.standing.kept_checks import files_sum
from core.standing.of_songs.song_facts import hearing_of, rows_of_song
from core.values import dataclass

if TYPE_CHECKING:
    from core.album.sound.match import Match
    from core.capture.files.progress import Asked, Told
    from core.shelf import Shelf
    from core.songs.heard import Check
    from core.songs.song import Song
    from core.workbook.in_time.song_time import SongTime
    from core.workbook.in_time.tie_finding import Looking

KIND: Final = "claim"
_MOST_SECONDS = 300.0
"""So much of a song is held against one another; a choice of ours, for memory."""
_TELLS_SECONDS, _CHANCE, _FEW = 20, 3.0, 0.3
"""What must sound in both before a likeness is denied, and what chance gives at most: see docs/clock.md."""
_MOST_UNWRITTEN = 4
_THE_SAME = 0.5
"""Likeness from which a track that no sheet tells of is the other; less may be the room they share."""

_Pair = tuple[CaptureKey, CaptureKey]


class Claims:
    """Every capture of a song tied, and what its sheets claim listened to."""

    def __init__(self, time: SongTime) -> None:
        self.time = time

    def tie_all(
        self, song: Song, *, progress: Told | None = None, cancelled: Asked | None = None
    ) -> list[str]:
        """Looks for every capture of a song that nothing ties yet, then listens to what the sheets claim.

        What is found is kept at once; all of it is one act.
        """
        with self.time.book.as_one(f"find all of {song.title or song.key}"):
            return [
                *self._ties(song, progress, cancelled),
                *HeardClaims(self.time, song, progress, cancelled).run(),
            ]

    def _ties(self, song: Song, progress: Told | None, cancelled: Asked | None) -> list[str]:
        clock = self.time.clock(song, hearing_of(self.time.book.shelf, song))
        laid = [] if clock.own is None else list(dict.fromkeys((clock.own, *clock.places)))
        open_ones = [key for key in self.time.checks(song) if clock.own is not None and key not in laid]
        said: dict[CaptureKey, str] = {}
        # What shares nothing with the clock's own tape, as where the song goes on from one tape to the next,
        # may lie in another that is laid already: each newly laid one is tried with all that are still open.
        for there in laid:
            for key in [key for key in open_ones if key not in laid]:
                try:
                    tie = self.time.tie(
                        there[0], key[0], passes=(there[1], key[1]), song=song, progress=progress,
                        cancelled=cancelled,
                    )  # fmt: skip
                except Refused as error:
                    said.setdefault(key, str(error))
                    continue
                laid.append(key)
                over = "" if there == clock.own else f" over {capture_name(there)}"
                said[key] = f"{capture_name(key)} lies by sound{over}: {tie.says}"
        return list(said.values())


@dataclass(frozen=True, slots=True)
class HeardClaims:
    """Listens to the claims of one song's sheets, two captures at a time."""

    time: SongTime
    song: Song
    told: Told | None = None
    asked: Asked | None = None

    def run(self) -> list[str]:
        """Hears each claim not heard since its captures were checked; keeps it, and says each pair."""
        shelf, said = self.time.book.shelf, []
        checks = self.time.checks(self.song)
        rows = [row for row in rows_of_song(shelf.sheets, self.song.key) if row.song]
        for pair, mine in self._pairs(_by_captures(shelf, self.song, rows, checks)).items():
            of = [files_sum(checks[key]) for key in pair]
            kept = _kept(shelf, self.song.key, pair)
            wanted = {(claim.copy, claim.source) for claim in mine}
            if kept is not None and kept[1] == dict(zip(pair, of, strict=True)) and wanted <= kept[2]:
                continue
            heard = self._heard(pair, mine)
            self._keep(pair, of, heard)
            said.append(_says(pair, heard))
        return [line for line in said if line]

    def _pairs(self, claimed: dict[_Pair, list[Claim]]) -> dict[_Pair, list[Claim]]:
        """Captures with claims between them, and those that lie on the clock beside its own."""
        clock = self._clock()
        for key in clock.places:
            if clock.own is not None and key[0] != clock.own[0]:
                claimed.setdefault((min(key, clock.own), max(key, clock.own)), [])
        return claimed

    def _keep(self, pair: _Pair, of: Sequence[str], heard: Sequence[Sounded]) -> None:
        one, two = pair
        record = {
            "song": self.song.key,
            "one": {"reel": one[0], "pass": one[1]}, "two": {"reel": two[0], "pass": two[1]},
            "of": list(of), "at": write_time(self.time.book.now()),
            "heard": [_to_json(sounded, pair) for sounded in heard],
        }  # fmt: skip
        kept = _kept(self.time.book.shelf, self.song.key, pair)
        key = kept[0] if kept is not None else f"{self.song.key}: {tie_key(one, two)}"
        what = f"heard the copies of {capture_name(one)} and {capture_name(two)}"
        self.time.book.change(lambda shelf: shelf.with_record(KIND, key, record), what=what)

    def _heard(self, pair: _Pair, mine: Sequence[Claim]) -> list[Sounded]:
        looking = self._looking(pair)
        tracks = [(_on(claim, pair[0]), _on(claim, pair[1])) for claim in mine]
        there = [set(one.tracks) for one in (looking.one, looking.two)]
        could = [n for n, (a, b) in enumerate(tracks) if a in there[0] and b in there[1]]
        looking.read([tracks[n] for n in could])
        found: dict[int, Match | None] = {}
        why = ""
        for curve in self._curves(pair):
            if isinstance(curve, str):
                why = curve
                continue
            if not mine:
                return list(self._unwritten(looking, pair, (), curve))
            found = {n: self._match(looking, tracks[n], curve) for n in could}
            if any(match is not None and match.proved for match in found.values()):
                more = self._unwritten(looking, pair, tracks, curve)
                return [*(_sounded(mine[n], found[n]) for n in could), *more]
        if not found and why:  # a tie was looked for along these very claims
            return [Sounded(mine[n].copy, mine[n].source, "not", says="nothing ties the two") for n in could]
        return [_sounded(mine[n], found[n]) for n in could]

    def _curves(self, pair: _Pair) -> Iterator[Curve | str]:
        """The curve by what lays both on the clock, then one looked for by sound; or why there is none."""
        clock = self._clock()  # anew: what was tied before this pair counts
        places = [clock.place(*key) for key in pair]
        laid = all(place.curve is not None and (place.by != "said" or key == clock.own)
                   for key, place in zip(pair, places, strict=True))  # fmt: skip
        if laid and places[0].curve is not None and places[1].curve is not None:
            yield places[0].curve.then(places[1].curve.turned())
        try:
            tie = self.time.found(
                pair[0][0], pair[1][0], passes=(pair[0][1], pair[1][1]), song=self.song,
                progress=self.told, cancelled=self.asked,
            )  # fmt: skip
        except Refused as error:
            yield str(error)
            return
        yield tie.curve

    def _clock(self) -> SongClock:
        return self.time.clock(self.song, hearing_of(self.time.book.shelf, self.song))

    def _looking(self, pair: _Pair) -> Looking:
        from core.workbook.in_time.tie_finding import Looking

        one, two = (self.time.capture(key, self.song) for key in pair)
        for capture in (one, two):
            capture.open()
            start, end = capture.span or (0.0, float(capture.check.get("seconds") or 0.0))
            if end - start > _MOST_SECONDS:
                capture.span = (start, start + _MOST_SECONDS)
        return Looking(one, two, self.told, self.asked)

    def _match(self, looking: Looking, tracks: tuple[int, int], curve: Curve) -> Match | None:
        import numpy as np

        from core.album.sound.by_sound import match_on_curve

        looking.ask()
        here, there = (looking.one, looking.two)
        first, other = (one.stretch[0] / one.sound.sample_rate for one in (here, there))
        sound = looking.heard(here, tracks[0])
        at = np.arange(0.0, sound.seconds + 1.0)
        to = np.array([curve.song(float(x) + first) - other for x in at])
        match = match_on_curve(sound, looking.heard(there, tracks[1]), (at, to), looking.ask)
        looking.went(0.02)
        return match

    def _unwritten(
        self, looking: Looking, pair: _Pair, told: Sequence[tuple[int, int]], curve: Curve
    ) -> Iterator[Sounded]:
        """Tracks that sound the same, of which no sheet tells anything like it."""
        kin = _kin(self.time.book.shelf, self.song)
        nothing: frozenset[object] = frozenset()
        one, two = pair[0][0], pair[1][0]

        def related(a: int, b: int) -> bool:
            return bool(kin.get((one, a), nothing) & kin.get((two, b), nothing))

        more = [p for p in looking.likely_pairs() if p not in told and not related(*p)][:_MOST_UNWRITTEN]
        looking.read(more)
        for a, b in more:
            match = self._match(looking, (a, b), curve)
            if match is not None and match.proved and match.likeness >= _THE_SAME:
                yield Sounded((one, a), (two, b), "unwritten", match.polarity, match.says)


def _sounded(claim: Claim, match: Match | None) -> Sounded:
    if match is not None and match.proved:
        return Sounded(claim.copy, claim.source, "same", match.polarity, match.says)
    if match is None:
        return Sounded(claim.copy, claim.source, "open")
    denied = match.sounding >= _TELLS_SECONDS and match.quality < _CHANCE and match.agree < _FEW
    return Sounded(claim.copy, claim.source, "not" if denied else "open", says=match.says)


def _by_captures(
    shelf: Shelf, song: Song, rows: Sequence[SheetRow], checks: Mapping[CaptureKey, Check]
) -> dict[_Pair, list[Claim]]:
    """Claims between captures, by the two captures that carry the tracks over the song's span."""
    hearing = hearing_of(shelf, song)
    numbers: dict[Track, CaptureKey | None] = {}

    def capture(track: Track) -> CaptureKey | None:
        if track not in numbers:
            check = hearing.check(track[0], track[1], song.span_on(track[0]))
            key = (track[0], int(check.get("pass", 1))) if check is not None else None
            numbers[track] = key if key in checks else None
        return numbers[track]

    out: dict[_Pair, list[Claim]] = {}
    for claim in dict.fromkeys(claims(rows)):
        here, there = capture(claim.copy), capture(claim.source)
        if here is None or there is None:
            continue
        pair = (here, there) if here <= there else (there, here)
        out.setdefault(pair, []).append(claim)
    return out


def _on(claim: Claim, key: CaptureKey) -> int:
    return claim.copy[1] if claim.copy[0] == key[0] else claim.source[1]


def _kin(shelf: Shelf, song: Song) -> Mapping[Track, frozenset[object]]:
    from core.songs.sources.told_by_sheets import recorded

    found = recorded(song.key, rows_of_song(shelf.sheets, song.key), shelf.chosen.equal_parts)
    return {(row.reel, row.track or 0): one.atoms for one in found.carriers for row in one.rows}


def _kept(
    shelf: Shelf, song: str, pair: _Pair
) -> tuple[str, dict[CaptureKey, str], set[tuple[Track, Track]]] | None:
    """The key of what is kept of two captures of a song, the content it was heard in, and which claims."""
    for key, record in shelf.of_kind(KIND).items():
        try:
            of = _content(record)
            if record.get("song") == song and set(of) == set(pair):
                return str(key), of, {(one.copy, one.source) for one in sounded_of(record)}
        except (KeyError, ValueError, TypeError):
            continue
    return None


def _content(record: Record) -> dict[CaptureKey, str]:
    """The captures that a record is of, each with the short names of its files then."""
    one, two = ((str(record[side]["reel"]), int(record[side]["pass"])) for side in ("one", "two"))
    return {one: str(record["of"][0]), two: str(record["of"][1])}


def _to_json(sounded: Sounded, pair: _Pair) -> dict[str, object]:
    turned = sounded.copy[0] != pair[0][0]
    first, second = (sounded.source, sounded.copy) if turned else (sounded.copy, sounded.source)
    return {
        "tracks": [first[1], second[1]], "turned": turned, "heard": sounded.heard,
        "polarity": sounded.polarity, "says": sounded.says,
    }  # fmt: skip


def _says(pair: _Pair, heard: Sequence[Sounded]) -> str:
    count = {word: sum(one.heard == word for one in heard) for word in ("same", "not", "open", "unwritten")}
    claimed = sum(count.values()) - count["unwritten"]
    words = [
        f"{count['same']} of {claimed} claims of the sheets sound so" if claimed else "",
        f"{count['not']} do not" if count["not"] else "",
        f"{count['open']} cannot be told" if count["open"] else "",
        f"{count['unwritten']} more sound the same" if count["unwritten"] else "",
    ]
    both = " and ".join(capture_name(key) for key in pair)
    if not any(words):
        return ""
    return f"{both}: {', '.join(word for word in words if word)}" + (
        "; parts tells which" if count["not"] or count["unwritten"] else ""
    )


def heard_claims(shelf: Shelf, song: str, checks: Mapping[CaptureKey, Check]) -> tuple[Sounded, ...]:
    """What is kept of a song's claims, of captures that are still what they were."""
    out: list[Sounded] = []
    for record in shelf.of_kind(KIND).values():
        try:
            fits = all(key in checks and files_sum(checks[key]) == of for key, of in _content(record).items())
            if record.get("song") == song and fits:
                out += sounded_of(record)
        except (KeyError, ValueError, TypeError):
            continue
    return tuple(out)
