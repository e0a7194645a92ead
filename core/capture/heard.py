"""Findings from the sound alone: clipping, dropouts, faults of the interface, hum, offset, like tracks."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from core.capture.faults.pairs import Pair
from core.capture.faults.repeats import Repeat
from core.capture.scan import Scan
from core.capture.told.dropouts import dropout_findings
from core.capture.weighing.places import PassMaker
from core.findings import Finding

_SAME_FRAMES = 4
"""Repeats on several tracks that begin so close together are one event of the interface."""


def heard_findings(scan: Scan, make: PassMaker, code: Collection[int]) -> list[Finding]:
    """All findings that need nothing but the sound; `code` are channels that carry timecode."""
    found = _clipping(scan, make)
    found += dropout_findings(scan, make, code)
    found += _zero_runs(scan, make, code)
    found += _repeats(scan, make, code)
    found += _hum(scan, make, code)
    found += _dc(scan, make)
    found += _pairs(scan, make)
    return found


def _clipping(scan: Scan, make: PassMaker) -> list[Finding]:
    found = []
    for clips in scan.full_scale.clips:
        for clip in clips:
            says = (f"{make.begin(clip.channel)} clips at {make.clock(clip.start)}: "
                    f"{clip.samples} samples at full scale, {clip.longest} in a row.")  # fmt: skip
            found.append(make.at("clipping", clip.channel, clip.start, clip.stop, says, size=clip.longest))
    return found


def _zero_runs(scan: Scan, make: PassMaker, code: Collection[int]) -> list[Finding]:
    found = []
    for run in scan.zeros.places():
        milliseconds = 1000 * (run.stop - run.start) / make.sample_rate
        says = (f"{make.begin(run.channel)} holds nothing but zeros for {milliseconds:.1f} ms at "
                f"{make.clock(run.start)}, inside sound.")  # fmt: skip
        found.append(make.at("zero run", run.channel, run.start, run.stop, says, size=milliseconds))
    return found


def _repeats(scan: Scan, make: PassMaker, code: Collection[int]) -> list[Finding]:
    """A timecode track alone repeats by its nature, bit by bit; its labels tell where it comes twice."""
    repeats = sorted(scan.repeats.places(), key=lambda one: (one.start, one.channel))
    lively = int(np.count_nonzero(scan.levels.peak > 0))
    found = []
    while repeats:
        first = repeats[0]
        event = [one for one in repeats if one.start - first.start <= _SAME_FRAMES and one.lag == first.lag]
        repeats = [one for one in repeats if one not in event]
        every = len({one.channel for one in event}) >= max(2, lively)
        if every:
            found.append(_repeat(make, first, None))
        elif any(one.channel not in code for one in event):
            found += [_repeat(make, one, one.channel) for one in event]
    return found


def _repeat(make: PassMaker, repeat: Repeat, channel: int | None) -> Finding:
    where = "All tracks repeat" if channel is None else f"{make.begin(channel)} repeats"
    says = (f"{where} a block of {repeat.lag} samples at {make.clock(repeat.start)}: "
            f"{repeat.stop - repeat.start} samples are those before them.")  # fmt: skip
    return make.at("repeat", channel, repeat.start, repeat.stop, says, size=repeat.stop - repeat.start)


def _hum(scan: Scan, make: PassMaker, code: Collection[int]) -> list[Finding]:
    found = []
    for hum in scan.hum.found():
        if hum.channel in code or hum.level_dbfs < make.thresholds["hum"] - 0.3:
            continue
        says = (f"{make.begin(hum.channel)} hums at {hum.mains_hz:.0f} Hz and its harmonics, "
                f"{hum.level_dbfs:.0f} dBFS.")  # fmt: skip
        found.append(make.whole("hum", hum.channel, says, size=100 + hum.level_dbfs))
    return found


def _dc(scan: Scan, make: PassMaker) -> list[Finding]:
    found = []
    for channel, offset in enumerate(scan.levels.dc):
        percent = 100 * float(offset)
        if abs(percent) >= make.thresholds["dc"]:
            says = f"{make.begin(channel)} has an offset of {percent:+.2f} % of full scale."
            found.append(make.whole("dc", channel, says, size=abs(percent)))
    return found


def _pairs(scan: Scan, make: PassMaker) -> list[Finding]:
    alike = make.thresholds["copy"]
    return [_pair(make, pair) for pair in scan.pairs.found() if abs(pair.correlation) >= alike]


def _pair(make: PassMaker, pair: Pair) -> Finding:
    kind = "copy" if pair.correlation > 0 else "polarity"
    names = f"{make.begin(pair.channel)} and {make.track_name(pair.other)}"
    what = "carry the same" if kind == "copy" else "carry the same in opposed polarity"
    late = 1000 * pair.lag_seconds
    how = f", {abs(late):.2f} ms apart" if abs(late) >= 0.005 else ""
    says = f"{names} {what}{how} (correlation {pair.correlation:+.3f})."
    return make.whole(kind, pair.channel, says, other=pair.other, size=abs(pair.correlation))
