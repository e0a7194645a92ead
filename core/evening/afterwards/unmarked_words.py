"""What was not marked on earlier evenings, in one sentence for every face."""

from __future__ import annotations

from collections.abc import Sequence

from core.clock import evening_of
from core.evening.tonight.sheet import Step
from core.words import counted, day_text


def unmarked_words(steps: Sequence[Step], loads: Sequence[Step] = ()) -> str:
    """``C1 never loaded Wed 2 Dec (R-004); 6 steps of Wed 2 Dec not marked``: loads first.

    Of several loads how many, since which day: the list behind the line names each.
    """
    days = sorted({evening_of(step.planned.start) for step in steps})
    when = day_text(days[0]) if len(days) == 1 else f"{day_text(days[0])} to {day_text(days[-1])}"
    told = f"{counted(len(steps), 'step')} of {when} not marked"
    if len(loads) < 2:
        return "; ".join([*(_never(load) for load in loads), told])
    first = min(evening_of(load.planned.start) for load in loads)
    return f"{len(loads)} loads never began since {day_text(first)}; {told}"


def _never(load: Step) -> str:
    day = day_text(evening_of(load.planned.start))
    more = f" and {len(load.reels) - 2} more" if len(load.reels) > 2 else ""
    return f"{load.subject} never loaded {day} ({', '.join(load.reels[:2])}{more})"
