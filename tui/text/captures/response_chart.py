"""One track's response as a chart of text: dB down the side, the tones along the foot."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from core.lineup.picture import ResponsePicture
from core.values import dataclass

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
        word = hz_words(hz)
        start = max(0, column - len(word) // 2)
        if start >= free:
            line[start : start + len(word)] = word
            free = start + len(word) + 1
    return "".join(line).rstrip()


def hz_words(hz: float) -> str:
    """``10k``, ``440``."""
    return f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"
