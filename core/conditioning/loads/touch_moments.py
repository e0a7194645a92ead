"""What is done to a chamber load, and when: put in, turned, taken out."""

from __future__ import annotations

from core.plan import Do


def touch_moments(start: int, outs: list[int], turn_every: int) -> list[tuple[Do, int]]:
    """What is done to a load and when: the load, turns while any reel stays in, each taking out."""
    last = max(outs)
    moments: dict[int, Do] = {start: "load"}
    if turn_every > 0:
        moments |= {turn: "turn" for turn in range(start + turn_every, last, turn_every)}
    moments |= {out: "take out" for out in outs}
    return [(do, minute) for minute, do in sorted(moments.items())]
