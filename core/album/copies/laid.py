"""What to write for a song: which stretch of which capture becomes which file, and how it is read."""

from __future__ import annotations

from collections.abc import Sequence

from core.album.copies.names import copy_name, unlike
from core.album.copies.plan import ALONG, AS_CAPTURED, RATIO, ZERO_OF_SONG_SECONDS, Copy, Used, Way
from core.album.place import LINE_SECONDS, CaptureKey, Curve, Place

_RATIO_SECONDS = 1e-5
"""A curve that a line follows so nearly is a constant ratio."""
_LEAST_RATIO = 3e-4
"""Nearer to one, the library's whole samples cannot begin between two; the curve reader can."""
_SAME_RATE = 1e-8


def copies_of(
    song: str, used: Sequence[Used], way: Way, reference: Curve | None, rates: dict[CaptureKey, int],
    lengths: dict[CaptureKey, float],
) -> list[Copy]:  # fmt: skip
    """The files for the used tracks of a song.

    `reference` is the song's clock as the capture plays it whose clock it is: what is laid as captured runs
    with that tape; read along the curve, with the song's clock itself (none).
    """
    names = unlike(copy_name(song, one.part, one.take, one.key[0], one.tracks) for one in used)
    turned = None if way == "clock" or reference is None else _from_zero(reference)
    curves = [_curve(one.place, turned) for one in used]
    first = min(curve.song(one.span[0]) for one, curve in zip(used, curves, strict=True))
    last = max(curve.song(one.span[1]) for one, curve in zip(used, curves, strict=True))
    make = _stamped if way == "stamped" else _laid
    return [
        make(name, one, curve, rates[one.key], lengths[one.key], first, last, way)
        for name, one, curve in zip(names, used, curves, strict=True)
    ]


def _from_zero(reference: Curve) -> Curve:
    """The song's clock to seconds of the capture that gives it, counted from the song's zero."""
    return reference.turned().moved(-reference.capture(0.0))


def _curve(place: Place, turned: Curve | None) -> Curve:
    assert place.curve is not None
    return place.curve if turned is None else place.curve.then(turned)


def _apart(curve: Curve, low: float, high: float) -> tuple[float, float]:
    """The offset that fits best where a capture is read as it is, and how far it runs from its place."""
    at = [low, *(x for x, _ in curve.nodes if low < x < high), high]
    off = [curve.song(x) - x for x in at]
    middle = (max(off) + min(off)) / 2
    return middle, max(off) - middle


def _laid(
    name: str, one: Used, curve: Curve, rate: int, length: float, first: float, last: float, way: Way
) -> Copy:
    """From the common start to the common end; silence where the capture has nothing."""
    frames = max(1, round((last - first) * rate))
    low, high = max(0.0, curve.capture(first)), min(length or curve.capture(last), curve.capture(last))
    offset, apart = _apart(curve, low, max(low + 1e-3, high))
    stamp = max(0, round((ZERO_OF_SONG_SECONDS + first) * rate))
    exact = _SAME_RATE if way == "clock" else LINE_SECONDS
    if apart <= exact:
        start = round((first - offset) * rate)
        return Copy(name, one, AS_CAPTURED, rate, start, frames, first, stamp, curve, 1000 * apart)
    method = RATIO if _is_ratio(curve, low, high) else ALONG
    return Copy(name, one, method, rate, 0, frames, first, stamp, curve)


def _is_ratio(curve: Curve, low: float, high: float) -> bool:
    (y0, y1) = curve.song(low), curve.song(high)
    slope = (y1 - y0) / max(1e-9, high - low)
    return abs(slope - 1) > _LEAST_RATIO and all(
        abs(y - y0 - slope * (x - low)) <= _RATIO_SECONDS for x, y in curve.nodes if low <= x <= high
    )


def _stamped(
    name: str, one: Used, curve: Curve, rate: int, length: float, first: float, last: float, way: Way
) -> Copy:
    """As captured, over the common stretch as far as the capture goes, with the time at which it starts."""
    low = max(0.0, curve.capture(first))
    high = max(low, min(length or curve.capture(last), curve.capture(last)))
    start, stop = round(low * rate), max(round(low * rate) + 1, round(high * rate))
    offset, apart = _apart(curve, low, max(low + 1e-3, high))
    if apart > LINE_SECONDS:
        offset = curve.song(low) - low
        at = [low, *(x for x, _ in curve.nodes if low < x < high), high]
        apart = max(abs(curve.song(x) - x - offset) for x in at)
    begins = start / rate + offset
    stamp = max(0, round((ZERO_OF_SONG_SECONDS + begins) * rate))
    return Copy(name, one, AS_CAPTURED, rate, start, stop - start, begins, stamp, curve, 1000 * apart)
