"""Which treatment, if any: the decision table asked for one tape, with reasons and the cheapest test."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from core.conditioning.known import Known
from core.tape.tables import Row, table
from core.tape.treatments import Programme
from core.words import often

Action = Literal["play as it is", "condition", "test first", "cold play", "specialist", "set aside"]
SpliceWork = Literal["none", "before it is played", "after it is warmed"]


@dataclass(frozen=True, slots=True)
class Reason:
    """One sentence and the key of the figure or row that it rests on, as `source_of` takes it."""

    says: str
    key: str


@dataclass(frozen=True, slots=True)
class QuickTest:
    """A cheap test: what to do, what it tells, and the minutes it takes."""

    key: str
    what: str
    how: str
    tells: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do with a tape, by which rule, why, and what is not known.

    `programme` is there only with `condition`; `had` counts earlier treatments. `test` is the cheapest one
    that would settle what is open. `barred_by` is the sentence with which the planner leaves the tape out.
    """

    action: Action
    rule: str
    reasons: tuple[Reason, ...]
    unknown: tuple[str, ...]
    how: str = ""
    programme: Programme | None = None
    had: int = 0
    splices: SpliceWork = "none"
    test: QuickTest | None = None
    barred_by: str | None = None


def advise(
    known: Known,
    programme: Programme | None,
    rules: Sequence[Row] | None = None,
    no_programme: str = "no programme of warmth for its width",
) -> Advice:
    """What to do with a tape of which this is known.

    `programme` is what the studio gives its width; None where it has none, with the reason in
    `no_programme`. `rules` stand in for the table's rows. However they read, a tape that must never be
    warmed is not: it is set aside instead.
    """
    rows = tuple(table("decisions").values()) if rules is None else rules
    rule = next(row for row in rows if _holds(row.values["when"], known))
    reasons = (Reason(rule.values["reason"], f"decisions.{rule.key}"), *_further(known))
    if rule.values["action"] == "condition":
        if known.never_heat is not None:
            return _never_warmed(known, rule, known.never_heat)
        if programme is None:
            look = quick_test("look")
            return Advice("test first", rule.key, reasons, known.unknown, test=look, barred_by=no_programme)
        return _warmed(known, programme, rule, reasons)
    return Advice(
        action=rule.values["action"],
        rule=rule.key,
        reasons=reasons,
        unknown=known.unknown,
        how=rule.values["how"],
        had=known.treated,
        splices=_splices(known, warmed=False),
        test=quick_test(rule.values["test"]),
        barred_by=rule.values["reason"] if rule.values["bars"] else None,
    )


def quick_test(key: str) -> QuickTest | None:
    """The test of that key; None for no key."""
    if not key:
        return None
    told = table("quick_tests")[key].values
    return QuickTest(key, told["what"], told["how"], told["tells"], told["minutes"])


def _never_warmed(known: Known, rule: Row, why: str) -> Advice:
    reasons = (Reason(why, "decisions.sick-other-base"),)
    return Advice("set aside", rule.key, reasons, known.unknown, had=known.treated, barred_by=why)


def _warmed(known: Known, programme: Programme, rule: Row, reasons: tuple[Reason, ...]) -> Advice:
    return Advice(
        action="condition",
        rule=rule.key,
        reasons=reasons,
        unknown=known.unknown,
        how="let it cool, look at every joint, then play it; do not wind it fast",
        programme=programme if known.own_hours is None else replace(programme, hours=known.own_hours),
        had=known.treated,
        splices=_splices(known, warmed=True),
    )


def _splices(known: Known, *, warmed: bool) -> SpliceWork:
    if not known.splices and "splices" not in known.symptoms:
        return "none"
    return "after it is warmed" if warmed else "before it is played"


def _further(known: Known) -> tuple[Reason, ...]:
    """What else bears on this tape, whatever the rule."""
    found = []
    if known.treated:
        times = often(known.treated)
        found.append(Reason(f"treated {times} already: the effect passes each time", "treatments.maker-1997"))
    if known.failed == 1:
        found.append(
            Reason("give the second treatment hours of its own, longer ones", "treatments.survey-2010")
        )
    if known.splices or "splices" in known.symptoms:
        found.append(Reason("old joints let go, most of all after warming", "cautions.repair-adhesive"))
    if "edge" in known.symptoms:
        found.append(Reason("damaged edges: wind it gently and watch the guides", "winding.thin_mil"))
    if known.sick and known.stock == "yes" and "sticky" not in known.symptoms:
        found.append(
            Reason(
                "not seen to be sticky yet; playing it to find out can take the coating off",
                "decisions.condition-listed",
            )
        )
    return tuple(found)


def _holds(when: Mapping[str, Any], known: Known) -> bool:
    # A plain loop: a whole shelf asks this tens of thousands of times, and all() takes three times as long.
    for name, wanted in when.items():  # noqa: SIM110
        if not _CONDITIONS[name](known, wanted):
            return False
    return True


_CONDITIONS: dict[str, Any] = {
    "symptom": lambda known, words: not known.symptoms.isdisjoint(words),
    "no_symptom": lambda known, words: known.symptoms.isdisjoint(words),
    "base": lambda known, words: known.base in words,
    "stock": lambda known, words: known.stock in words,
    "route": lambda known, words: known.route in words,
    "back_coat": lambda known, words: known.back_coat in words,
    "storage": lambda known, words: known.storage in words,
    "sick": lambda known, wanted: known.sick is wanted,
    "playable": lambda known, wanted: known.playable is wanted,
    "inspected": lambda known, wanted: known.inspected is wanted,
    "dated": lambda known, wanted: (known.year is not None) is wanted,
    "year_from": lambda known, year: known.year is not None and known.year >= year,
    "failed_from": lambda known, count: known.failed >= count,
}
