"""Why not: the rule that keeps a reel out, or a song from a date, and what would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.plan import Plan
from core.planning.answers.asking import Asking
from core.planning.answers.proving import Proof
from core.planning.answers.remedy import Because
from core.planning.answers.sparing import spares
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf

__all__ = ["Asking", "Because", "why_reel", "why_song", "with_reasons"]

#: Reels left over, times evenings, up to which a plan says of each what binds it.
ASKED = 300
#: Effort that one question's remedies are tried with.
TRYING = 2.0


def why_reel(
    shelf: Shelf, plan: Plan, reel: str, wishes: Wishes | None = None, *, effort: float = TRYING
) -> Because:
    """Why the plan leaves this reel over; ``wishes``: those that it was made with.

    So much effort goes into planning with what would do it; with none it is told as what may.
    """
    return Asking(shelf, plan, wishes or Wishes(), proof=_proof(effort)).reel(reel)


def why_song(
    shelf: Shelf, plan: Plan, song: str, by: date, wishes: Wishes | None = None, *, effort: float = TRYING
) -> tuple[Because, ...]:
    """Why the song is not ready by the end of that date: one reason for each reel that is late."""
    return tuple(Asking(shelf, plan, wishes or Wishes(), proof=_proof(effort)).song(song, by))


def _proof(effort: float) -> Proof | None:
    return Proof(effort) if effort > 0 else None


def with_reasons(shelf: Shelf, plan: Plan, wishes: Wishes | None = None) -> Plan:
    """The plan in which every reel that nothing bars is left over with the rule that binds.

    It also says what may spare a playable tape its second warming. A plan with too much in it to ask about
    keeps the short reasons: this is to cost less than the planning.
    """
    loads = any(item.kind == "condition" and item.start >= plan.start for item in plan.items)
    if not loads and all(one.barred_by for one in plan.left_over):
        return plan
    asking = Asking(shelf, plan, wishes or Wishes(), most=1)
    if len(asking.problem.windows) > ASKED / 3:
        return plan
    plan = replace(plan, spares=spares(asking))
    waiting = {job.key: job for job in asking.waiting}
    if not waiting or len(waiting) * len(asking.problem.windows) > ASKED:
        return plan
    left = (
        replace(one, why=asking.binding(waiting[one.reel]).says) if one.reel in waiting else one
        for one in plan.left_over
    )
    return replace(plan, left_over=tuple(left))
