"""The two lines under the chart: how many reels stand where, and how much machine time is left.

A board tells one moment of one shelf: what was told of it is told again as it was, on every key.
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

from core.evening.warming.lapsing import lapsing
from core.plan import Plan
from core.reels.reel import STAGES
from core.songs.when import soonest
from core.words import counted, hours_text
from tui.board.rows import Board
from tui.safe_text import cells


@lru_cache(maxsize=2)
def stage_line(board: Board) -> str:
    """``found 4  identified 9  ...``, calibration reels apart."""
    count = Counter(board.stage(reel) for reel in board.shelf.transferable())
    return "  ".join(f"{stage} {count[stage]}" for stage in STAGES)


@lru_cache(maxsize=2)
def time_line(board: Board, width: int = 0) -> str:
    """Machine time left, evenings by the plan, the song that is ready next, and what is not known.

    In a `width` (0: any) that has no room for all of it the evenings are left out, then what a row tells too.
    """
    plan = board.plan
    reels = [reel for reel in board.shelf.transferable() if not reel.past("transferred")]
    told = [minutes for reel in reels if (minutes := board.minutes(reel)) is not None]
    unknown = f"machine time of {counted(len(reels) - len(told), 'reel')} not known"
    line = f"{hours_text(sum(told))} of machine time" if told else "nothing is left to play"
    if reels and not told:
        line = unknown
    if not board.shelf.reels:
        return "no tape yet"
    more = f"; {unknown}" if 0 < len(told) < len(reels) else ""
    if plan is None:
        short = f"{line}, {counted(len(reels) - len(told), 'reel')} not known" if more else line
        long = f"{line}{more}; not planned yet"
        return long if not width or cells(long) <= width else f"{short}; not planned yet"
    ways = [f"{line}, {counted(evenings(plan), 'evening')}", line]
    ahead = [one for one in board.song_dates.values() if one.ahead]
    if ahead:
        first = min(ahead, key=soonest)
        told_first = f"; {first.told.song.title or first.told.song.key} {first.words}"
        ways = [*(way + told_first for way in ways), told_first.removeprefix("; ")]
    ways = [*(way + more for way in ways[:2]), *ways[1:]]
    return next((way for way in ways if not width or cells(way) <= width), ways[-1])


@lru_cache(maxsize=2)
def lapse_line(board: Board) -> str:
    """``! R-004 plays only until tomorrow 18:00; planned tonight 20:15``; empty where nothing lapses soon."""
    soon = lapsing(board.shelf, board.plan, board.at)
    if not soon:
        return ""
    more = f" (and {len(soon) - 1} more)" if len(soon) > 1 else ""
    return f"! {soon[0].words}{more}"


def evenings(plan: Plan) -> int:
    """Days on which the person does more than touch a chamber."""
    return len({item.start.date() for item in plan.items if item.kind != "condition"})
