"""A deck's response as found and as left, and what has drifted, as lines of (role, text)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.lineup.drift import Drift
from core.lineup.picture import ResponsePicture, worst_track
from tui.text.captures.response_chart import PLAIN, SIGNS, chart, hz_words


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
            told.append(f"{word} {off:+.1f} dB at {hz_words(hz)}")
    return f": at most {'; '.join(told)}" if told else ""


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
