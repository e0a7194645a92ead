"""Limits for people and tape: what the cautions say of them, against published figures."""

from math import pi

import pytest

from core.tape.cautions import cautions
from core.tape.where import figure, source_of


def said(step: str, key: str) -> str:
    """What that caution says, as a sheet prints it."""
    (found,) = (one for one in cautions(step) if one.key == key)
    return f"{found.hazard} {found.usual}"


# NIOSH noise topic page: 85 dB(A) for 8 h, 88 for 4 h, 91 for 2 h, 94 for 60 min, 97 for 30, 100 for 15.
@pytest.mark.parametrize(("dba", "minutes"), [(85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15)])
def test_minutes_of_noise(dba: float, minutes: float) -> None:
    over = (dba - figure("noise.limit_dba")) / figure("noise.exchange_db")
    assert figure("noise.hours") * 60 / 2**over == pytest.approx(minutes)


def test_the_order_says_how_long_a_tone_and_listening_are_borne() -> None:
    assert "94 dB(A) is too much after an hour, 100 after a quarter" in said("align", "align-tones")
    told = said("verify", "verify-hearing")
    limit, halves = figure("noise.limit_dba"), figure("noise.exchange_db")
    assert f"{limit} dB(A) is the limit for eight hours, half the time for each {halves} dB more" in told


def test_the_caution_of_a_deck_says_that_one_person_does_not_lift_it() -> None:
    # one machine's page: 94.8 kg; NIOSH lifting constant 23 kg
    told = said("align", "lifting-machine")
    assert f"is {figure('lifting.one_inch_machine_kg')} kg" in told and "trolley" in told
    assert f"{figure('lifting.constant_kg')} kg is the most for one" in told


# IASA-TC 05 and the IASA paper: 5 Oe alternating, 25 Oe steady, given as 400 and
# 2000 A/m; 1 Oe is 1000/4 pi A/m.
@pytest.mark.parametrize(("oe", "key"), [(5, "field.ac_a_m"), (25, "field.dc_a_m")])
def test_fields(oe: float, key: str) -> None:
    assert oe * 1000 / (4 * pi) == pytest.approx(figure(key), rel=0.01)


def test_the_owners_own_figure_stands_in_place_of_the_tables() -> None:
    own = {"lineup.level_db": {"value": 0.2, "note": "my decks are better"}}
    found = source_of("lineup.level_db", own)
    assert (found.value, figure("lineup.level_db", own)) == (0.2, 0.2)
    assert found.row.standing == "the owner's own"
    assert "my decks" in str(found)
    assert source_of("lineup.balance_db", own).value == 0.2
    assert figure("lineup.level_db") == 0.5
