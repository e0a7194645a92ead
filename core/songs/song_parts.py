"""The parts of a song, told: for every recording its tracks, how they stand, where they lie, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from core.album.place import NOWHERE, Place
from core.songs.parts import NotUsed, Part, PartState, SongParts, Source, track_labels
from core.songs.parts_open import open_points
from core.songs.sources.goes_on import goes_on, goes_on_words
from core.songs.sources.recordings import Atom, Carrier, Recording
from core.songs.sources.weighed import Facts, Weighed
from core.songs.sources.what_to_use import Choice, lost_by, what_to_use
from core.songs.sources.why_used import compared_words, found_words, made_words, on_paper_words
from core.words import listed, often


def song_parts(facts: Facts) -> SongParts:
    """What to use for every recording of the song; Refused for copies in a ring."""
    choice = what_to_use(facts)
    told = _Telling(facts, choice)
    recordings = dict.fromkeys(atom.recording for atom in choice.recorded.atoms)
    parts = tuple(told.part(recording) for recording in recordings)
    return SongParts(
        facts.song.key, facts.song.title, facts.clock.zero, parts, tuple(told.not_used()),
        facts.clock.loops, tuple(dict.fromkeys([*open_points(facts, choice, parts), *facts.clock.open])),
    )  # fmt: skip


class _Telling:
    def __init__(self, facts: Facts, choice: Choice) -> None:
        self.facts, self.choice = facts, choice
        self.atoms: dict[Recording, list[Atom]] = {}
        for atom in choice.recorded.atoms:
            self.atoms.setdefault(atom.recording, []).append(atom)
        self._lost: dict[int, list[Recording]] = {}
        self._told: dict[int, tuple[Source, ...]] = {}
        self._going_on: set[tuple[str, int | None]] = set()

    def part(self, recording: Recording) -> Part:
        """One recording."""
        numbers = self.choice.holding[recording]
        used = [n for n in numbers if n in self.choice.used]
        weighed = [self.choice.weighed[n] for n in used]
        mine = {track for one in weighed for track in _tracks(one)}
        others = [
            n for n in numbers if n not in self.choice.used
            and not (mine and _tracks(self.choice.weighed[n]) <= mine)  # a second sheet of the same tracks
        ]  # fmt: skip
        sources = self._in_order(recording, weighed)
        on = self._on(sources, [self.choice.weighed[n] for n in others])
        on_says = goes_on_words(self.facts.clock, sources, on)
        going = {n for n in others if on and set(self._sources(self.choice.weighed[n])) <= set(on)}
        rest = [self.choice.weighed[n] for n in others if n not in going]
        rows = [row for one in weighed for row in one.carrier.rows]
        lost = self._lost_sides(recording, weighed, rest) if used else ""
        state = self._state(weighed, rest, chosen=any(n in self.choice.owners for n in used))
        return Part(
            name=self.choice.recorded.names[recording],
            take=self.choice.recorded.takes[recording],
            use=sources,
            copied=max((one.carrier.generation for one in weighed), default=None),
            at_least=any("?" in row.copied_from for row in rows),
            state="open" if lost and state == "to hand" else state,
            lost=lost,
            place=self._place(weighed),
            why="; ".join(
                word
                for word in (
                    self._why(recording, used, [n for n in numbers if n not in self.choice.used | going]),
                    on_says,
                    lost,
                )
                if word
            ),
            others=tuple(source for n in others for source in self._sources(self.choice.weighed[n])),
            goes_on=on,
            goes_on_says=on_says,
            beside=self._beside(rest),
            chosen=any(n in self.choice.owners for n in used),
        )

    def _on(self, sources: tuple[Source, ...], rest: list[Weighed]) -> tuple[Source, ...]:
        """The tracks on which it goes on where those in use end."""
        could = [source for one in rest if not one.never and not one.is_mix for source in self._sources(one)]
        on = goes_on(self.facts.clock, sources, could)
        self._going_on |= {(one.reel, one.track) for one in on}
        return on

    def _lost_sides(self, recording: Recording, used: list[Weighed], rest: list[Weighed]) -> str:
        """The sides that nothing in use holds: ``left: A:6 recorded over``."""
        held = frozenset().union(*(one.carrier.atoms for one in used))
        lost = [atom for atom in self.atoms[recording] if atom not in held]
        words = []
        for atom in lost:
            gone = [on_paper_words(one) if one.never else f"{one.carrier.label} would sound twice"
                    for one in rest if atom in one.carrier.atoms]  # fmt: skip
            side = atom.side if atom.side in ("left", "right") else f"track {atom.side} of it"
            words.append(f"{side} is lost ({', '.join(dict.fromkeys(gone)) or 'no track has it'})")
        return "; ".join(words)

    def _in_order(self, recording: Recording, weighed: list[Weighed]) -> tuple[Source, ...]:
        """The tracks to use: left before right, else as on the tape."""

        def side(one: Weighed) -> str:
            return min(atom.side for atom in one.carrier.atoms if atom.recording == recording)

        ordered = sorted(weighed, key=side) if len(weighed) > 1 else weighed
        return tuple(source for one in ordered for source in self._sources(one))

    def _sources(self, one: Weighed) -> tuple[Source, ...]:
        """The tracks of a carrier; a bounce is among the sources of many parts and told once."""
        if id(one) not in self._told:
            stage = one.stage or ("not on the shelf" if one.carrier.reel else "loose sheet")
            self._told[id(one)] = tuple(
                Source(
                    row.reel, row.track, heard.pass_number, one.carrier.generation, stage, heard.verdict,
                    heard.files, row.sheet, row.take, row.player, row.copied_from, row.part,
                )
                for row, heard in zip(one.carrier.rows, one.heard, strict=True)
            )  # fmt: skip
        return self._told[id(one)]

    def _state(self, used: list[Weighed], rest: list[Weighed], *, chosen: bool) -> PartState:
        if not used:
            could = [one for one in rest if not one.never]
            if any(one.is_mix for one in could):
                return "only in a mix"
            return "only on paper" if not could else "open" if could[0].captured else "not captured"
        if not chosen and any(one.is_mix for one in used):
            return "only in a mix"
        if any(one.verdict == "fail" for one in used):
            return "open"
        states = {_stands(one) for one in used}
        return "not captured" if "not captured" in states else "open" if "open" in states else "to hand"

    def _place(self, used: list[Weighed]) -> Place:
        for one in used:
            number = one.heard[0].pass_number
            if number is not None:
                place = self.facts.clock.place(one.carrier.reel, number)
                if place != NOWHERE:
                    return place
        return NOWHERE

    # Why -------------------------------------------------------------------------------------------------

    def _why(self, recording: Recording, used: list[int], others: list[int]) -> str:
        rest = [self.choice.weighed[n] for n in others]
        if not used:
            return self._why_nothing(rest)
        weighed = [self.choice.weighed[n] for n in used]
        words = [made_words(weighed)]
        together = len({atom.recording for one in weighed for atom in one.carrier.atoms})
        if together > 1:
            words.append(f"holds {together} recordings in one")
        if any(n in self.choice.owners for n in used):
            words.append(self._chosen_for(recording, weighed))
        words += [one.last for one in weighed if one.last and not one.is_mix]
        words += found_words(weighed, rest)
        words += self._against(recording, weighed, others)
        if len(words) == 1:
            words.append("nothing else carries it")
        return "; ".join(dict.fromkeys(words))

    def _chosen_for(self, recording: Recording, weighed: list[Weighed]) -> str:
        """``your choice``, or for which other part it was made."""
        if recording in self.facts.own:
            return "your choice"
        tracks = {track for one in weighed for track in _tracks(one)}
        names = [self.choice.recorded.names.get(one, one.part)
                 for one, track in self.facts.own.items() if track in tracks]  # fmt: skip
        return f"your choice for {listed(names)}" if names else "your choice"

    def _why_nothing(self, rest: list[Weighed]) -> str:
        could = [one for one in rest if not one.never]
        if could:
            twice, label = self._twice(could[0].carrier), could[0].carrier.label
            if could[0].carrier.in_doubt:
                return f"perhaps on {label}, told in two ways: it could sound twice with {twice}"
            what = "only in the mix" if could[0].is_mix else "only in the bounce"
            return f"{what} {label}, which would sound twice with {twice}"
        return "; ".join(dict.fromkeys(on_paper_words(one) for one in rest)) or "no track carries it"

    def _not_used(self, left: Iterable[tuple[int, Weighed]], copied: int) -> dict[str, list[Carrier]]:
        """By reason the carriers of fewer generations that are not used."""
        reasons: dict[str, list[Carrier]] = {}
        for number, one in left:
            if one.carrier.generation < copied and not one.is_mix:
                twice = f"would sound twice with {self._twice(one.carrier)}"
                why = one.never or one.last or (self._apart(number) or twice)
                reasons.setdefault(why, []).append(one.carrier)
        return reasons

    def _against(self, recording: Recording, weighed: list[Weighed], rest: list[int]) -> Iterator[str]:
        """Why not another: the older ones that cannot be had, then the best of those that can."""
        copied = max(one.carrier.generation for one in weighed)
        left = [(n, self.choice.weighed[n]) for n in rest]
        for why, older in self._not_used(left, copied).items():
            tracks = track_labels(sorted((one.reel, track) for one in older for track in one.tracks))
            many = len({(one.reel, track) for one in older for track in one.tracks}) > 1
            yield f"{tracks} {'are' if many else 'is'} older, but: {why}"
        runner = next(
            (n for n, one in left if not one.never and (one.carrier.generation >= copied or one.is_mix)), None
        )
        if runner is not None:
            yield compared_words(weighed, self.choice.weighed[runner], self._lost_by(recording, runner))

    def _apart(self, number: int) -> str:
        return "another playing than what is used" if number in self.choice.apart else ""

    def _lost_by(self, recording: Recording, number: int) -> list[str]:
        """What could not be had with that carrier in place of what is used; worked out once."""
        recorded, atoms = self.choice.recorded, self.choice.weighed[number].carrier.atoms
        if any(self.choice.weighed[n].carrier.atoms == atoms for n in self.choice.used):
            return []  # it holds just the same
        if number not in self._lost:
            self._lost[number] = lost_by(self.choice, recording, number)
        return [
            ("one track of " if one == recording else "")
            + recorded.names[one]
            + (f" (take {recorded.takes[one]})" if recorded.takes[one] else "")
            for one in self._lost[number]
        ]

    def _twice(self, carrier: Carrier) -> str:
        """The tracks in use that hold something that this one holds too."""
        return track_labels(self._shared(carrier))

    def _shared(self, carrier: Carrier) -> list[tuple[str, int]]:
        mine = [self.choice.weighed[n].carrier for n in sorted(self.choice.used)
                if self.choice.weighed[n].carrier.atoms & carrier.atoms]  # fmt: skip
        return sorted((one.reel, track) for one in mine for track in one.tracks)

    def _beside(self, rest: list[Weighed]) -> str:
        """The runner-up in a word or two, with the other side of its pair: ``R-006:1-2 (bounce)``."""
        could = next((one for one in rest if not one.never), None)
        if could is None:
            return ""
        many = len({atom.recording for atom in could.carrier.atoms})
        if could.is_mix or many > 1:
            return f"{could.carrier.label} ({'mix' if could.is_mix else 'bounce'})"
        copied = could.carrier.generation
        pair = [
            one.carrier for one in rest
            if not one.never and (one.carrier.reel, one.carrier.generation) == (could.carrier.reel, copied)
            and len({atom.recording for atom in one.carrier.atoms}) == 1
        ]  # fmt: skip
        label = track_labels(sorted((one.reel, track) for one in pair for track in one.tracks))
        return f"{label}, copied {often(copied)}" if copied else label

    # What is not used --------------------------------------------------------------------------------------

    def not_used(self) -> Iterator[NotUsed]:
        """Every track of the song that is not used, with why."""
        used = {
            (row.reel, row.track) for n in self.choice.used for row in self.choice.weighed[n].carrier.rows
        }
        for number, one in enumerate(self.choice.weighed):
            if number in self.choice.used or not one.carrier.reel:
                continue
            barred = "" if one.never or one.is_mix else one.last
            why = one.never or self._apart(number) or barred or self._left(one)
            instead = tuple(self._shared(one.carrier)) if why == barred else ()
            for row in one.carrier.rows:
                if (row.reel, row.track) not in used | self._going_on:  # two sheets may tell of one track
                    yield NotUsed(row.reel, row.track, why, instead)

    def _left(self, one: Weighed) -> str:
        twice = self._twice(one.carrier)
        if twice == "-":
            return one.last or "not needed"
        many = len({atom.recording for atom in one.carrier.atoms})
        used = [self.choice.weighed[n].carrier for n in self.choice.used]
        later = all(
            one.carrier.generation > other.generation for other in used if other.atoms & one.carrier.atoms
        )
        if not later:
            return f"in its place: {twice}"
        return f"its sources are used: {twice}" if many > 1 else f"a copy of what is used: {twice}"


def _stands(one: Weighed) -> PartState:
    """How one carrier that did not fail stands by its capture."""
    if one.verdict is not None or one.stage == "verified":
        return "open" if one.carrier.in_doubt else "to hand"
    return "open" if one.stage == "transferred" else "not captured"


def _tracks(one: Weighed) -> frozenset[tuple[str, int]]:
    return frozenset((one.carrier.reel, track) for track in one.carrier.tracks if one.carrier.reel)
