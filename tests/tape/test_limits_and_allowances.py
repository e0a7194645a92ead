"""Limits for people and tape, climate, allowances, against published figures."""

from fractions import Fraction

import pytest

from core.tape.physics.exposure import (
    A_M_PER_OERSTED,
    field_a_m,
    field_trouble,
    isopropanol_mg_m3,
    lifting_caution,
    noise_minutes,
    oersted,
)
from core.tape.physics.keeping import acclimatise_hours, climate_trouble
from core.tape.where import figure, source_of


# NIOSH noise topic page: 85 dB(A) for 8 h, 88 for 4 h, 91 for 2 h, 94 for 60 min, 97 for 30, 100 for 15.
@pytest.mark.parametrize(("dba", "minutes"), [(85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15)])
def test_minutes_of_noise(dba: float, minutes: float) -> None:
    assert noise_minutes(dba) == pytest.approx(minutes)


def test_isopropanol_in_air() -> None:
    # NIOSH Pocket Guide: 400 ppm is 980 mg/m³, 500 ppm 1225, at 2.46 mg/m³ for each ppm
    assert isopropanol_mg_m3(400) == pytest.approx(980, abs=6)
    assert isopropanol_mg_m3(500) == pytest.approx(1225, abs=6)


def test_a_deck_is_not_lifted_by_one() -> None:
    # one machine's page: 94.8 kg; NIOSH lifting constant 23 kg
    assert "trolley" in str(lifting_caution(94.8))
    assert lifting_caution(5.2) is None


# IASA-TC 05 and the IASA paper: 5 Oe alternating, 25 Oe steady, given as 400 and 2000 A/m.
@pytest.mark.parametrize(("oe", "a_m", "published"), [(5, 397.9, 400), (25, 1989.4, 2000)])
def test_fields(oe: float, a_m: float, published: float) -> None:
    assert oe * A_M_PER_OERSTED == pytest.approx(a_m, abs=0.1)
    assert oersted(published) == pytest.approx(oe, rel=0.01)


def test_one_millitesla_alternating_is_too_much_near_a_tape() -> None:
    # 5 Oe in air is 0.5 mT
    assert field_a_m(0.5) == pytest.approx(397.9, abs=0.1)
    assert "15 cm" in str(field_trouble(field_a_m(1), alternating=True))
    assert field_trouble(field_a_m(1), alternating=False) is None


# CLIR 54, a maker's guide: over 8 °C apart, 4 h for each 10 °C.
@pytest.mark.parametrize(("apart", "hours"), [(15, 6), (34, Fraction(68, 5)), (8, 0), (5, 0), (-20, 8)])
def test_time_to_reach_the_room(apart: int, hours: Fraction) -> None:
    assert acclimatise_hours(apart) == hours


# SMPTE RP-103 as NFSA reports it; ISO 18923: not below 8 °C.
@pytest.mark.parametrize(
    ("celsius", "humidity", "words"),
    [(17, 30, []), (5, 30, ["lubricant"]), (24, 60, ["warmer", "damper"]), (12, 20, ["colder", "drier"])],
)
def test_a_place_to_keep_tape(celsius: float, humidity: float, words: list[str]) -> None:
    found = climate_trouble(celsius, humidity)
    assert len(found) == len(words)
    assert all(word in said for word, said in zip(words, found, strict=True))


def test_the_owners_own_figure_stands_in_place_of_the_tables() -> None:
    own = {"lineup.level_db": {"value": 0.2, "note": "my decks are better"}}
    found = source_of("lineup.level_db", own)
    assert (found.value, figure("lineup.level_db", own)) == (0.2, 0.2)
    assert found.row.standing == "the owner's own"
    assert "my decks" in str(found)
    assert source_of("lineup.balance_db", own).value == 0.2
    assert figure("lineup.level_db") == 0.5
