"""What the sheets tell of a song's recordings: first ones, copies, what was recorded over."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from graphlib import TopologicalSorter

from core.errors import Refused
from core.songs.song import SheetRow
from core.songs.sources.pairing import is_mix_of_unknown, paired, tells_no_source
from core.songs.sources.recordings import Atom, Carrier, Playing, Recorded, Recording
from core.songs.written.copies import Track, Tracks, of_unknown_source
from core.songs.written.part_names import NO_EQUALS, Equals, folded_take, is_timecode, sided, without_side
from core.songs.written.rings import ring_words, rings


def recorded(
    song: str, rows: Iterable[SheetRow], equals: Equals = NO_EQUALS, clocks: Iterable[Track] = (),
    mixes: Collection[str] = (), elsewhere: Callable[[Track], bool] = lambda track: False,
) -> Recorded:  # fmt: skip
    """What the sheets tell of a song.

    ``clocks`` are tracks that carry code and no part, ``mixes`` reels of mixes: what these say nothing about
    may hold all of the song. ``elsewhere`` tells of tracks that sheets give to other songs alone. Refused for
    copies in a ring, naming the rows.
    """
    every = [row for row in rows if row.song in (song, "")]
    found = rings([row for row in every if row.reel], most=1)
    if found:
        raise Refused(ring_words(found[0]))
    return _Reading(song, every, equals, clocks, mixes, elsewhere).run()


class _Reading:
    """Reads the rows sources first, so that every track is looked at once."""

    def __init__(
        self, song: str, rows: Sequence[SheetRow], equals: Equals, clocks: Iterable[Track],
        mixes: Collection[str], elsewhere: Callable[[Track], bool],
    ) -> None:  # fmt: skip
        self.tracks, self.equals, self.mixes, self.elsewhere = Tracks(rows), equals, mixes, elsewhere
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
        self.whole: dict[Recording, frozenset[Atom]] = {}
        self.mixed: set[int] = set()
        self.unsure: set[int] = set()

    def run(self) -> Recorded:
        """All of it."""
        self.mixed = {
            id(row) for row in self.rows
            if is_mix_of_unknown(row) and (row.reel in self.mixes or (row.copied_from and row.part.strip()))
        }  # fmt: skip
        named = [row for row in self.rows if tells_no_source(row) and id(row) not in self.mixed]
        for row in named:
            recording, _ = self._own(row)
            self.alike.setdefault((row.reel, row.sheet if not row.reel else "", recording), []).append(row)
        for row in named:
            first = not row.copied_from
            self.held[id(row)] = (frozenset([self._atom(row)]), 0 if first else 1)
            self.playings[id(row)] = frozenset([(self._own(row)[0], _place(row))] if first else ())
        self._told_otherwise(named)
        for row in self._copies_in_order():
            self._copy(row)
        self._hold_all()
        doubtful = self._in_doubt()
        alone = [
            Carrier(
                (row,), *self.held[id(row)], playings=self.playings[id(row)], in_doubt=id(row) in doubtful,
                of_unknown=id(row) in self.mixed,
            )
            for row in self.rows
        ]  # fmt: skip
        return Recorded(
            self.names, self.takes, self._as_on_the_sheets(),
            (*paired(alone, self.equals), *self.unwritten.values()), tuple(self.nameless),
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

    def _hold_all(self) -> None:
        """Mixes of what is not known: each may hold all of the song, and counts so; alone it is a part."""
        rows = [row for row in self.rows if id(row) in self.mixed]
        every = frozenset(self.atoms)
        copied = 1 + max((generation for _, generation in self.held.values()), default=0)
        for row in rows:
            self.held[id(row)] = (every or frozenset([self._atom(row)]), copied)
            self.playings[id(row)] = frozenset()

    def _in_doubt(self) -> set[int]:
        """Rows of a track of which two sheets tell different things, by id.

        Each counts as holding all that any of them tells: whichever is right, nothing sounds twice.
        """
        doubtful: set[int] = set(self.unsure)
        by_track: dict[Track, list[SheetRow]] = {}
        for row in self.rows:
            if row.reel and row.track is not None and id(row) not in self.mixed:
                by_track.setdefault((row.reel, row.track), []).append(row)
        for every in by_track.values():
            told = [row for row in every if not row.recorded_over]
            gone = {self.held[id(row)][0] for row in every if row.recorded_over}
            doubtful |= {id(row) for row in told if self.held[id(row)][0] in gone}
            if len(told) > 1 and len({self.held[id(row)][0] for row in told}) > 1:
                copied = max(self.held[id(row)][1] for row in told)
                atoms = self._all_atoms(told)
                played = frozenset().union(*(self.playings[id(row)] for row in told))
                for row in told:
                    self.held[id(row)], self.playings[id(row)] = (atoms, copied), played
                doubtful |= {id(row) for row in told}
        return doubtful

    def _copies_in_order(self) -> list[SheetRow]:
        copies = {id(row): row for row in self.rows if id(row) not in self.held and id(row) not in self.mixed}
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

    def _told_otherwise(self, named: Sequence[SheetRow]) -> None:
        """Where reels tell one recording by other sides, the fullest counts; the others hold all of it.

        Left on one tape and right on another are the two sides of one.
        """
        by_recording: dict[Recording, dict[str, list[SheetRow]]] = {}
        for row in named:
            (atom,) = self.held[id(row)][0]
            place = _place(row) if not row.copied_from else f"?{_place(row)}"
            by_recording.setdefault(atom.recording, {}).setdefault(place, []).append(row)
        for recording, places in by_recording.items():
            self.whole[recording] = self._as_the_fullest(places)

    def _as_the_fullest(self, places: dict[str, list[SheetRow]]) -> frozenset[Atom]:
        sides = {place: self._all_atoms(rows) for place, rows in places.items()}
        whole = sides[max(sides, key=lambda place: ("@" not in place, len(sides[place])))]
        if _by_name(whole):
            whole = whole.union(*(mine for mine in sides.values() if _by_name(mine)))
        for place, rows in places.items():
            if not sides[place] <= whole:
                for atom in sides[place] - whole:
                    self.atoms.pop(atom, None)
                for row in rows:
                    self.held[id(row)] = (whole, self.held[id(row)][1])
        return whole

    def _folded(self, row: SheetRow) -> frozenset[Atom]:
        """The row's own atom, or the whole recording where that is told by other sides."""
        known = set(self.atoms)
        atom = self._atom(row)
        whole = self.whole.get(atom.recording, frozenset())
        if not whole or atom in whole:
            return frozenset([atom])
        if atom not in known:
            self.atoms.pop(atom, None)
        return whole

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
        if any(id(one) in self.mixed for found in sources.values() for one in found):
            self.mixed.add(id(row))  # a copy of a mix of what is not known
            return
        for track, found in sources.items():
            if len({one.recorded_over for one in found}) > 1:
                self.unsure.add(id(row))  # which of what the track carried one after the other, nobody tells
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
            atoms |= self._folded(row)
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
            atoms = self._folded(first)
            played = frozenset((atom.recording, track[0]) for atom in atoms)
            other = self.elsewhere(track)
            known = Carrier((first,), atoms, 0, written=False, playings=played, elsewhere=other)
            self.unwritten[track] = known
        return known


def _by_name(atoms: frozenset[Atom]) -> bool:
    """True where the sides are called left and right, and not only counted."""
    return all(atom.side in ("left", "right") for atom in atoms)


def _place(row: SheetRow) -> str:
    """The tape that a first recording is on; of a loose sheet the sheet."""
    return row.reel or f"@{row.sheet}"
