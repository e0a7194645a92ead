"""A deck's response before and after, and what has drifted, as lines of (role, text)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.lineup.drift import Drift
from core.lineup.picture import ResponsePicture

STEPS = (3.0, 2.0, 1.0, 0.0, -1.0, -2.0, -3.0)


def response_lines(picture: ResponsePicture) -> Iterator[tuple[str, str]]:
    """For each track a plot of the tones: o as found, x as left, * both, - the edges of what passes."""
    if picture.empty:
        yield "word", "No tone was read yet."
        return
    tones = [hz for hz, _ in picture.low]
    low, high = dict(picture.low), dict(picture.high)
    for track in sorted({*picture.before, *picture.after}):
        yield (
            "head",
            f"Track {track}: dB off what was expected; o as found, x as left, - edges of what passes",
        )
        before, after = dict(picture.before.get(track, ())), dict(picture.after.get(track, ()))
        for step in STEPS:
            marks = [_mark(step, hz, before, after, low, high) for hz in tones]
            yield "plot", f"{step:+5.0f} |" + "".join(f"{mark:^8}" for mark in marks)
        yield "plot", "       " + "".join(f"{_hz(hz):^8}" for hz in tones)


def _mark(
    step: float,
    hz: float,
    before: dict[float, float],
    after: dict[float, float],
    low: dict[float, float],
    high: dict[float, float],
) -> str:
    was, now = (_row(one.get(hz)) == step for one in (before, after))
    if was or now:
        return "*" if was and now else "o" if was else "x"
    return "-" if step in (_row(low[hz]), _row(high[hz])) else " "


def _row(value: float | None) -> float | None:
    return None if value is None else float(max(-3, min(3, round(value))))


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
