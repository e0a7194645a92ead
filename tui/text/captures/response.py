"""A deck's response as found and as left, and what has drifted, as lines of (role, text)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from core.lineup.drift import Drift
from core.lineup.picture import ResponsePicture, worst_track

#: dB at the top and at the bottom of a chart, and from one line of it to the next.
TOP_DB, STEP_DB = 3.0, 0.5
_LABEL = 6


@dataclass(frozen=True, slots=True)
class Marks:
    """The signs of a chart: what passes, the middle, one reading as found, as left, both; beyond the edge."""

    band: str = "░"
    middle: str = "─"
    found: str = "o"
    left: str = "●"
    both: str = "◉"
    over: str = "↑"
    under: str = "↓"


SIGNS = Marks()
#: The same in plain letters, for terminals and readers that lack the signs.
PLAIN = Marks(band=":", middle="-", left="x", both="*", over="^", under="v")


def response_lines(
    picture: ResponsePicture, width: int = 78, *, plain: bool = False
) -> Iterator[tuple[str, str]]:
    """The track that is furthest off first, then every other, each as a chart ``width`` columns wide."""
    worst = worst_track(picture)
    if worst is None or not picture.low:
        yield "word", "No tone was read yet."
        return
    marks = PLAIN if plain else SIGNS
    yield (
        "word",
        f"dB off what was expected: {marks.found} as found, {marks.left} as left, {marks.both} both; "
        f"{marks.band * 3} is what passes; {marks.over} and {marks.under} lie beyond the edge.",
    )
    rest = [one for one in sorted({*picture.before, *picture.after}) if one != worst]
    for track in (worst, *rest):
        far = ", the furthest off" if track == worst and rest else ""
        yield "head", f"Track {track}{far}{_most(picture, track)}"
        yield from (("plot", line) for line in chart(picture, track, width, marks))


def _most(picture: ResponsePicture, track: int) -> str:
    """How far the track is off at most, as found and as left."""
    told = []
    for word, points in (("found", picture.before.get(track)), ("left", picture.after.get(track))):
        if points:
            hz, off = max(points, key=lambda one: abs(one[1]))
            told.append(f"{word} {off:+.1f} dB at {_hz(hz)}")
    return f": at most {'; '.join(told)}" if told else ""


def chart(picture: ResponsePicture, track: int, width: int, marks: Marks) -> Iterator[str]:
    """One track as lines of text: dB down the side, the tones along the foot at their places by octave."""
    room = max(20, width - _LABEL)
    tones = sorted(hz for hz, _ in picture.low)
    places = _places(tones, room)
    low, high = dict(picture.low), dict(picture.high)
    before, after = (dict(one.get(track, ())) for one in (picture.before, picture.after))
    steps = round(2 * TOP_DB / STEP_DB)
    for number in range(steps + 1):
        db = TOP_DB - number * STEP_DB
        line = [_ground(column, db, tones, places, low, high, marks) for column in range(room)]
        for hz, column in places.items():
            mark = _mark(db, before.get(hz), after.get(hz), marks)
            if mark:
                line[column] = mark
        label = f"{db:+.0f}" if db and db == int(db) else "0" if not db else ""
        yield f"{label:>4} {'|' if db else '+'}{''.join(line)}".rstrip()
    yield " " * _LABEL + _foot(places, room)


def _places(tones: Sequence[float], room: int) -> dict[float, int]:
    """The column of every tone, by its octave; tones that would fall on one another move apart."""
    if len(tones) < 2:
        return {hz: room // 2 for hz in tones}
    span = math.log2(tones[-1] / tones[0])
    columns: dict[float, int] = {}
    last = -4
    for hz in tones:
        last = max(last + 4, 2 + round(math.log2(hz / tones[0]) / span * (room - 6)))
        columns[hz] = last
    over = max(0, last - (room - 3))
    if over:  # many tones: evenly, so that the highest still has its place
        return {hz: 2 + round(n * (room - 6) / (len(tones) - 1)) for n, hz in enumerate(tones)}
    return columns


def _ground(
    column: int,
    db: float,
    tones: Sequence[float],
    places: dict[float, int],
    low: dict[float, float],
    high: dict[float, float],
    marks: Marks,
) -> str:
    """What lies behind the marks: the middle, the band that passes, or nothing."""
    if abs(db) < STEP_DB / 2:
        return marks.middle
    nearest = min(tones, key=lambda hz: abs(places[hz] - column))
    inside = low[nearest] - 1e-9 <= db <= high[nearest] + 1e-9
    return marks.band if inside else " "


def _mark(db: float, found: float | None, left: float | None, marks: Marks) -> str:
    was, now = (_step(one) == db for one in (found, left))
    if was and now:
        return marks.both
    if not (was or now):
        return ""
    off = found if was else left
    if off is not None and abs(off) > TOP_DB + STEP_DB / 2:
        return marks.over if off > 0 else marks.under
    return marks.found if was else marks.left


def _step(off: float | None) -> float | None:
    """The line of the chart on which a reading stands; what lies beyond stands at the edge."""
    return None if off is None else max(-TOP_DB, min(TOP_DB, round(off / STEP_DB) * STEP_DB))


def _foot(places: dict[float, int], room: int) -> str:
    """The tones below their columns, as many as there is room for."""
    line = [" "] * (room + 4)
    free = 0
    for hz, column in places.items():
        word = _hz(hz)
        start = max(0, column - len(word) // 2)
        if start >= free:
            line[start : start + len(word)] = word
            free = start + len(word) + 1
    return "".join(line).rstrip()


def _hz(hz: float) -> str:
    return f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"


def drift_lines(drifts: Sequence[Drift]) -> Iterator[tuple[str, str]]:
    """What has moved since the last line-up to the same set-up, what is much first."""
    yield "head", "Against the last line-up of this deck and set-up"
    if not drifts:
        yield "word", "There is none with the same tones."
    for one in sorted(drifts, key=lambda one: not one.much):
        unit = "°" if one.line.startswith("azimuth") else " dB"
        track = f" track {one.track}" if one.track else ""
        moved = f"{one.line}{track}: {one.moved:+.1f}{unit} ({one.left:+.1f} left, {one.found:+.1f} found)"
        yield ("bad" if one.much else "word"), f"{'! ' if one.much else ''}{moved} since {one.since:%Y-%m-%d}"
