"""No combination of what is known sends acetate, paper, PVC, vinegar, mould or an unknown base into heat."""

from dataclasses import replace
from fractions import Fraction
from itertools import chain, combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.conditioning.advice import WORDS, Advice, advise
from core.conditioning.known import BACK_COATS, BASES, ROUTES, STOCK_WORDS, STORAGES, SYMPTOMS, Known
from core.tape.tables import Row, table
from core.tape.treatments import programme

COURSE = programme(54, 8)
ALL_SYMPTOMS = [
    frozenset(s) for s in chain.from_iterable(combinations(SYMPTOMS, n) for n in range(len(SYMPTOMS) + 1))
]

KNOWN = st.builds(
    Known,
    base=st.sampled_from(BASES),
    stock=st.sampled_from(STOCK_WORDS),
    route=st.sampled_from(ROUTES),
    width_in=st.sampled_from([None, Fraction(1, 4), Fraction(1), Fraction(2)]),
    back_coat=st.sampled_from(BACK_COATS),
    year=st.one_of(st.none(), st.integers(1930, 2030)),
    symptoms=st.frozensets(st.sampled_from(SYMPTOMS)),
    inspected=st.booleans(),
    storage=st.sampled_from(STORAGES),
    playable=st.booleans(),
    treated=st.integers(0, 5),
    failed=st.integers(0, 4),
    splices=st.integers(0, 20),
    own_hours=st.one_of(st.none(), st.just(Fraction(12))),
    like=st.sampled_from(["", "Ampex 456"]),
    stock_base=st.sampled_from(BASES),
    base_seen=st.booleans(),
    tried=st.booleans(),
    set_aside=st.sampled_from(["", "blank"]),
)


def held(known: Known, advice: Advice) -> None:
    """Everything that must hold of any advice."""
    if known.base != "polyester" or known.symptoms & {"vinegar", "mould"}:
        assert advice.word != "warm"
        assert advice.no_heat
        assert advice.programme is None
    if advice.word != "warm":
        assert advice.programme is None
    if known.symptoms & {"vinegar", "mould"}:
        assert advice.word == "never"
        assert advice.barred_by
    if "squeal" in known.symptoms and not known.sick:
        assert advice.word != "play"
    suspect = known.base in ("polyester", "unknown") and not known.sick and not known.tried
    if known.stock == "unknown" and (known.year is None or known.back_coat == "yes") and suspect:
        assert advice.word != "play"
    if known.stock == "test first" and suspect:
        assert advice.word != "play"
    if known.sick and not known.playable:
        assert advice.word != "play"
    if advice.word == "warm" and known.failed >= 2:
        assert advice.asks
        assert advice.barred_by
    if known.symptoms & {"loose oxide", "layers adhere", "white powder"} or known.like or known.set_aside:
        assert advice.no_heat
        assert advice.barred_by
    assert advice.word in WORDS
    assert (
        advice.no_heat
        or advice.asks
        or (advice.word, advice.programme) == ("warm", COURSE)
        or known.own_hours
    )
    assert advice.reasons


def test_over_every_base_symptom_stock_and_history() -> None:
    for base, symptoms, stock, playable, failed, inspected in product(
        BASES, ALL_SYMPTOMS, STOCK_WORDS, (False, True), (0, 1, 2), (False, True)
    ):
        known = Known(
            base=base, stock=stock, symptoms=symptoms, playable=playable, failed=failed, inspected=inspected
        )
        held(known, advise(known, COURSE))


def test_over_every_route_back_coat_year_and_storage() -> None:
    few = [frozenset(), *(frozenset({one}) for one in SYMPTOMS), frozenset({"sticky", "squeal"})]
    for base, symptoms, stock, route, coat, year, storage, playable in product(
        BASES, few, STOCK_WORDS, ROUTES, BACK_COATS, (None, 1955, 1980), STORAGES, (False, True)
    ):
        known = Known(
            base=base,
            stock=stock,
            route=route,
            back_coat=coat,
            year=year,
            storage=storage,
            symptoms=symptoms,
            playable=playable,
        )
        held(known, advise(known, COURSE))


@settings(max_examples=500)
@given(known=KNOWN)
def test_over_anything_at_all(known: Known) -> None:
    held(known, advise(known, COURSE))


@settings(max_examples=300)
@given(known=KNOWN, bad=st.sampled_from(sorted(table("decisions"))))
def test_not_even_a_table_that_was_spoilt(known: Known, bad: str) -> None:
    row = table("decisions")[bad]
    spoilt = replace(row, values={**row.values, "when": {}, "word": "warm", "bars": False})
    advice = advise(known, COURSE, rules=[spoilt])
    if known.base != "polyester" or known.symptoms & {"vinegar", "mould"}:
        assert advice.word == "never"
        assert advice.no_heat
        assert advice.programme is None


def test_the_table_does_send_a_sound_case_into_warmth() -> None:
    known = Known(base="polyester", stock="yes", symptoms=frozenset({"sticky"}))
    assert advise(known, COURSE).word == "warm"


@pytest.mark.parametrize("celsius", [60.1, 65, 70, 130, float("nan"), float("inf")])
def test_no_programme_is_hotter_than_the_hard_stop(celsius: float) -> None:
    # practice; harm is reported above 70 °C (ARSC list, May 2004)
    with pytest.raises(ValueError):
        programme(celsius, 8)


def test_the_last_row_takes_what_is_left() -> None:
    rows: list[Row] = list(table("decisions").values())
    assert rows[-1].values["when"] == {}
