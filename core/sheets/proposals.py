"""Which loose sheet belongs to which stretch: proposals for all at once, each with its evidence in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from core.as_json import Record
from core.clock import clock_text
from core.sheets.papers import Paper, by_sheet, lengths_in
from core.sheets.places import PLACES, Tape, tapes
from core.sheets.stretch import Stretch
from core.sheets.weights import USUAL, Weights
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.values import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_OTHERS = 3
_CERTAIN = 100.0
"""Nats that are told at most, where nothing else can be."""
_NEAR = 4.0  # nats behind the choice within which another place is worth a look


@dataclass(frozen=True, slots=True)
class Proposal:
    """One loose sheet: the place it most likely belongs to, how sure that is, and what speaks for it."""

    paper: Paper
    choice: Stretch | None
    sure: str
    """sure, likely or open."""
    margin: float
    """How much worse, in nats, the best whole answer is without this choice."""
    because: tuple[str, ...]
    others: tuple[tuple[Stretch, tuple[str, ...]], ...] = ()
    """Other places worth a look, best first, each with its evidence."""

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {
            "sheet": self.paper.key, "choice": self.choice.to_json() if self.choice else None,
            "sure": self.sure, "margin": round(self.margin, 3), "because": list(self.because),
            "found_in": self.paper.found_in, "date": self.paper.date,
            "read_as": [one.edtf for one in self.paper.dates],
            "others": [{**place.to_json(), "because": list(why)} for place, why in self.others],
        }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Placed:
    """A sheet that the owner put on a tape: with the span, if any, and why."""

    sheet: str
    reel: str
    start: float | None
    end: float | None
    because: str = ""

    @classmethod
    def of(cls, sheet: str, kept: Record) -> Placed:
        """From what the shelf keeps of the decision."""
        start, end = kept.get("from"), kept.get("to")
        if start is None or end is None:
            return cls(sheet, str(kept["reel"]), None, None, str(kept.get("because") or ""))
        return cls(sheet, str(kept["reel"]), float(start), float(end), str(kept.get("because") or ""))

    @property
    def words(self) -> str:
        """``belongs to R-106 from 0:40 to 5:10``."""
        if self.start is None or self.end is None:
            return f"belongs to {self.reel}"
        return f"belongs to {self.reel} from {clock_text(self.start)} to {clock_text(self.end)}"

    def to_json(self) -> dict[str, object]:
        """As other programs read it."""
        return {"sheet": self.sheet, "reel": self.reel, "from": self.start, "to": self.end,
                "because": self.because}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Papers:
    """All loose sheets with their proposals; every bare stretch; sheets that are of no tape there is."""

    proposals: tuple[Proposal, ...]
    bare: tuple[Stretch, ...]
    of_no_tape: tuple[Paper, ...] = ()
    elsewhere: tuple[tuple[Paper, str], ...] = ()
    """Sheets of a reel that is not on the shelf, with that reel."""
    lost: tuple[str, ...] = ()
    placed: tuple[Placed, ...] = ()
    """Sheets that the owner put on a tape."""
    unspanned: tuple[Stretch, ...] = ()
    """Stretches of tapes with sheets that no song's span tells of."""

    @property
    def contradictions(self) -> tuple[str, ...]:
        """A line for each loose sheet that tells two things of one."""
        papers = (*(one.paper for one in self.proposals), *self.of_no_tape)
        return tuple(paper.contradicts for paper in papers if paper.contradicts)

    def sheet_for(self, place: Stretch) -> str | None:
        """The sheet that is proposed for a stretch."""
        return next((one.paper.key for one in self.proposals if one.choice is place), None)

    def to_json(self) -> dict[str, object]:
        """The document that other programs read."""
        return {
            "sheets": [one.to_json() for one in self.proposals],
            "stretches": [
                {**place.to_json(), "sheet": self.sheet_for(place), "sounds_like": place.take_of or None}
                for place in self.bare
                if place.heard
            ],
            "of_no_tape": [paper.key for paper in self.of_no_tape],
            "unspanned": [
                {**place.to_json(), "sounds_like": place.take_of or None} for place in self.unspanned
            ],
            "decided": [one.to_json() for one in self.placed],
        }


def papers_of(shelf: Shelf, titles: Mapping[str, tuple[str, ...]]) -> Papers:
    """Every loose sheet held against every bare stretch; ``titles`` are the old ones of songs."""
    found = tapes(shelf)
    loose = {key: rows for key, rows in by_sheet(row for row in shelf.sheets if not row.reel).items()}
    none = {key for key, kept in shelf.of_kind(PLACES).items() if kept.get("none")}
    sheets = [_paper(shelf, key, rows, titles) for key, rows in loose.items()]
    asked = [paper for paper in sheets if paper.key not in none]
    bare = tuple(place for tape in found for place in tape.bare)
    lost = tuple(tape.lost for tape in found if tape.lost)
    gone = tuple(paper for paper in sheets if paper.key in none)
    away = by_sheet(row for row in shelf.sheets if row.reel and row.reel not in shelf.reels)
    elsewhere = tuple((_paper(shelf, key, rows, titles), rows[0].reel) for key, rows in away.items())
    kept = shelf.of_kind(PLACES)
    placed = tuple(Placed.of(key, one) for key, one in kept.items() if one.get("reel"))
    return Papers(proposed(asked, bare), bare, gone, elsewhere, lost, placed,
                  tuple(place for tape in found for place in tape.unspanned))  # fmt: skip


def _paper(shelf: Shelf, key: str, rows: Iterable[SheetRow], old: Mapping[str, tuple[str, ...]]) -> Paper:
    mine = tuple(rows)
    songs = tuple(dict.fromkeys(row.song for row in mine if row.song))
    titles: dict[str, None] = {}
    lengths = list(lengths_in([*(row.notes for row in mine), *(t for row in mine for _, t in row.extra)]))
    for one in songs:
        song = shelf.songs.get(one)
        titles |= dict.fromkeys((song.title or one, *old.get(one, ())) if song is not None else (one,))
        if song is not None and song.target_length is not None:
            lengths.append(float(song.target_length))
    return Paper(key, mine, songs, tuple(titles), tuple(dict.fromkeys(lengths)))


def proposed(
    papers: list[Paper], places: tuple[Stretch, ...], weights: Weights = USUAL
) -> tuple[Proposal, ...]:
    """The best whole answer for these sheets and places."""
    if not papers:
        return ()
    import numpy as np

    from core.sheets.because import because
    from core.sheets.evidence import IMPOSSIBLE, evidence
    from core.sheets.matching import matched, sureness

    if not places:
        return tuple(Proposal(p, None, "sure", _CERTAIN, ("every tape has its sheets",)) for p in papers)
    kinds = evidence(papers, places, weights)
    scores = np.sum(list(kinds.values()), axis=0)
    none = float(np.log(weights.none / (1 - weights.none) * len(places)))
    answer = matched(scores, none)

    def why(sheet: int, place: int) -> tuple[str, ...]:
        told = {name: float(matrix[sheet, place]) for name, matrix in kinds.items()}
        return because(papers[sheet], places[place], told)

    out = []
    for number, (chosen, margin) in enumerate(zip(answer.places, answer.margins, strict=True)):
        mine = scores[number]
        least = (mine[chosen] if chosen is not None else none) - _NEAR
        order = [int(n) for n in np.argsort(-mine)[: _OTHERS + 1] if n != chosen and mine[n] > IMPOSSIBLE / 2]
        near = [n for n in order if mine[n] >= least or mine[n] > none][:_OTHERS]
        told = (
            why(number, chosen) if chosen is not None else (_none_of(papers[number], mine, IMPOSSIBLE / 2),)
        )
        out.append(Proposal(
            papers[number], places[chosen] if chosen is not None else None,
            sureness(margin), min(margin, _CERTAIN), told,
            tuple((places[n], why(number, n)) for n in near),
        ))  # fmt: skip
    return tuple(out)


def _none_of(paper: Paper, scores: NDArray[np.float64], impossible: float) -> str:
    if float(max(scores)) < impossible:
        return f"it has a track {paper.highest}, and no place without a sheet is on a tape of so many tracks"
    return "nothing speaks for a tape strongly enough"


def tape_of(shelf: Shelf, reel: str) -> Tape | None:
    """One tape with its stretches; None if it is no tape to transfer."""
    return next((tape for tape in tapes(shelf) if tape.reel.key == reel), None)


def paper_of(shelf: Shelf, sheet: str, titles: Mapping[str, tuple[str, ...]]) -> Paper | None:
    """One sheet with what it says; None where there is no such sheet."""
    rows = [row for row in shelf.sheets if row.sheet == sheet]
    return _paper(shelf, sheet, rows, titles) if rows else None
