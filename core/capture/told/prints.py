"""Print-through as findings: a faint copy of what is to come, one turn of the pack before it."""

from __future__ import annotations

from collections.abc import Collection

from core.capture.pieces.again import Again
from core.capture.prints.heard import Printed, printed
from core.capture.prints.onsets import Onset, onsets
from core.capture.prints.pack import NARROWEST_INCHES, WIDEST_INCHES, pack_inches
from core.capture.scan import Scan
from core.capture.told.dull import USUAL_IPS
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding


def print_findings(
    scan: Scan, make: PassMaker, again: Again, code: Collection[int], *, workers: int = 1
) -> list[Finding]:
    """Print-through before tracks begin, by reading there `again`; `code` are channels with timecode."""
    levels = scan.band_levels.found()
    if levels is None:
        return []
    places = [one for place in onsets(levels) if (one := _of_music(place, code)) is not None]
    pack, speed = make.reel.pack_inches or (NARROWEST_INCHES, WIDEST_INCHES), make.reel.speed_ips or USUAL_IPS
    found = printed(places, again.slow, make.sample_rate, make.seconds, pack, speed, workers)
    return [_told(one, speed, make) for one in found]


def _of_music(place: Onset, code: Collection[int]) -> Onset | None:
    begins = tuple(one for one in place.begins if one.channel not in code)
    return Onset(place.seconds, begins) if begins else None


def _told(one: Printed, speed: float, make: PassMaker) -> Finding:
    copy = one.copy
    says = (f"{make.begin(copy.channel)} is heard {copy.lag:.2f} s before it begins at {clock(one.seconds)}, "
            f"{-copy.level_db:.0f} dB weaker: print-through of the next turn, where the pack is "
            f"{pack_inches(copy.lag, speed):.1f} in across.")  # fmt: skip
    weight = make.thresholds.weight("print-through", "note")  # often missed, at times a loop
    start = max(0.0, one.seconds - copy.lag)
    return make.at("print-through", copy.channel, start * make.sample_rate, one.seconds * make.sample_rate,
                   says, weight=weight, size=max(0.0, 80 + copy.level_db))  # fmt: skip
