"""The response of a deck before and after, as points for a picture."""

from core.lineup.record import LineupRecord, When
from core.lineup.sheet import LineupSheet
from core.values import dataclass

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class ResponsePicture:
    """For each track (Hz, dB off) by rising frequency, before and after; the band that passes."""

    before: dict[int, Points]
    after: dict[int, Points]
    low: Points
    high: Points

    @property
    def empty(self) -> bool:
        """True if nothing was read."""
        return not self.before and not self.after


def response_picture(sheet: LineupSheet, record: LineupRecord) -> ResponsePicture:
    """The picture of a sheet's tones as they were read; the line of 0 dB is what was expected."""
    band = sorted(
        (line.hz, line.low - line.expected, line.high - line.expected)
        for line in sheet.tones
        if line.hz is not None
        and line.expected is not None
        and line.low is not None
        and line.high is not None
    )
    low = tuple(dict((hz, down) for hz, down, _ in band).items())
    high = tuple(dict((hz, up) for hz, _, up in band).items())
    return ResponsePicture(_read(sheet, record, "before"), _read(sheet, record, "after"), low, high)


def worst_track(picture: ResponsePicture) -> int | None:
    """The track that is furthest off as left, among equals as found; None where nothing was read."""

    def far(track: int) -> tuple[float, float]:
        left, found = picture.after.get(track, ()), picture.before.get(track, ())
        return _furthest(left), _furthest(found)

    return max(sorted({*picture.before, *picture.after}), key=far, default=None)


def _furthest(points: Points) -> float:
    return round(max((abs(off) for _, off in points), default=0.0), 9)


def _read(sheet: LineupSheet, record: LineupRecord, when: When) -> dict[int, Points]:
    found: dict[int, Points] = {}
    for track in range(1, sheet.tracks + 1):
        points = {}
        for line in sheet.tones:
            value = record.reading(line.key, track, when)
            if value is not None and line.hz is not None and line.expected is not None:
                points[line.hz] = value - line.expected
        if points:
            found[track] = tuple(sorted(points.items()))
    return found
