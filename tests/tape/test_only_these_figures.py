"""Planner, estimates and sheets take their figures from the tables: a row changed is another thing told."""

import ast
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from core.conditioning.loads.chamber_flags import flags, turns
from core.conditioning.loads.chamber_log import ChamberLog, Member, Reading
from core.evening.learnt import ENOUGH
from core.lineup.tolerance import tolerances
from core.lineup.tones import tones
from core.planning.answers.simulate import Odds
from core.quantities import Quantity
from core.reels.estimate import estimate
from core.reels.minutes import repair_minutes, wants_gentle_winding
from core.reels.reel import Reel
from core.standing.left_to_play import BACK_SECONDS
from core.studio.studio import Minutes, Studio
from core.tape.tables import table
from core.tape.treatments import programme
from core.tape.where import figure

AT = datetime(2026, 12, 1, 19, tzinfo=UTC)
INCH = Quantity("1 in", Fraction(1))
REEL = Reel("R-1", width=INCH, length=Quantity("2500 ft", Fraction(30_000)), splices=1, stock="Sony PR-150",
            base="polyester", thickness=Quantity("1.5 mil", Fraction(15, 10_000)))  # fmt: skip
STUDIO = Studio("Harbour Lane", "UTC")
WARM = ChamberLog("C1", AT, (Member("R-1", Fraction(8)),), 54, Fraction(2),
                  (Reading(AT + timedelta(hours=2), 56),), (AT + timedelta(minutes=140),))  # fmt: skip


@pytest.fixture
def put(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, Any], None]:
    """Puts another value into a row of the table of figures."""

    def change(key: str, value: Any) -> None:
        row = table("figures")[key]
        monkeypatch.setitem(table("figures"), key, replace(row, values={**row.values, "value": value}))

    return change


def one_course() -> Any:
    return programme(54, 8, turn_hours=2, cool_hours=8, playable_days=14)


def flagged() -> list[str]:
    return [flag.kind for flag in flags(WARM, one_course(), AT + timedelta(hours=3))]


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("length.given_share", 0.07, lambda: estimate(REEL, STUDIO).sure),
        ("repair.least_minutes", 25, lambda: repair_minutes(REEL, STUDIO)),
        ("winding.thin_mil", 1.6, lambda: wants_gentle_winding(replace(REEL, splices=0))),
        ("heat.reading_band_c", 1, flagged),
        ("heat.hard_stop_c", 56, flagged),
        ("heat.settle_hours", 3, lambda: flags(
            replace(WARM, readings=(Reading(AT + timedelta(hours=2), 40),)), one_course(), AT)),
        ("heat.turn_late_minutes", 5, lambda: turns(WARM, one_course(), AT + timedelta(hours=3))[0].state),
        ("heat.playable_days", 9, lambda: programme(54, 8).playable_days),
        ("heat.turn_hours", 3, lambda: programme(54, 8).turn_hours),
        ("lineup.level_db", 0.3, tolerances),
        ("lineup.treble_from_hz", 9000, lambda: tolerances().band_db(10_000)),
        ("lineup.level_hz", 700, lambda: tones(15)),
    ],
)  # fmt: skip
def test_what_is_told_is_what_the_row_says(
    put: Callable[[str, Any], None], key: str, value: Any, told: Callable[[], Any]
) -> None:
    before = told()
    put(key, value)
    assert told() != before


@pytest.mark.parametrize("set_", ["usual-fast", "response-fast"])
def test_the_tones_of_a_line_up_are_those_of_the_table(monkeypatch: pytest.MonkeyPatch, set_: str) -> None:
    row, use = table("tones")[set_], "response" if set_.startswith("response") else "bass"
    monkeypatch.setitem(table("tones"), set_, replace(row, values={**row.values, use: [55]}))
    assert [tone.hz for tone in tones(15, "many frequencies") if tone.use == use] == [55]


def test_a_studio_whose_file_says_nothing_has_the_tables_minutes() -> None:
    here = Minutes()
    for name in ("identify", "load", "clean", "splice", "verify", "listen_share"):
        assert getattr(here, name) == Fraction(str(figure(f"minutes.{name}"))), name


def test_the_few_defaults_that_stand_in_code_are_the_tables_own() -> None:
    odds = Odds()
    for name in ("runs_over", "over_by", "helper_away", "longer_treatment"):
        assert getattr(odds, name) == figure(f"promise.{name}"), name
    assert figure("pass.back_seconds") == BACK_SECONDS
    assert figure("learnt.enough") == ENOUGH


#: Numbers that belong to units and formulas (60 min, 24 h, 1440 min a day, 1000 mil an inch, 12 in a foot,
#: 9/5 of Fahrenheit, 20 log) and to writing (120: feet instead of inches); bounds of what can be typed.
_OF_UNITS = {0, 1, 2, 3, 5, 7, 8, 9, 10, 12, 14, 14.9, 15, 17, 20, 24, 60, 100, 120, 254, 1000, 1440, 10_000}
_OF_TYPING = {40, 150, 50_000, 30_000, 0.05, 0.1, 1e-9, 2e-6}


@pytest.mark.parametrize("room", ["reels", "conditioning", "lineup"])
def test_no_figure_of_the_trade_hides_in_the_code(room: str) -> None:
    odd = []
    for file in sorted((Path(__file__).parents[2] / "core" / room).glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            number = isinstance(node, ast.Constant) and type(node.value) in (int, float)
            if number and node.value not in _OF_UNITS | _OF_TYPING:
                odd.append(f"{file.name}:{node.lineno}: {node.value}")
    assert odd == []
