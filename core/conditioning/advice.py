"""What may be done with a tape: the decision table asked for one tape, with reasons and the cheapest test."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from core.conditioning.known import Known
from core.tape.tables import Row, table
from core.tape.treatments import Programme, house_programme
from core.values import dataclass
from core.words import often

Word = Literal[
    "play", "test first", "warm", "never", "cold", "other way", "find the cause", "look first", "which stock"
]
WORDS: tuple[Word, ...] = (
    "play", "test first", "warm", "never", "cold", "other way", "find the cause", "look first", "which stock",
)  # fmt: skip
#: With these no reason of the owner's opens a chamber.
NO_HEAT: frozenset[Word] = frozenset(("never", "cold", "other way", "find the cause", "which stock"))
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
    """What may be done with a tape: one word, by which rule, why, and what is not known.

    `barred_by`: why it goes neither on a deck nor into heat; None where it may. `no_heat`: why no chamber
    takes it, whatever reason is given; None where one may. `asks`: why loading it takes the owner's reason;
    None where it does not. `programme` is there only with `warm`, `proposed` where the studio has none for
    its width and one is published. `had` counts earlier treatments, `failed` those that did not help. `test`
    is the cheapest one that would settle what is open. `first`, `now` and `rest`: what to do before it is
    lifted out should it be in the heat all the same, with it, and with the rest of that load. `stop`: what to
    do with it should its tape run all the same. `path`: how a deck's path is wiped over which it ran; empty
    where it leaves nothing there.
    """

    word: Word
    rule: str
    reasons: tuple[Reason, ...]
    unknown: tuple[str, ...]
    how: str = ""
    programme: Programme | None = None
    proposed: Programme | None = None
    had: int = 0
    failed: int = 0
    splices: SpliceWork = "none"
    test: QuickTest | None = None
    barred_by: str | None = None
    no_heat: str | None = None
    asks: str | None = None
    first: str = ""
    now: str = ""
    rest: str = ""
    stop: str = ""
    path: str = ""

    @property
    def because(self) -> str:
        """The first reason, in a sentence."""
        return self.reasons[0].says


def advise(
    known: Known,
    programme: Programme | None,
    rules: Sequence[Row] | None = None,
    no_programme: str = "no programme of warmth for its width",
) -> Advice:
    """What may be done with a tape of which this is known.

    `programme` is what the studio gives its width; None where it has none, with the reason in
    `no_programme`. `rules` stand in for the table's rows. However they read, a tape that must never be
    warmed is not.
    """
    rows = tuple(table("decisions").values()) if rules is None else rules
    rule = next(row for row in rows if _holds(row.values["when"], known))
    why = _said(rule, known)
    never = known.never_heat
    word: Word = rule.values["word"]
    if word == "warm" and never is not None:
        word, why = "never", never
    third = _third(known) if word == "warm" else None
    lacking = no_programme if word == "warm" and programme is None else None
    return Advice(
        word=word,
        rule=rule.key,
        reasons=(Reason(why, f"decisions.{rule.key}"), *_further(known)),
        unknown=known.unknown,
        how=_WARMED if word == "warm" else rule.values["how"],
        programme=_course(known, programme) if word == "warm" else None,
        proposed=_published(known) if lacking else None,
        had=known.treated,
        failed=known.failed,
        splices=_splices(known, warmed=word == "warm"),
        test=quick_test(rule.values["test"]),
        barred_by=why if rule.values["bars"] or word == "never" else lacking or third,
        no_heat=why if word in NO_HEAT or (never and rule.values["bars"]) else never or lacking,
        asks=None if word in NO_HEAT else third if word == "warm" else _ASKS[word].format(why=why),
        first=rule.values.get("first", ""),
        now=rule.values.get("now", _COOL),
        rest=rule.values.get("rest", "The rest of the load stays in."),
        stop=rule.values.get("stop", _STOP),
        path=rule.values.get("path", CLEAN if rule.values["bars"] or word == "warm" else ""),
    )


_WARMED = "let it cool, look at every joint, then play it; do not wind it fast"
_COOL = "lay it flat, let it cool as long as it was warm, and do not play it before"
_STOP = "do not wind it: note the place, lift it off with both reels as it lies, clean heads and guides"
CLEAN = "clean heads and guides, and let them dry"
_ASKS = {
    "play": "it needs no warmth: {why}",
    "test first": "it is to be tested first: {why}",
    "look first": "it is to be looked at first: {why}",
}


def _said(rule: Row, known: Known) -> str:
    reason: str = rule.values["reason"]
    told = {"base": known.base, "stock_base": known.stock_base}
    return reason.format(like=known.like, set_aside=known.set_aside, **told)


def _third(known: Known) -> str | None:
    if known.failed < 2:
        return None
    times = often(known.failed)
    return f"warmed {times} and it did not help: another load needs a reason of yours"


def _course(known: Known, programme: Programme | None) -> Programme | None:
    if programme is None or known.own_hours is None:
        return programme
    return replace(programme, hours=known.own_hours)


def _published(known: Known) -> Programme | None:
    return house_programme(known.width_in) if known.width_in else None


def quick_test(key: str) -> QuickTest | None:
    """The test of that key; None for no key."""
    if not key:
        return None
    told = table("quick_tests")[key].values
    return QuickTest(key, told["what"], told["how"], told["tells"], told["minutes"])


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


def _holds(when: Mapping[str, object], known: Known) -> bool:
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
    "undated": lambda known, wanted: known.undated is wanted,
    "seen_otherwise": lambda known, wanted: known.seen_otherwise is wanted,
    "gum": lambda known, wanted: known.gum is wanted,
    "sick": lambda known, wanted: known.sick is wanted,
    "playable": lambda known, wanted: known.playable is wanted,
    "inspected": lambda known, wanted: known.inspected is wanted,
    "dated": lambda known, wanted: (known.year is not None) is wanted,
    "year_from": lambda known, year: known.year is not None and known.year >= year,
    "failed_from": lambda known, count: known.failed >= count,
    "set_aside": lambda known, wanted: bool(known.set_aside) is wanted,
    "like": lambda known, wanted: bool(known.like) is wanted,
    "base_doubt": lambda known, wanted: known.base_doubt is wanted,
    "tried": lambda known, wanted: known.tried is wanted,
}
