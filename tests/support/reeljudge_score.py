"""Rule 10 and the lists beside the items: score, bound, gap, status, songs, left over."""

from collections.abc import Iterator
from fractions import Fraction

import reeljudge_hours as hours
from reeljudge_case import Case
from reeljudge_shelf import Reel, Song

TOLERANCE = Fraction(1, 20000) + Fraction(1, 10**7)
"""Half a step of four decimals, and what a binary float adds."""


def verified_at(case: Case, reel: Reel) -> int | None:
    """When the reel is verified: `from` if it is already, the end of its verify, or None."""
    if reel.stage == "verified":
        return case.start
    done = case.of("verify", reel)
    return done[-1].end if done else None


def ready(case: Case, song: Song) -> int | None:
    """The last verify of a song's reels: `from` where none is left, None where one is not verified.

    None too where it needs no reel.
    """
    ends = [verified_at(case, case.shelf.reels[name]) for name in song.needs]
    known = [end for end in ends if end is not None]
    return max([case.start, *known]) if ends and len(known) == len(ends) else None


def counted(case: Case, moment: int) -> int:
    """Seconds from `from` to *moment*, by evenings up to the next 04:00 of the studio's clock."""
    if case.shelf.comfort.by_evenings:
        moment = hours.next_night(moment, case.shelf.zone)
    return moment - case.start


def _hours(case: Case, moment: int | None) -> Fraction:
    if moment is None:
        return Fraction(3, 2) * Fraction(case.until - case.start, 3600)
    return Fraction(counted(case, moment), 3600)


def tied_seconds(case: Case) -> int:
    """Seconds outside bench time in which at least one load runs, from `from` on."""
    warm = hours.join([(max(load.start, case.start), load.end) for load in case.loads])
    return sum(hours.outside(start, end, case.spans.bench) for start, end in warm)


def comfort(case: Case) -> Fraction:
    """What lining up and a warm chamber outside bench time cost."""
    usual = case.shelf.comfort
    lining = sum(item.end - item.start for item in case.of("align"))
    return (usual.line_up_hour * lining + usual.tied_hour * tied_seconds(case)) / 3600


def score(case: Case) -> Fraction:
    """Songs with an album and no barred reel by priority, a hundredth for every reel, and comfort."""
    total = comfort(case)
    for song in case.shelf.songs.values():
        reels = [case.shelf.reels[name] for name in song.needs]
        left = any(reel.stage != "verified" for reel in reels)
        if song.album and left and not any(case.out_of_score(reel) for reel in reels):
            total += song.priority * _hours(case, ready(case, song))
    for reel in case.sources():
        if reel.stage != "verified" and not case.out_of_score(reel):
            total += Fraction(1, 100) * _hours(case, verified_at(case, reel))
    return total


def figures(case: Case) -> Iterator[str]:
    """Score, bound, gap and status agree with the plan and with one another."""
    plan, exact = case.plan, score(case)
    told, bound, gap = (Fraction(str(plan[key])) for key in ("score", "bound", "gap"))
    if abs(told - exact) > TOLERANCE:
        yield f"10: score is {float(exact):.4f}, not {plan['score']}"
    if bound > exact + TOLERANCE:
        yield f"10: bound {plan['bound']} is above the score {float(exact):.4f}"
    due = (told - bound) / told if told else Fraction(0)
    if abs(gap - due) > Fraction(1, 10000):
        yield f"10: gap is {float(due):.4f}, not {plan['gap']}"
    nothing = all(reel.stage == "verified" or case.out_of_score(reel) for reel in case.sources())
    status = plan["status"]
    if status not in ("optimal", "feasible", "nothing to do"):
        yield f"10: unknown status {status!r}"
    if (status == "nothing to do") and not nothing:
        yield "10: nothing to do, though reels are left to verify"
    close = bound >= told - Fraction(2, 10000) - Fraction(1, 10**7)
    if status == "optimal" and not close:
        yield f"10: optimal with bound {plan['bound']} under score {plan['score']}"
    if status == "feasible" and bound >= told - Fraction(1, 10000):
        yield f"10: feasible, though bound {plan['bound']} reaches score {plan['score']}"


def songs(case: Case) -> Iterator[str]:
    """Every song stands once, with its ready time and exactly the reels it waits for."""
    rows = {row["song"]: row for row in case.plan["songs"]}
    if len(rows) != len(case.plan["songs"]) or set(rows) != set(case.shelf.songs):
        yield f"10: songs listed are {sorted(rows)}"
    for name, row in rows.items():
        song = case.shelf.songs.get(name)
        if song is None:
            continue
        due = ready(case, song)
        told = hours.read_time(row["ready"], case.shelf.zone) if row["ready"] else None
        if told != due:
            right = None if due is None else hours.local_time(due, case.shelf.zone)
            yield f"10: song {name} ready {row['ready']}, should be {right}"
        waits = {reel for reel in song.needs if verified_at(case, case.shelf.reels[reel]) is None}
        if set(row["waits_for"]) != waits or len(row["waits_for"]) != len(waits):
            yield f"10: song {name} waits for {row['waits_for']}, should be {sorted(waits)}"


def left_over(case: Case) -> Iterator[str]:
    """Exactly the reels with work left after the plan, each with a reason."""
    rows = [row["reel"] for row in case.plan["left_over"]]
    due = {reel.name for reel in case.sources() if verified_at(case, reel) is None}
    if len(rows) != len(set(rows)):
        yield "9: left_over lists a reel twice"
    for name in sorted(due - set(rows)):
        yield f"9: {name} has work left, but is not left over"
    for name in sorted(set(rows) - due):
        yield f"9: {name} is left over, but has no work left"
    for row in case.plan["left_over"]:
        if not str(row.get("why") or "").strip():
            yield f"9: {row['reel']} is left over without a reason"


ALL = (figures, songs, left_over)
