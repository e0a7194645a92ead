"""How well every sheet fits every place: a log-likelihood for each kind of evidence, and the same in words.

Each kind is a matrix, sheets down and places across, 0 where something is not known.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np

from core.sheets.papers import Paper
from core.sheets.stretch import Stretch
from core.sheets.weights import USUAL, Weights
from core.songs.written.copies import copied_tracks
from core.songs.written.edtf import Dated

Matrix = np.ndarray
IMPOSSIBLE = -1e6
_SAME, _LIKE = 0.88, 0.72  # ratio of edit distance from which titles are the same, or alike
_MEAN_SONG = 220.0
_SEVERAL = 4  # parts from which a sheet is filled from the left; a few may stand anywhere


def evidence(
    papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights = USUAL
) -> dict[str, Matrix]:
    """The matrices by kind; their sum is how well each pair fits, in nats."""
    kinds: dict[str, Callable[..., Matrix]] = {
        "tracks": _tracks, "length": _lengths, "song": _songs, "title": _titles, "date": _dates,
        "players": _players, "grid": _grids, "box": _boxes, "sound": _sounds,
    }  # fmt: skip
    found = {name: kind(papers, places, weights) for name, kind in kinds.items()}
    found["title"] = np.where(found["song"] > 0, 0.0, found["title"])  # one thing is not told twice
    highest = np.array([paper.highest for paper in papers])[:, None]
    there = np.array([place.tracks or 10_000 for place in places])[None, :]
    found["beyond"] = np.where(highest > there, IMPOSSIBLE, 0.0)
    reels = [place.reel for place in places]
    itself = [[reel in _copies_of_own(paper) for reel in reels] for paper in papers]
    found["itself"] = np.where(itself, IMPOSSIBLE, 0.0)
    return found


def _copies_of_own(paper: Paper) -> frozenset[str]:
    """Reels on which a row of the sheet would be a copy of itself."""
    return frozenset(
        reel for row in paper.rows for reel, track in copied_tracks(row.copied_from) if track == row.track
    )


def _tracks(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """Tracks that sound against tracks written on; a wrong sheet knows only how many sound."""
    most = max([*(p.highest for p in papers), *(max(s.heard, default=0) for s in places), 1])
    written = _incidence([paper.tracks for paper in papers], most)
    sounding = _incidence([place.sounding for place in places], most)
    heard = _incidence([place.heard for place in places], most)
    silent = heard - sounding
    share = (sounding.sum(1) + 1) / (heard.sum(1) + 2)
    hit, stray = weights.written_sounds, weights.unwritten_sounds
    told = (written.sum(1) > 0)[:, None]
    out = written @ (sounding * np.log(hit / share)[:, None]).T
    out += written @ (silent * np.log((1 - hit) / (1 - share))[:, None]).T
    out += (1 - written) @ (sounding * np.log(stray / share)[:, None]).T
    out += (1 - written) @ (silent * np.log((1 - stray) / (1 - share))[:, None]).T
    return np.where(told, out, 0.0)


def _incidence(sets: Sequence[frozenset[int]], most: int) -> Matrix:
    out = np.zeros((len(sets), most))
    for number, one in enumerate(sets):
        out[number, [track - 1 for track in one if 0 < track <= most]] = 1.0
    return out


def _lengths(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """The written length that fits best against the stretch's."""
    out = np.zeros((len(papers), len(places)))
    known = np.array([place.seconds if place.seconds is not None else np.nan for place in places])
    wrong = _normal(known - _MEAN_SONG, weights.song_length)
    for number, paper in enumerate(papers):
        for length in paper.lengths:
            near = _normal(known - length, weights.length_spread + 0.02 * length)
            right = (1 - weights.length_wild) * near + weights.length_wild * wrong
            told = np.log(right / wrong)
            out[number] = np.where(
                np.isnan(told), 0.0, np.maximum(out[number], told) if out[number].any() else told
            )
    return out


def _normal(apart: Matrix, spread: float) -> Matrix:
    density: Matrix = np.exp(-0.5 * (apart / spread) ** 2) / (spread * np.sqrt(2 * np.pi)) + 1e-6
    return density


def _songs(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """The song that the sheet names is the one whose span or tape this is, or has other tapes."""
    needed = {song for place in places for song in place.songs}
    out = np.zeros((len(papers), len(places)))
    for number, paper in enumerate(papers):
        mine = set(paper.songs)
        if mine & needed:
            fits = [bool(mine & set(place.songs)) for place in places]
            out[number] = np.where(fits, weights.same_song, weights.other_song)
    return out


def _sounds(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """The song that the sheet names is the one that the stretch was heard to sound like, or another."""
    out = np.zeros((len(papers), len(places)))
    heard = [place.take_of for place in places]
    if not any(heard):
        return out
    for number, paper in enumerate(papers):
        if paper.songs:
            out[number] = [
                0.0 if not song else weights.sounds_so if song in paper.songs else weights.sounds_otherwise
                for song in heard
            ]
    return out


def _titles(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """Titles, old ones too, against the words on the box, by edit distance."""
    from rapidfuzz.fuzz import ratio
    from rapidfuzz.process import cdist

    titles = list(dict.fromkeys(fold(title) for paper in papers for title in paper.titles))
    texts = list(dict.fromkeys(fold(text) for place in places for text in place.words))
    out = np.zeros((len(papers), len(places)))
    if not titles or not texts:
        return out
    alike = cdist(titles, texts, scorer=ratio, dtype=np.float32) / 100
    row, column = {t: n for n, t in enumerate(titles)}, {t: n for n, t in enumerate(texts)}
    by_place = [[column[fold(text)] for text in place.words] for place in places]
    said = np.array([bool(columns) for columns in by_place])
    for number, paper in enumerate(papers):
        mine = [row[fold(title)] for title in paper.titles]
        if not mine:
            continue
        most = alike[mine].max(axis=0)
        best = np.array([most[columns].max() if columns else 0.0 for columns in by_place])
        told = np.where(best >= _SAME, weights.same_title,
                        np.where(best >= _LIKE, weights.like_title, weights.other_title))  # fmt: skip
        out[number] = np.where(said, told, 0.0)
    return out


@lru_cache(maxsize=20_000)
def fold(text: str) -> str:
    """The letters and figures of a text, as they are compared."""
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


def _dates(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """The sheet's date against those of the tape, by the readings that lie nearest."""
    sheet_dates = list(dict.fromkeys(paper.dates for paper in papers))
    tape_dates = list(dict.fromkeys(place.dates for place in places))
    days = np.array([[_days(one, other) for other in tape_dates] for one in sheet_dates])
    told = np.select(
        [np.isnan(days), days == 0, days <= 31, days <= 366, days <= 3 * 366],
        [0.0, weights.same_date, weights.near_date, 0.0, weights.far_date], weights.wrong_date,
    )  # fmt: skip
    rows = [sheet_dates.index(paper.dates) for paper in papers]
    columns = [tape_dates.index(place.dates) for place in places]
    return told[np.ix_(rows, columns)] if papers and places else np.zeros((len(papers), len(places)))


def _days(one: tuple[Dated, ...], other: tuple[Dated, ...]) -> float:
    return float(min((a.days_apart(b) for a in one for b in other), default=float("nan")))


def _players(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """Players on the sheet that the tape's other sheets have too."""
    names = list({name for paper in papers for name in paper.players})
    number = {name: n + 1 for n, name in enumerate(names)}
    mine = _incidence([frozenset(number[n] for n in paper.players) for paper in papers], len(names))
    theirs = _incidence(
        [frozenset(number[n] for n in place.players if n in number) for place in places], len(names)
    )
    shared = np.minimum(mine @ theirs.T, 2)
    both = np.outer([bool(p.players) for p in papers], [bool(s.players) for s in places])
    return np.where(both, np.where(shared > 0, shared * weights.shared_player, weights.no_player), 0.0)


def _grids(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """A sheet of a wide tape is written on beyond its half; what sounds tells more where that is known."""
    highest = np.array([paper.highest for paper in papers], float)[:, None]
    tracks = np.array([place.tracks or 0 for place in places], float)[None, :]
    quiet = np.array([not place.heard for place in places])[None, :]
    several = np.array([len(paper.tracks) >= _SEVERAL for paper in papers])[:, None]
    known = several & (tracks > 2) & quiet
    return np.where(known, np.where(highest > tracks / 2, weights.wide, weights.narrow), 0.0)


def _boxes(papers: Sequence[Paper], places: Sequence[Stretch], weights: Weights) -> Matrix:
    """The box that the sheet lay in."""
    boxes = [paper.found_in for paper in papers]
    out = np.zeros((len(papers), len(places)))
    reels = np.array([place.reel for place in places])
    for number, box in enumerate(boxes):
        if box:
            out[number] = np.where(reels == box, weights.in_box, weights.other_box)
    return out


# The same in words. ---------------------------------------------------------------------------------------
