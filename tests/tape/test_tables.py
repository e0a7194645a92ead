"""Every row names its source and how it stands; every figure can be asked for."""

import subprocess
import sys

import pytest
from wholetable import each_holds

from core.tape.cautions import DEFERS, STEPS, cautions
from core.tape.sources import STANDINGS, source, sources
from core.tape.tables import Row, names, table
from core.tape.where import all_keys, figure, source_of


def every_row() -> list[Row]:
    """The rows of all tables."""
    return [row for name in names() for row in table(name).values()]


@pytest.mark.parametrize("name", names())
def test_a_row_names_source_and_standing(name: str) -> None:
    def holds(row: Row) -> None:
        assert row.source
        assert row.standing in STANDINGS
        assert row.standing.casefold() in row.cited.casefold()

    each_holds(table(name).values(), holds, name=lambda row: f"{row.table}.{row.key}")


def test_what_is_verified_or_reported_has_a_source_that_can_be_found() -> None:
    for row in every_row():
        if row.standing in ("verified", "reported"):
            assert any(one.where for one in row.source), row.key


def test_what_is_from_memory_says_so_and_what_says_memory_is_not_verified() -> None:
    for row in every_row():
        keys = {one.key for one in row.source}
        if keys == {"memory"}:
            assert row.standing == "from memory", row.key


def test_no_source_is_listed_in_vain() -> None:
    assert {one.key for row in every_row() for one in row.source} == set(sources())


def test_every_figure_is_shown_with_its_source() -> None:
    def holds(key: str) -> None:
        found = source_of(key)
        assert str(found.row.source[0]) in str(found)
        assert found.row.standing.casefold() in str(found).casefold()

    each_holds(all_keys(), holds)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("equalisations.nab-15.t_high_us", 50),
        ("heat.harm_c", 70),
        ("figures.heat.harm_c", 70),
        ("stocks.scotch-226.sticky", "yes"),
        ("reel_lengths.r7-long.feet", 1800),
    ],
)
def test_one_value_of_a_row_is_asked_for(key: str, value: object) -> None:
    assert source_of(key).value == value


@pytest.mark.parametrize("key", ["", "heat", "heat.nothing", "stocks.nobody", "sources.iasa-tc03", "../x.y"])
def test_a_figure_that_nobody_has_is_refused(key: str) -> None:
    with pytest.raises(KeyError):
        source_of(key)


def test_a_source_is_cited_with_its_place() -> None:
    assert "iasa-web.org" in str(source("iasa-tc04-eq"))
    assert str(source("practice")) == source("practice").title


# NIOSH: isopropanol, noise, acetic acid, lifting; IASA-TC 05: fields, machine care; CLIR 54; IASA-TC 03, 04.
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("solvent.isopropanol_flash_c", 11.7),
        ("solvent.isopropanol_ppm", 400),
        ("vinegar.acetic_ppm", 10),
        ("noise.limit_dba", 85),
        ("lifting.constant_kg", 23),
        ("lifting.one_inch_machine_kg", 94.8),
        ("field.ac_a_m", 400),
        ("field.dc_a_m", 2000),
        ("field.distance_cm", 15),
        ("storage.acclimatise_over_c", 8),
        ("storage.acclimatise_hours", 4),
        ("storage.lowest_c", 8),
        ("machine.demagnetise_hours", 10),
        ("machine.recalibrate_hours_low", 50),
        ("machine.recalibrate_hours_high", 100),
        ("time.factor_good", 2.0),
        ("time.factor_archive", 3.0),
        ("azimuth.calibration_urad", 300),
        ("capture.minimum_rate_khz", 48),
        ("capture.minimum_bits", 24),
        ("heat.band_low_c", 45),
        ("heat.band_high_c", 55),
        ("cold.room_c", 4),
        ("level.older_german_ratio", 0.9),
    ],
)
def test_published_limits(key: str, value: float) -> None:
    assert figure(key) == value


# SMPTE RP-103 as NFSA's glossary reports it; a maker's archive figure.
@pytest.mark.parametrize(
    ("key", "climate"),
    [
        ("under-ten-years", (15, 23, 40, 55)),
        ("over-ten-years", (15, 19, 25, 35)),
        ("operating", (17, 25, 30, 70)),
        ("maker-archive", (15, 22, 40, 60)),
    ],
)
def test_storage_climates(key: str, climate: tuple[int, ...]) -> None:
    told = table("storage")[key].values
    assert (told["low_c"], told["high_c"], told["low_rh"], told["high_rh"]) == climate


# Image Permanence Institute's guide to acid strips: 0 good, 1 starting, 2 degrading, 3 critical.
@pytest.mark.parametrize(("level", "word"), [(0, "good"), (1, "starting"), (2, "degrading"), (3, "critical")])
def test_acid_strips(level: int, word: str) -> None:
    assert word in table("strips")[f"level-{level}"].values["means"]


# Restoration Tips & Notes on track configurations and half-inch tape; ARSC list, March 2004.
@pytest.mark.parametrize(
    ("key", "mil"),
    [
        ("quarter-two-nab", 82),
        ("quarter-two-europe", 100),
        ("quarter-full", 234),
        ("half-three", 100),
        ("half-eight", 30),
        ("inch-sixteen", 30),
    ],
)
def test_track_widths(key: str, mil: int) -> None:
    assert table("tracks")[key].values["track_mil"] == mil


@pytest.mark.parametrize("step", STEPS)
def test_every_kind_of_step_has_cautions_and_people_come_first(step: str) -> None:
    found = cautions(step)
    weights = [["person", "tape", "machine"].index(one.weight) for one in found]
    assert found
    assert weights == sorted(weights)
    assert all(one.source and one.usual for one in found)


def test_work_that_can_hurt_a_person_says_so() -> None:
    for step in ("condition", "repair", "align", "lifting", "mould", "vinegar", "service"):
        assert any(one.weight == "person" for one in cautions(step)), step


def test_cautions_defer() -> None:
    assert "Local rules" in DEFERS
    assert "instructions" in DEFERS
    assert "licensed" in DEFERS


def test_a_step_that_nobody_does_has_none() -> None:
    with pytest.raises(ValueError):
        cautions("bake")


def test_importing_the_tables_reads_none_and_loads_nothing_heavy() -> None:
    script = (
        "import sys, core.tape.stocks, core.tape.tables, core.tape.physics.length, core.tape.where;"
        "import core.tape.physics.equalisation, core.tape.treatments, core.tape.cautions;"
        "print([m for m in ('numpy','scipy','pint','tomllib') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
