"""The two lines under the chart: how many reels stand where, and how much machine time is left."""

from __future__ import annotations

from collections import Counter

from core.plan import Plan
from core.reels.reel import STAGES
from tui.board.rows import Board
from tui.board.words import day_words, hours_words


def stage_line(board: Board) -> str:
    """``found 4  identified 9  ...``, calibration reels apart."""
    count = Counter(board.stage(reel) for reel in board.shelf.transferable())
    return "  ".join(f"{stage} {count[stage]}" for stage in STAGES)


def time_line(board: Board) -> str:
    """Machine time left, evenings by the plan, and the song that is ready next."""
    plan = board.plan
    told = [minutes for reel in board.shelf.transferable() if (minutes := board.minutes(reel)) is not None]
    parts = [f"{hours_words(sum(told))} of machine time left"] if told else ["no machine time left"]
    if plan is None:
        return f"{parts[0]}; not planned yet"
    parts.append(f"{evenings(plan)} evenings by plan")
    ready = sorted((s.ready, s.song) for s in plan.songs if s.ready and s.ready > plan.start)
    tail = ""
    if ready:
        song = board.shelf.songs.get(ready[0][1])
        name = (song.title if song else "") or ready[0][1]
        tail = f"; {name} ready {day_words(ready[0][0].date())}"
    return ", ".join(parts) + tail


def evenings(plan: Plan) -> int:
    """Days on which the person does more than touch a chamber."""
    return len({item.start.date() for item in plan.items if item.kind != "condition"})
