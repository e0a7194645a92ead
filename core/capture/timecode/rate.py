"""Which rate the labels were counted at: the word does not tell, so the evidence is weighed."""

from __future__ import annotations

from core.capture.timecode.labels import RATES, Rate, rate_named
from core.values import dataclass

NEAR = 0.0003
"""How close to 30000/1001 plain 30-frame code must pass to be called 29.97: a third of the way to 30."""


@dataclass(frozen=True, slots=True)
class RateVerdict:
    """A rate and why it was taken."""

    rate: Rate
    evidence: str
    """One sentence."""
    contradicts: bool = False
    """True where the shelf says another rate than the code shows."""


def _count(highest: int, seconds: int, frames_per_second: float) -> tuple[int, str]:
    """Labels a second, from the highest frame label; with less than two seconds to go by, from the speed."""
    if highest > 24:
        return 30, f"frame labels reach {highest}"
    if highest == 24:
        return (25, "frame labels reach 24") if seconds >= 2 else _by_speed(frames_per_second, 25)
    if seconds >= 2:
        return 24, f"frame labels reach {highest}"
    return _by_speed(frames_per_second, 24)


def _by_speed(frames_per_second: float, least: int) -> tuple[int, str]:
    counts = [count for count in (24, 25, 30) if count >= least]
    nearest = min(counts, key=lambda count: abs(frames_per_second - count))
    return nearest, f"{frames_per_second:.2f} frames pass in a second"


def judge_rate(
    nominal: str | None, highest: int, seconds: int, drop_share: float, frames_per_second: float
) -> RateVerdict:
    """The rate of code whose frame labels reach `highest` over so many seconds of label.

    `nominal` is what the shelf says; it decides between 29.97 and 30, and wherever the code does not
    contradict it. `drop_share` is the share of words with the drop-frame flag.
    """
    stated = None if nominal is None else rate_named(nominal)
    if stated is not None and highest < stated.count and seconds < 2:
        count, why = stated.count, "as the shelf says; the code is too short to tell"
    else:
        count, why = _count(highest, seconds, frames_per_second)
    drop = drop_share > 0.5
    if count == 30 and drop:
        rate, why = RATES["29.97 DF"], f"{why}, and the drop-frame flag is set"
    elif count == 30 and stated is not None and stated.count == 30:
        rate = stated if not stated.drop else RATES["29.97"]
        why = f"{why}, without the drop-frame flag"
    elif count == 30:
        near = abs(frames_per_second * 1001 / 30000 - 1) < NEAR
        rate = RATES["29.97"] if near else RATES["30"]
        why = f"{why}, without the drop-frame flag, and {frames_per_second:.3f} frames pass in a second"
    else:
        rate = RATES[str(count)]
    return RateVerdict(rate, f"rate {rate.name}: {why}", stated is not None and stated != rate)
