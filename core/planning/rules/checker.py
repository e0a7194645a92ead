"""Checks a plan against the ten rules, knowing nothing of how it was made; every plan passes here first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from core.plan import Plan
from core.planning.rules.assumed import assumptions
from core.planning.rules.case import Case
from core.planning.rules.heat.chamber import chamber
from core.planning.rules.heat.conditioning import conditioning
from core.planning.rules.heat.never_into_heat import never_into_heat
from core.planning.rules.horizon import horizon
from core.planning.rules.lengths import lengths
from core.planning.rules.line_up import line_up
from core.planning.rules.loud import loud
from core.planning.rules.one_person import one_person
from core.planning.rules.repair import repair
from core.planning.rules.score import scored
from core.planning.rules.stages import stages
from core.shelf import Shelf


class Violation(NamedTuple):
    """What breaks a rule: which of the rules, and a sentence."""

    rule: Callable[[Case], Iterator[str]]
    says: str


ALL = (
    horizon,
    one_person,
    chamber,
    never_into_heat,
    conditioning,
    repair,
    line_up,
    loud,
    lengths,
    stages,
    assumptions,
    scored,
)


def violations(shelf: Shelf, plan: Plan) -> tuple[str, ...]:
    """Every sentence about what breaks a rule; empty for a plan that may be handed out."""
    return tuple(one.says for one in broken(shelf, plan))


def broken(shelf: Shelf, plan: Plan) -> Iterator[Violation]:
    """All that breaks a rule, by the order of the rules."""
    case = Case(shelf, plan)
    return (Violation(rule, says) for rule in ALL for says in rule(case))
