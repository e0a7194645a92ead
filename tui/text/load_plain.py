"""A chamber load as one plain value, for ``--json``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.clock import write_time

if TYPE_CHECKING:
    from datetime import datetime

    from core.conditioning.load_state import LoadState, MemberState


def load_json(state: LoadState) -> dict[str, object]:
    """The load as one plain value; temperatures in °C, weights in grams, hours of warmth."""
    course = state.programme
    return {
        "load": state.key,
        "chamber": state.log.chamber,
        "at": write_time(state.log.at),
        "state": state.state,
        "broken_off": _time(state.log.broken_off),
        "why": state.log.why,
        "gaps": [{"off": _time(g.off), "on": _time(g.on), "why": g.why} for g in state.log.gaps],
        "celsius": {"planned": course.celsius, "low": course.low_c, "high": course.high_c}
        if course
        else None,
        "readings": [
            {"at": _time(one.at), "celsius": one.celsius, "place": one.place} for one in state.log.readings
        ],
        "turns": [{"due": _time(t.due), "done": _time(t.done), "state": t.state} for t in state.turns],
        "reels": [_member_json(one) for one in state.members],
        "flags": [{"kind": one.kind, "at": _time(one.at), "says": one.says} for one in state.flags],
        "empty_run": list(state.verdict),
    }


def _member_json(one: MemberState) -> dict[str, object]:
    return {
        "reel": one.member.reel,
        "hours": float(one.wanted) if one.wanted is not None else None,
        "hours_had": round(float(one.had), 4),
        "due": _time(one.due),
        "out": _time(one.out),
        "cool_until": _time(one.cool_until),
        "playable_days_left": round(float(one.days_left), 4) if one.days_left is not None else None,
        "before_g": one.member.before_g,
        "after_g": one.member.after_g,
        "ran": one.member.behaved or None,
        "next": one.next or None,
        "out_now": one.out_now or None,
    }


def _time(moment: datetime | None) -> str | None:
    return write_time(moment) if moment is not None else None
