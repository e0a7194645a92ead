"""The evidence for a pairing of paper and tape in sentences, the weightiest first."""

from __future__ import annotations

from collections.abc import Sequence

from core.clock import clock_text
from core.sheets.evidence import fold
from core.sheets.papers import Paper
from core.sheets.stretch import Stretch


def because(paper: Paper, place: Stretch, told: dict[str, float]) -> tuple[str, ...]:
    """What speaks for and against a pair, the weightiest first; only what is known is told."""
    words = {
        "tracks": _tracks_words(paper, place), "length": _length_words(paper, place),
        "song": _song_words(told["song"], paper, place), "title": _title_words(told["title"], paper, place),
        "date": _date_words(told["date"], paper), "players": _player_words(told["players"], paper, place),
        "box": _box_words(paper, place), "grid": _grid_words(told["grid"], paper, place),
        "sound": f"sounds like {place.take_of}" if told["sound"] > 0 else f"but sounds like {place.take_of}",
    }  # fmt: skip
    listed = [(abs(told[kind]), said) for kind, said in words.items() if said and abs(told[kind]) > 0.05]
    return tuple(said for _, said in sorted(listed, key=lambda one: -one[0]))


def _tracks_words(paper: Paper, place: Stretch) -> str:
    if not place.heard or not paper.tracks:
        return ""
    held, more = paper.tracks & place.sounding, place.sounding - paper.tracks
    other = f", {len(more)} other{'s' if len(more) != 1 else ''} too" if more else ", and no other"
    return f"{len(held)} of {len(paper.tracks)} written tracks sound{other}"


def _length_words(paper: Paper, place: Stretch) -> str:
    if not paper.lengths or place.seconds is None:
        return ""
    seconds = place.seconds
    near = min(paper.lengths, key=lambda length: abs(length - seconds))
    there = clock_text(round(seconds))
    return f"{there} there, {clock_text(round(near))} told"


def _song_words(told: float, paper: Paper, place: Stretch) -> str:
    song = next((one for one in paper.songs if one in place.songs), "")
    if told > 0:
        return f"{song} has its span there" if place.spanned else f"{song} needs {place.reel}"
    return f"{paper.songs[0]} needs other reels" if paper.songs else ""


def _title_words(told: float, paper: Paper, place: Stretch) -> str:
    if not told:
        return ""
    if told < 0:
        return f"but {_said_there(place, place.words[:2])}"
    from rapidfuzz.fuzz import ratio

    def like(text: str) -> float:
        return max(float(ratio(fold(text), fold(one))) for one in paper.titles)

    return _said_there(place, [max(place.words, key=like)])


def _said_there(place: Stretch, words: Sequence[str]) -> str:
    """Who says so: the box, or a song that needs the tape."""
    box = [text for text in words if text in place.texts]
    needed = [text for text in words if text not in place.texts]
    said = [f"the box says {', '.join(box)}"] if box else []
    return " and ".join([*said, *(f"{title} needs {place.reel}" for title in needed)])


def _date_words(told: float, paper: Paper) -> str:
    return f"{paper.date} {'fits' if told > 0 else 'does not fit'} the tape's dates"


def _player_words(told: float, paper: Paper, place: Stretch) -> str:
    if told < 0:
        return "none of its players is on the tape's other sheets"
    shared = sorted({row.player for row in paper.rows if row.player.casefold().strip() in place.players})
    return f"{', '.join(shared[:2])} on the tape's other sheets too" if shared else ""


def _box_words(paper: Paper, place: Stretch) -> str:
    if paper.found_in == place.reel:
        return "found in that box"
    return f"but found in the box of {paper.found_in}"


def _grid_words(told: float, paper: Paper, place: Stretch) -> str:
    what = "" if told > 0 else "only "
    return f"written {what}up to track {paper.highest}, the tape has {place.tracks}"
