"""Captures tied by the timecode that they carry: the same labels at the same rate, and what else tells."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from core.album.place import CaptureKey, Curve
from core.album.ties import Tie
from core.songs.song import SheetRow
from core.workbook.in_time.tie_tracks import code_is_copied

if TYPE_CHECKING:
    from core.album.by_code import CodeRun
    from core.songs.heard import Check

_DAY = 86_400.0
_SAME_MS = 5.0
"""Sound and code that agree so nearly are one clock."""
_SHARED_SECONDS = 5.0
"""What two codes must have in common before their labels are held against one another."""


def straight_runs(check: Check) -> Iterator[CodeRun]:
    """Runs as straight lines, of a check that kept no frames."""
    from core.album.by_code import CodeRun

    rate = float(check["files"][0]["sample_rate"])
    for code in check["timecode"]:
        for run in code["runs"]:
            slope = float(run["seconds_per_sample"]) * rate
            if slope > 0:
                start, end = run["start_sample"] / rate, run["end_sample"] / rate
                curve = Curve.line(0.0, float(run["seconds_at_zero"]), slope, max(1.0, end))
                told = 1000 * float(run["residual_samples"]) / rate
                yield CodeRun(int(code["track"]), str(code["rate"]), curve, start, end, told, ())


def code_ties(
    sheets: Sequence[SheetRow], runs: Mapping[CaptureKey, CodeRun], kept: Sequence[Tie]
) -> list[Tie]:
    """Ties between captures whose code carries the same labels at the same rate."""
    pairs = combinations(sorted(runs), 2)
    made = (_code_tie(sheets, one, two, runs[one], runs[two], kept) for one, two in pairs)
    return [tie for tie in made if tie is not None]


def _code_tie(
    sheets: Sequence[SheetRow],
    one: CaptureKey,
    two: CaptureKey,
    here: CodeRun,
    there: CodeRun,
    kept: Sequence[Tie],
) -> Tie | None:  # fmt: skip
    if here.rate != there.rate:
        return None
    labels = [(run.curve.song(run.start), run.curve.song(run.end)) for run in (here, there)]
    days = round((labels[0][0] - labels[1][0]) / _DAY) * _DAY
    first, last = max(labels[0][0], labels[1][0] + days), min(labels[0][1], labels[1][1] + days)
    if last - first < _SHARED_SECONDS:
        return None
    curve = here.curve.then(there.curve.moved(days).turned())
    span = here.curve.capture(first), here.curve.capture(last)
    copied = one[0] == two[0] or code_is_copied(sheets, (one[0], here.track), (two[0], there.track))
    sound = next((tie for tie in kept if {tie.one, tie.two} == {one, two} and tie.by == "sound"), None)
    agrees = sound is not None and _apart_ms(sound if sound.one == one else sound.turned(), curve) <= _SAME_MS
    says = "by the copied code" if copied else "labels and sound agree" if agrees else (
        "by the labels alone: nothing else tells that both codes are one clock"
    )  # fmt: skip
    error = round((here.error_ms**2 + there.error_ms**2) ** 0.5, 4)
    return Tie(one, two, "timecode", curve, error, says, 0.0, here.gaps, span, trusted=copied or agrees)


def _apart_ms(sound: Tie, curve: Curve) -> float:
    first, last = sound.span or (0.0, 60.0)
    at = [first + (last - first) * share / 4 for share in range(5)]
    return 1000 * max(abs(sound.curve.song(x) - curve.song(x)) for x in at)
