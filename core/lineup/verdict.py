"""Pass or fail for each track and line of a sheet, and what to turn first."""

from collections.abc import Iterator, Sequence
from typing import Literal

from core.lineup.line import Line
from core.lineup.record import LineupRecord, When
from core.lineup.sheet import BEFORE_A_TAPE, LineupSheet
from core.lineup.tolerance import Tolerances, tolerances
from core.values import dataclass

Verdict = Literal["pass", "fail", "blank", "not judged"]


@dataclass(frozen=True, slots=True)
class Judged:
    """One reading held against its line: `off` is the reading less what was expected."""

    line: Line
    track: int
    value: float | None
    off: float | None
    verdict: Verdict


def judge(sheet: LineupSheet, record: LineupRecord, when: When = "after") -> tuple[Judged, ...]:
    """Every line that has a reading, for each of its tracks, in the sheet's order."""
    return tuple(
        _held(line, track, record.reading(line.key, track, when))
        for line in sheet.lines
        for track in line.over(sheet.tracks)
    )


def track_verdicts(judged: Sequence[Judged], tracks: int) -> dict[int, Verdict]:
    """For each track fail if any line fails, else blank if any is missing, else pass."""
    return {
        track: _worst([one for one in judged if one.track in (0, track)]) for track in range(1, tracks + 1)
    }


def balance_db(judged: Sequence[Judged]) -> float | None:
    """How far the tracks differ at 1 kHz, loudest less softest; None with fewer than two readings."""
    levels = [one.off for one in judged if one.line.key.startswith("level-") and one.off is not None]
    return max(levels) - min(levels) if len(levels) > 1 else None


def turn_first(
    sheet: LineupSheet, record: LineupRecord, when: When = "after", allowed: Tolerances | None = None
) -> tuple[str, ...]:
    """What to do next, in the order in which one thing spoils the other; empty when all passes.

    The path before any tape, azimuth before treble, level before what is read against it.
    """
    judged = judge(sheet, record, when)
    allowed = allowed or tolerances()
    steps = [*_undone(sheet, record), *_azimuth(judged), *_levels(judged)]
    spread = balance_db(judged)
    if (
        spread is not None
        and spread > allowed.balance_db + 1e-9
        and not any("level of" in one for one in steps)
    ):
        steps.append(f"tracks differ by {spread:.1f} dB at 1 kHz: bring them together")
    return (*steps, *_shape(judged, "treble"), *_shape(judged, "bass"), *_shape(judged, "response"))


def _held(line: Line, track: int, value: float | None) -> Judged:
    off = None if value is None or line.expected is None else value - line.expected
    if not line.judged:
        return Judged(line, track, value, off, "not judged")
    if value is None or line.low is None or line.high is None:
        return Judged(line, track, value, off, "blank")
    inside = line.low - 1e-9 <= value <= line.high + 1e-9
    return Judged(line, track, value, off, "pass" if inside else "fail")


def _worst(judged: Sequence[Judged]) -> Verdict:
    verdicts = {one.verdict for one in judged}
    for word in ("fail", "blank", "pass"):
        if word in verdicts:
            return word
    return "not judged"


def _undone(sheet: LineupSheet, record: LineupRecord) -> Iterator[str]:
    for key in BEFORE_A_TAPE:
        line = sheet.line(key)
        if line is not None and key not in record.ticked:
            yield line.says


def _azimuth(judged: Sequence[Judged]) -> Iterator[str]:
    failing = [one for one in judged if one.line.unit == "°" and one.verdict == "fail"]
    if failing:
        worst = failing[0]
        yield f"azimuth: {worst.value:+.0f}° at {worst.line.hz:g} Hz, start with the lowest tone that is off"
        return
    blank = any(one.line.unit == "°" and one.verdict == "blank" for one in judged)
    treble = [one for one in judged if one.line.key.startswith("treble") and one.off is not None]
    if blank and treble and all((one.off or 0) < 0 and one.verdict == "fail" for one in treble):
        yield "azimuth: treble is down on every track, look at azimuth before turning treble"


def _levels(judged: Sequence[Judged]) -> Iterator[str]:
    for one in judged:
        if one.line.key.startswith("level-") and one.verdict == "fail" and one.off is not None:
            yield f"level of track {one.track}: {_turn(one.off)}"


def _shape(judged: Sequence[Judged], use: str) -> Iterator[str]:
    """Treble, bass and the rest are read against each track's own level."""
    level = {
        one.track: one.off for one in judged if one.line.key.startswith("level-") and one.off is not None
    }
    for one in judged:
        if one.line.key.startswith(use) and one.verdict == "fail" and one.off is not None:
            turn = _turn(one.off - level.get(one.track, 0.0))
            yield f"{use} of track {one.track} at {one.line.hz:g} Hz: {turn}"


def _turn(off: float) -> str:
    if abs(off) < 0.05:
        return "comes right with its level"
    return f"{abs(off):.1f} dB {'down' if off > 0 else 'up'}"
