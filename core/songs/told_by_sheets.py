"""What the sheets tell of a song's recordings: first ones, copies, what was recorded over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from graphlib import TopologicalSorter

from core.errors import Refused
from core.songs.copies import Track, Tracks, of_unknown_source, ring_words, rings
from core.songs.part_names import NO_EQUALS, Equals, folded_take, is_timecode, sided, without_side
from core.songs.recordings import Atom, Carrier, Playing, Recorded, Recording
from core.songs.song import SheetRow


def recorded(
    song: str, rows: Iterable[SheetRow], equals: Equals = NO_EQUALS, clocks: Iterable[Track] = ()
) -> Recorded:
    """What the sheets tell of a song; ``clocks`` are tracks that carry code and no part.

    Refused for copies in a ring, naming the rows.
    """
    every = [row for row in rows if row.song in (song, "")]
    found = rings([row for row in every if row.reel], most=1)
    if found:
        raise Refused(ring_words(found[0]))
    return _Reading(song, every, equals, clocks).run()


class _Reading:
    """Reads the rows sources first, so that every track is looked at once."""

    def __init__(self, song: str, rows: Sequence[SheetRow], equals: Equals, clocks: Iterable[Track]) -> None:
        self.tracks, self.equals = Tracks(rows), equals
        named = ((row.reel, row.track) for row in rows if row.track is not None and is_timecode(row.part))
        self.clocks = frozenset((*clocks, *named))
        self.rows = [row for row in rows if row.song == song and not is_timecode(row.part)]
        self.names: dict[Recording, str] = {}
        self.takes: dict[Recording, str] = {}
        self.atoms: dict[Atom, int] = {}
        self.held: dict[int, tuple[frozenset[Atom], int]] = {}
        self.playings: dict[int, frozenset[Playing]] = {}
        self.unwritten: dict[tuple[str, int], Carrier] = {}
        self.nameless: list[SheetRow] = []
        self.alike: dict[tuple[str, str, Recording], list[SheetRow]] = {}
        self.owned: dict[int, tuple[Recording, str]] = {}

    def run(self) -> Recorded:
        """All of it."""
        firsts = [row for row in self.rows if not row.copied_from]
        for row in firsts:
            recording, _ = self._own(row)
            self.alike.setdefault((row.reel, row.sheet if not row.reel else "", recording), []).append(row)
        for row in firsts:
            self.held[id(row)] = (frozenset([self._atom(row)]), 0)
            self.playings[id(row)] = frozenset([(self._own(row)[0], _place(row))])
        self._told_otherwise(firsts)
        for row in self._copies_in_order():
            self._copy(row)
        doubtful = self._in_doubt()
        alone = [
            Carrier(
                (row,), *self.held[id(row)], playings=self.playings[id(row)], in_doubt=id(row) in doubtful
            )
            for row in self.rows
        ]
        return Recorded(
            self.names, self.takes, self._as_on_the_sheets(),
            (*_paired(alone, self.equals), *self.unwritten.values()), tuple(self.nameless),
        )  # fmt: skip

    def _as_on_the_sheets(self) -> dict[Atom, int]:
        """The atoms in the order of the first row that carries their recording, alone where one does."""
        first: dict[Recording, tuple[int, int]] = {}
        for number, row in enumerate(self.rows):
            held = {atom.recording for atom in self.held[id(row)][0]}
            for recording in held:
                here = (number, len(held))
                there = first.setdefault(recording, here)
                if there[1] > 1 and len(held) == 1:
                    first[recording] = here
        last = (len(self.rows), 0)
        order = sorted(self.atoms, key=lambda atom: (first.get(atom.recording, last)[0], self.atoms[atom]))
        return {atom: number for number, atom in enumerate(order)}

    def _in_doubt(self) -> set[int]:
        """Rows of a track of which two sheets tell different things, by id.

        Each counts as holding all that any of them tells: whichever is right, nothing sounds twice.
        """
        doubtful: set[int] = set()
        by_track: dict[Track, list[SheetRow]] = {}
        for row in self.rows:
            if row.reel and row.track is not None and not row.recorded_over:
                by_track.setdefault((row.reel, row.track), []).append(row)
        for told in by_track.values():
            if len(told) > 1 and len({self.held[id(row)][0] for row in told}) > 1:
                copied = max(self.held[id(row)][1] for row in told)
                every = self._all_atoms(told)
                played = frozenset().union(*(self.playings[id(row)] for row in told))
                for row in told:
                    self.held[id(row)], self.playings[id(row)] = (every, copied), played
                doubtful |= {id(row) for row in told}
        return doubtful

    def _copies_in_order(self) -> list[SheetRow]:
        copies = {id(row): row for row in self.rows if row.copied_from}
        graph = {
            number: {id(one) for found in self.tracks.sources(row).values() for one in found} - {number}
            for number, row in copies.items()
        }
        return [copies[number] for number in TopologicalSorter(graph).static_order() if number in copies]

    def _own(self, row: SheetRow) -> tuple[Recording, str]:
        """What the row's own words call it, and which side; read once."""
        if id(row) not in self.owned:
            self.owned[id(row)] = self._read(row)
        return self.owned[id(row)]

    def _read(self, row: SheetRow) -> tuple[Recording, str]:
        name = " ".join(row.part.split())
        if not name:
            name = f"(not named: {row.label})"
            if row not in self.nameless:
                self.nameless.append(row)
        part, side = sided(name, self.equals)
        return Recording(part, folded_take(row.take)), side

    def _atom(self, row: SheetRow) -> Atom:
        recording, side = self._own(row)
        if not side:
            mine = self.alike.get((row.reel, row.sheet if not row.reel else "", recording), [row])
            tracks = list(dict.fromkeys((one.reel, one.track) for one in mine if not self._own(one)[1]))
            here = (row.reel, row.track)
            side = str(tracks.index(here) + 1) if here in tracks else "1"
        return self._named(Atom(recording, side), row)

    def _told_otherwise(self, firsts: Sequence[SheetRow]) -> None:
        """Where reels tell one recording by other sides, the fullest counts; the others hold all of it.

        Left on one tape and right on another are the two sides of one.
        """
        by_recording: dict[Recording, dict[str, list[SheetRow]]] = {}
        for row in firsts:
            (atom,) = self.held[id(row)][0]
            by_recording.setdefault(atom.recording, {}).setdefault(_place(row), []).append(row)
        for places in by_recording.values():
            if len(places) > 1:
                self._as_the_fullest(places)

    def _as_the_fullest(self, places: dict[str, list[SheetRow]]) -> None:
        sides = {place: self._all_atoms(rows) for place, rows in places.items()}
        whole = sides[max(sides, key=lambda place: (not place.startswith("@"), len(sides[place])))]
        if _by_name(whole):
            whole = whole.union(*(mine for mine in sides.values() if _by_name(mine)))
        for place, rows in places.items():
            if not sides[place] <= whole:
                for atom in sides[place] - whole:
                    self.atoms.pop(atom, None)
                for row in rows:
                    self.held[id(row)] = (whole, 0)

    def _all_atoms(self, rows: Sequence[SheetRow]) -> frozenset[Atom]:
        return frozenset().union(*(self.held[id(row)][0] for row in rows))

    def _named(self, atom: Atom, row: SheetRow) -> Atom:
        name = " ".join(row.part.split()) or f"(not named: {row.label})"
        before = self.names.setdefault(atom.recording, name)
        if before != name and without_side(before) != before:
            self.names[atom.recording] = without_side(before)
        self.takes.setdefault(atom.recording, row.take.strip())
        self.atoms.setdefault(atom, len(self.atoms))
        return atom

    def _copy(self, row: SheetRow) -> None:
        atoms: set[Atom] = set()
        played: set[Playing] = set()
        generation = 1
        sources = self.tracks.sources(row)
        for track, found in sources.items():
            written = [one for one in found if id(one) in self.held]
            for one in written:
                held, copied = self.held[id(one)]
                atoms |= held
                played |= self.playings[id(one)]
                generation = max(generation, copied + 1)
            if not written and track not in self.clocks:
                alone = len(sources) == 1 and not of_unknown_source(row.copied_from)
                first = self._unwritten(track, row, alone=alone)
                atoms |= first.atoms
                played |= first.playings
        if of_unknown_source(row.copied_from) or not atoms:
            atoms.add(self._atom(row))
        self.held[id(row)], self.playings[id(row)] = (frozenset(atoms), generation), frozenset(played)

    def _unwritten(self, track: tuple[str, int], row: SheetRow, *, alone: bool) -> Carrier:
        """A track that only its copies tell of; named by the copy where that has this one source alone."""
        known = self.unwritten.get(track)
        if known is None:
            named = row.part if alone and row.part.strip() else f"(on no sheet: {track[0]}:{track[1]})"
            untitled = self.tracks.at(track, row.song)
            named = next((one.part for one in untitled if one.part.strip()), named)
            first = SheetRow("", track[1], track[0], row.song, "", named, row.player if alone else "",
                             row.take if alone else "")  # fmt: skip
            atom = self._atom(first)
            played = frozenset([(atom.recording, track[0])])
            known = Carrier((first,), frozenset([atom]), 0, written=False, playings=played)
            self.unwritten[track] = known
        return known


def _by_name(atoms: frozenset[Atom]) -> bool:
    """True where the sides are called left and right, and not only counted."""
    return all(atom.side in ("left", "right") for atom in atoms)


def _place(row: SheetRow) -> str:
    """The tape that a first recording is on; of a loose sheet the sheet."""
    return row.reel or f"@{row.sheet}"


def _paired(alone: Sequence[Carrier], equals: Equals) -> list[Carrier]:
    """Carriers with the two tracks of a stereo bounce put together.

    Copies on one reel that hold the same are the two sides of one where their names say left and right, or
    where they are called alike and hold more than one track could.
    """
    groups: dict[tuple[object, ...], list[Carrier]] = {}
    for number, one in enumerate(alone):
        row = one.rows[0]
        base, side = sided(row.part, equals)
        copied = row.reel and ((one.generation and side) or len(one.atoms) > 1)
        key: tuple[object, ...] = (
            (row.reel, row.sheet, base, folded_take(row.take), one.atoms) if copied else (number,)
        )
        groups.setdefault(key, []).append(one)
    out = []
    for group in groups.values():
        tracks = {one.tracks for one in group}
        if len(group) == 1 or len(tracks) != len(group):
            out += group
        else:
            rows = tuple(sorted((one.rows[0] for one in group), key=lambda row: row.track or 0))
            generation = max(one.generation for one in group)
            doubt = any(one.in_doubt for one in group)
            out.append(replace(group[0], rows=rows, generation=generation, in_doubt=doubt))
    return out
