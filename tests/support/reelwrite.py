"""Writes items as a plan in the form of the program's JSON, with all that follows from them computed."""

from fractions import Fraction
from typing import Any

import reeljudge_hours as hours
from reeljudge_calibration import served
from reeljudge_case import Case, build
from reeljudge_score import ready, verified_at
from reeljudge_score import score as exact_score
from reeljudge_shelf import Reel


def load_item(case: Case, load: Any) -> dict[str, Any]:
    """A load as an item of the plan."""

    def clock(moment: int) -> str:
        return hours.local_time(moment, case.shelf.zone).isoformat()

    rows = []
    heat = Fraction(0)
    for name, out in load.outs.items():
        treatment = case.treatment(case.shelf.reels[name])
        assert treatment is not None
        heat = treatment.temperature
        rows.append(
            {
                "reel": name,
                "out": clock(out),
                "cool_until": clock(out + int(treatment.cool * 60)),
                "playable_until": clock(out + int(treatment.playable_days * 86400)),
            }
        )
    return {
        "kind": "condition",
        "chamber": load.chamber.id,
        "start": clock(load.start),
        "end": clock(load.end),
        "temperature": f"{float(heat):g} degC",
        "reels": rows,
        "touches": [
            {"do": do, "start": clock(start), "end": clock(end)}
            for do, start, end in load.touches
            if start >= case.start
        ],
    }


def write_plan(facts: Case, items: list[dict[str, Any]]) -> dict[str, Any]:
    """A plan of *items*, running loads added, with left over, songs and score as they follow from them."""
    zone = facts.shelf.zone
    running = [load_item(facts, load) for load in facts.loads if load.running]
    plan: dict[str, Any] = {
        "shelf": "test",
        "from": hours.local_time(facts.start, zone).isoformat(),
        "until": hours.local_time(facts.until, zone).isoformat(),
        "made_in_seconds": 0.0,
        "status": "feasible",
        "items": running + items,
        "left_over": [],
        "songs": [],
    }
    case = build(facts.shelf, plan, facts.slack)
    _say(case)
    plan["left_over"] = [
        {"reel": reel.name, "why": "time ran out"}
        for reel in case.sources()
        if verified_at(case, reel) is None
    ]
    for song in case.shelf.songs.values():
        end = ready(case, song)
        plan["songs"].append(
            {
                "song": song.name,
                "ready": None if end is None else hours.local_time(end, zone).isoformat(),
                "waits_for": [
                    name for name in song.needs if verified_at(case, case.shelf.reels[name]) is None
                ],
            }
        )
    exact = exact_score(case)
    told = round(float(exact), 4)
    left = any(reel.stage != "verified" and not case.out_of_score(reel) for reel in case.sources())
    return plan | {
        "score": told,
        "bound": told if not left else 0.0,
        "gap": 1.0 if left and told else 0.0,
        "status": "feasible" if left else "nothing to do",
    }


def _say(case: Case) -> None:
    """Adds to items that say nothing of it what they assume, and how a line-up without a reel is made."""
    for item in case.items:
        if item.kind == "align" and not item.raw.get("calibration"):
            tones = any(case.shelf.reels[name].tones for name in served(case, item))
            item.raw.setdefault("by", "tones" if tones else "as it stands")
        elif item.kind in ("repair", "transfer"):
            reel = case.shelf.reels[item.reel]
            parts = set.intersection(*(set(part.assumed) for part in reel.parts))
            _assume(case, item.raw, reel, parts if item.kind == "transfer" else set())
    for load in case.loads:
        for row in (load.raw or {}).get("reels", ()):
            _assume(case, row, case.shelf.reels[row["reel"]], set())


def _assume(case: Case, raw: dict[str, Any], reel: Reel, parts: set[str]) -> None:
    condition = case.assumed_condition(reel)
    said = sorted(parts | ({condition} if condition else set()))
    if said:
        raw.setdefault("assumes", said)
