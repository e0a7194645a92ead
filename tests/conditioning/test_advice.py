"""Which treatment, if any: single cases, each with where it is published."""

from fractions import Fraction

import pytest

from core.conditioning.advice import advise, quick_test
from core.conditioning.known import Known
from core.tape.tables import table
from core.tape.treatments import house_programme
from core.tape.where import source_of

INCH = house_programme(1)


def known(symptoms: str = "", **rest: object) -> Known:
    return Known(symptoms=frozenset(filter(None, symptoms.split("; "))), **rest)  # type: ignore[arg-type]


def test_a_one_inch_reel_gets_eight_hours_at_130_f_turned_every_two() -> None:
    # common practice
    advice = advise(known(base="polyester", stock="yes", width_in=Fraction(1)), INCH)
    assert advice.word == "warm"
    assert advice.programme is not None
    assert advice.programme.celsius == pytest.approx((130 - 32) * 5 / 9, abs=0.1)
    assert (advice.programme.hours, advice.programme.turn_hours) == (8, 2)
    assert advice.programme.cool_hours >= 8  # cool-down equal to the warming: ARSC list, June 2006


def test_a_suspect_stock_is_treated_before_it_is_played_to_find_out() -> None:
    # Restoration Tips & Notes, Degrading tapes
    advice = advise(known(base="polyester", stock="yes"), INCH)
    assert advice.word == "warm"
    assert any("not seen to be sticky" in reason.says for reason in advice.reasons)


def test_squeal_of_a_stock_that_cold_helps_is_played_cold_not_warmed() -> None:
    # ARSC list, January 2016; Restoration Tips & Notes: 4 °C worked, glass transition about 8 °C
    advice = advise(known("squeal", base="polyester", stock="test first", route="cold"), INCH)
    assert (advice.word, advice.programme) == ("cold", None)
    assert source_of("cold.room_c").value < source_of("cold.glass_transition_c").value


def test_mould_and_vinegar_come_before_the_owners_own_reason() -> None:
    """What is to be done with the air of the chamber is told, whatever else the reel was set aside for."""
    mould = advise(known("mould", base="polyester", set_aside="lent out"), INCH)
    assert mould.first == "the fan off, gloves and a particle mask on first"
    assert advise(known("vinegar", set_aside="lent out"), INCH).rest.startswith("Air the chamber")
    assert advise(known("loose oxide", set_aside="lent out"), INCH).because == "set aside: lent out"


def test_squeal_without_a_cause_is_never_played_as_it_is() -> None:
    advice = advise(known("squeal", base="polyester", stock="no", year=1985), INCH)
    assert advice.word == "find the cause"
    assert advice.test is not None
    assert advice.test.key == "spare-deck"
    assert advice.barred_by


def test_sticky_on_an_unknown_base_is_held_to_the_light() -> None:
    # acetate lets light through, polyester looks dark: a page on telling them apart
    advice = advise(known("sticky"), INCH)
    assert advice.word == "look first"
    assert advice.test is not None
    assert advice.test.key == "light"
    assert "base" in advice.unknown


def test_layers_that_adhere_are_unwound_slowly_not_warmed() -> None:
    # AV Media Matters list, 2001: British Library experience
    assert advise(known("layers adhere; sticky", base="polyester"), INCH).word == "other way"


def test_a_back_coat_on_an_unknown_stock_is_a_suspect() -> None:
    assert advise(known(base="polyester", back_coat="yes", year=1980), INCH).word == "test first"


def test_an_unknown_stock_without_a_back_coat_that_is_dated_plays() -> None:
    # table of a recorder mailing list: without a back coat the odds are good
    assert advise(known(base="polyester", back_coat="no", year=1980), INCH).word == "play"


def test_an_undated_unknown_stock_is_tested_first() -> None:
    assert advise(known(base="polyester", back_coat="no"), INCH).word == "test first"


def test_a_tape_of_any_make_kept_damp_is_tested_first() -> None:
    # ARSC list, December 2015
    assert advise(known(base="polyester", stock="no", storage="damp"), INCH).word == "test first"


def test_a_treated_tape_plays_while_its_time_lasts() -> None:
    assert advise(known("sticky", base="polyester", playable=True), INCH).word == "play"


def test_a_sticky_acetate_that_is_still_playable_is_not_barred() -> None:
    assert advise(known("sticky", base="acetate", playable=True), INCH).barred_by is None


def test_the_second_treatment_has_hours_of_its_own() -> None:
    advice = advise(known("sticky", base="polyester", treated=1, failed=1, own_hours=Fraction(16)), INCH)
    assert advice.word == "warm"
    assert advice.had == 1
    assert advice.programme is not None
    assert advice.programme.hours == 16


def test_after_the_second_failure_a_third_load_takes_a_reason() -> None:
    advice = advise(known("sticky", base="polyester", treated=2, failed=2), INCH)
    assert (advice.word, advice.no_heat) == ("warm", None)
    assert advice.asks
    assert advice.barred_by == advice.asks


def test_joints_are_remade_after_warming_and_else_before_playing() -> None:
    # joints let go after warming: ARSC list, June 2005, and common practice
    assert advise(known("sticky; splices", base="polyester"), INCH).splices == "after it is warmed"
    assert advise(known("splices", base="polyester", stock="no"), INCH).splices == "before it is played"
    assert advise(known(base="polyester", stock="no"), INCH).splices == "none"


def test_a_tape_nobody_has_looked_at_is_looked_at() -> None:
    advice = advise(known(base="polyester", stock="yes", inspected=False), INCH)
    assert advice.word == "look first"
    assert advice.barred_by is None
    assert advice.test == quick_test("look")


def test_without_a_programme_for_its_width_it_is_left_out() -> None:
    advice = advise(known("sticky", base="polyester", width_in=Fraction(1)), None)
    assert (advice.word, advice.programme, advice.proposed) == ("warm", None, INCH)
    assert advice.barred_by
    assert advice.no_heat


def test_acetate_that_is_well_plays_gently_and_strips_would_tell() -> None:
    advice = advise(known(base="acetate", stock="no", year=1958), INCH)
    assert advice.word == "play"
    assert "never warmed" in advice.how
    assert advice.test is not None
    assert advice.test.key == "strips"


def test_every_reason_leads_to_a_source() -> None:
    cases = [
        known("sticky; splices; edge", base="polyester", treated=1, failed=1),
        known(base="polyester", stock="yes", treated=3),
        known("mould"),
    ]
    for case in cases:
        for reason in advise(case, INCH).reasons:
            assert source_of(reason.key).row.source


def test_every_row_names_a_test_that_exists() -> None:
    for row in table("decisions").values():
        assert row.values["test"] == "" or quick_test(row.values["test"]) is not None


@pytest.mark.parametrize(
    "wrong", [{"base": "wood"}, {"stock": "?"}, {"symptoms": frozenset({"odd"})}, {"failed": -1}]
)
def test_a_word_that_nobody_uses_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError):
        Known(**wrong)  # type: ignore[arg-type]
