"""A song's captures as a net of ties: each is laid along the surest of them; rings tell what is wrong."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from math import hypot

from core.album.place import CaptureKey, Curve, Loop, Place
from core.album.ties import Tie, capture_name

_CLOSES_MS = 5.0
"""A ring that misses by no more closes."""
_ORDER = ("said", "sound", "timecode")
"""From what is least sure to what is surest."""

Way = tuple[Tie, ...]


def laid(own: CaptureKey, place: Place, ties: Sequence[Tie]) -> dict[CaptureKey, Place]:
    """Where every capture lies that ties lead to from the clock's own, along the surest ones."""
    out = {own: place}
    for key, way in ways(own, ties).items():
        if way:
            out[key] = _along(place, way)
    return out


def ways(own: CaptureKey, ties: Sequence[Tie]) -> dict[CaptureKey, Way]:
    """The surest way to every capture that can be reached: ties from it to the clock's own."""
    best: dict[CaptureKey, Way] = {}
    line: list[tuple[float, int, CaptureKey, Way]] = [(0.0, 0, own, ())]
    count = 0
    while line:
        cost, _, here, way = heapq.heappop(line)
        if here in best:
            continue
        best[here] = way
        for tie in ties:
            step = tie.turned() if tie.one == here else tie if tie.two == here else None
            if step is not None and step.one not in best:
                count += 1
                heapq.heappush(line, (cost + step.cost, count, step.one, (step, *way)))
    return best


def _along(place: Place, way: Way) -> Place:
    """A capture's place: its ties one after the other, then that of the clock's own."""
    assert place.curve is not None
    curve = way[0].curve
    for tie in way[1:]:
        curve = curve.then(tie.curve)
    curve = curve.then(place.curve)
    kinds = [tie.by for tie in way]
    by = min(kinds, key=_ORDER.index)
    errors = [tie.error_ms for tie in way]
    error = None if None in errors else round(hypot(*(e or 0.0 for e in errors), place.error_ms or 0.0), 3)
    said = "; ".join(dict.fromkeys(tie.says for tie in way if tie.says))
    over = ", ".join(capture_name(tie.two) for tie in way[:-1])
    return Place(by, curve, error, f"over {over}: {said}" if over else said, way[0].unsure)


def loops(
    own: CaptureKey, ties: Sequence[Tie], spans: Mapping[CaptureKey, tuple[float, float]]
) -> list[Loop]:
    """Every ring of ties: round each, by how much it misses, and which tie is to blame where it does."""
    found = ways(own, ties)
    out = []
    for tie in _left_over(found, ties):
        if tie.one not in found or tie.two not in found:
            continue
        here, there = found[tie.one], found[tie.two]
        while here and there and here[-1] is there[-1]:
            here, there = here[:-1], there[:-1]
        misfit = _misfit(tie, here, there, spans)
        reels = [tie.one, *(step.two for step in here), *reversed([step.two for step in there]), tie.two]
        names = tuple(dict.fromkeys(key[0] for key in reels))
        out.append(Loop(names, misfit, _blamed(misfit, tie, (*here, *there))))
    return out


def _left_over(found: Mapping[CaptureKey, Way], ties: Iterable[Tie]) -> list[Tie]:
    used = {(frozenset((step.one, step.two)), step.by) for way in found.values() for step in way}
    return [tie for tie in ties if (frozenset((tie.one, tie.two)), tie.by) not in used]


def _misfit(tie: Tie, here: Way, there: Way, spans: Mapping[CaptureKey, tuple[float, float]]) -> float:
    """Milliseconds, RMS over the stretch that the tie was found in, or the song's."""
    first, last = tie.span or spans.get(tie.one, (0.0, 60.0))
    total = 0.0
    for share in range(11):
        at = first + (last - first) * share / 10
        around = at
        for step in here:
            around = step.curve.song(around)
        straight = tie.curve.song(at)
        for step in there:
            straight = step.curve.song(straight)
        total += (straight - around) ** 2
    return float(1000 * (total / 11) ** 0.5)


def _blamed(misfit: float, tie: Tie, others: Way) -> str:
    if misfit <= _CLOSES_MS:
        return ""
    worst = max((tie, *others), key=lambda one: one.blame)
    return f"the least sure of its ties is {worst.named()}" + (f" ({worst.says})" if worst.says else "")


def own_line(at: float, percent: float, seconds: float) -> Curve:
    """The clock's own capture without code: zero at that second, at its speed put right."""
    return Curve.line(at, 0.0, 1 + percent / 100, max(1.0, seconds))


def paced(curve: Curve, at: float, span: tuple[float, float], rate: float) -> Curve:
    """The same sway around another mean: `rate` song seconds to a second over that span, zero at `at`."""
    first, last = span
    factor = rate * (last - first) / (curve.song(last) - curve.song(first))
    zero = curve.song(at)
    return Curve(tuple((capture, (song - zero) * factor) for capture, song in curve.nodes))
