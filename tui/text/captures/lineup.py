"""A captured line-up as text: a table of deviations and a picture of the response."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.capture.lineup.lineup_record import CapturedLineUp
    from core.lineup.verdict import Judged

TOP_DB = 4


def lineup_lines(made: CapturedLineUp) -> Iterator[str]:
    """Head, table, azimuth, what to turn and the picture."""
    from core.lineup.sheet import FIRST
    from core.lineup.verdict import judge, turn_first

    judged = judge(made.sheet, made.record, made.when)
    yield f"{made.sheet.deck}: {made.sheet.setup}, by {made.sheet.calibration}"
    told = "as told" if made.zero_told else "by the middle track at 1 kHz: only differences are measured"
    yield f"0 dB is {made.zero_dbfs:.2f} dBFS, {told}"
    yield ""
    yield "tone             must    " + "".join(f"{track:>6}" for track in range(1, made.sheet.tracks + 1))
    for line in made.sheet.tones:
        row = [one for one in judged if one.line.key == line.key]
        if any(one.off is not None for one in row):
            yield f"{line.key:<15} {line.expected or 0:+6.2f} dB" + "".join(_cell(one) for one in row)
    for one in judged:
        if one.line.unit == "°" and one.value is not None:
            mark = "  off" if one.verdict == "fail" else ""
            yield f"{one.line.key:<15} {one.value:+6.1f}° between the outer tracks{mark}"
    yield "Deviation in dB; ! is out of tolerance, ~ is not judged."
    if made.azimuth is not None:
        sure = "" if made.azimuth.sure else "; a turn of phase more or less could fit as well"
        yield f"azimuth {made.azimuth.minutes:+.2f}' of arc over {made.apart_mm:.1f} mm{sure}"
    if made.unheard:
        yield "not in the capture: " + ", ".join(f"{hz:g} Hz" for hz in made.unheard)
    yield from _picture(judged)
    by_hand = {line.says for line in FIRST}
    yield from (step for step in turn_first(made.sheet, made.record, made.when) if step not in by_hand)


def verdict_words(tracks: Mapping[int, str]) -> str:
    """Which tracks pass, fail, or are not all read: ``pass 1-4; fail 5, 9; not all read 6-8``."""
    words = {"fail": "fail", "blank": "not all read", "pass": "pass", "not judged": "only written down"}
    mine = {word: [n for n, one in tracks.items() if one == word] for word in words}
    told = [f"{says} {_runs(mine[word])}" for word, says in words.items() if mine[word]]
    return "tracks " + "; ".join(told) if told else "no tracks"


def _runs(numbers: list[int]) -> str:
    """``1-4, 9`` for 1, 2, 3, 4, 9."""
    out: list[list[int]] = []
    for number in numbers:
        if out and number == out[-1][-1] + 1:
            out[-1].append(number)
        else:
            out.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in out)


def lineup_json(made: CapturedLineUp) -> dict[str, object]:
    """The same as one plain value."""
    from core.lineup.record import to_record
    from core.lineup.verdict import judge

    azimuth = made.azimuth
    return {
        "record": to_record(made.record),
        "zero_dbfs": made.zero_dbfs,
        "zero_told": made.zero_told,
        "azimuth_minutes": azimuth.minutes if azimuth else None,
        "azimuth_sure": azimuth.sure if azimuth else None,
        "apart_mm": made.apart_mm,
        "unheard_hz": list(made.unheard),
        "lines": [
            {
                "line": one.line.key,
                "hz": one.line.hz,
                "track": one.track,
                "expected": one.line.expected,
                "value": one.value,
                "off": one.off,
                "unit": one.line.unit,
                "verdict": one.verdict,
            }
            for one in judge(made.sheet, made.record, made.when)
            if one.value is not None
        ],
    }


def _cell(one: Judged) -> str:
    if one.off is None:
        return "     -"
    mark = {"fail": "!", "not judged": "~"}.get(one.verdict, " ")
    return f"{one.off:+5.1f}{mark}"


def _picture(judged: tuple[Judged, ...]) -> Iterator[str]:
    """How many tracks lie at each whole decibel, tone by tone."""
    offs: dict[float, list[float]] = {}
    for one in judged:
        if one.line.unit == "dB" and one.line.hz is not None and one.off is not None:
            offs.setdefault(one.line.hz, []).append(one.off)
    at = {hz: [max(-TOP_DB, min(TOP_DB, round(off))) for off in found] for hz, found in offs.items()}
    yield ""
    yield "Tracks at each decibel"
    for db in range(TOP_DB, -TOP_DB - 1, -1):
        counts = (at[hz].count(db) for hz in sorted(at))
        yield f"{db:+3d} |" + "".join(f"{count or ('-' if db == 0 else ' '):>6}" for count in counts)
    yield "  Hz " + "".join(f"{_short(hz):>6}" for hz in sorted(at))
    yield ""


def _short(hz: float) -> str:
    return f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"
