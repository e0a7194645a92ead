"""Checks a plan against the ten rules, knowing nothing of how it was made; every plan passes here first."""

from __future__ import annotations

from core.plan import Plan
from core.planning.rules.case import Case
from core.planning.rules.ten_rules import ALL
from core.shelf import Shelf


def violations(shelf: Shelf, plan: Plan) -> tuple[str, ...]:
    """Every sentence about what breaks a rule; empty for a plan that may be handed out."""
    case = Case(shelf, plan)
    return tuple(sentence for rule in ALL for sentence in rule(case))
