"""A shelf of one's own where no terminal is: a commented file, templates, and what the questions make."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.store.studio.fields import TABLES
from core.store.studio.first_answers import deck_kinds
from core.store.studio.first_studio import questions, studio_of
from core.store.studio.hours_words import row_words

Run = Callable[..., Any]


def test_without_a_terminal_a_commented_studio_is_written_once(run: Run, tmp_path: Path) -> None:
    told = run("new")
    assert told.status == 2 and told.out == "" and len(told.err.splitlines()) == 1
    assert "studio.toml was written here" in told.err and "`reelturn new --studio studio.toml`" in told.err
    text = (tmp_path / "studio.toml").read_text(encoding="utf-8")
    for fields in TABLES.values():
        for field in fields:  # every key that is read stands there, set or as a comment, with a word on it
            assert any(
                line.lstrip("# ").startswith(f"{field.key} =") and " # " in line for line in text.splitlines()
            ), field.key
    again = run("new")
    assert again.status == 2 and "it was not touched" in again.err
    assert (tmp_path / "studio.toml").read_text(encoding="utf-8") == text
    assert run("new", "--studio", "studio.toml").status == 0
    told = run("new")
    assert told.status == 2 and "there is something already" in told.err


def test_the_shelf_that_results_plans(run: Run, tmp_path: Path) -> None:
    run("new")
    assert run("new", "--studio", "studio.toml").status == 0
    (tmp_path / "r.csv").write_text(
        "reel;width;tracks;speed;eq;level;length;base;condition;stage\n"
        "A;6,3 mm;2;38 cm/s;CCIR;320 nWb/m;762 m;polyester;ok;identified\n",
        encoding="utf-8",
    )
    assert run("import", "r.csv").status == 0
    assert run("set", "A", "role=multitrack").status == 0
    assert run("plan", "--effort", "0.05").status == 0


def test_a_template_a_kind_is_written_and_imports_nothing(run: Run, shelf: Path, tmp_path: Path) -> None:
    told = run("export", "--template", "fresh")
    assert told.status == 0
    names = {Path(line).name for line in told.out.splitlines()}
    assert names == {"studio.toml", "reels.csv", "songs.csv", "sheets.csv", "segments.csv"}
    files = [f"fresh/{name}" for name in sorted(names) if name.endswith(".csv")]
    assert run("import", *files).out == "nothing to import: the files hold no rows\n"
    assert run("export", "--template", "fresh").status == 2


def test_without_a_shelf_and_a_terminal_the_line_that_begins_one_is_told(run: Run) -> None:
    told = run()
    assert told.status == 2 and "tapes.json new` begins one" in told.err and len(told.err.splitlines()) == 1
    told = run("reels")
    assert told.status == 2 and " new` begins one" in told.err


@pytest.mark.parametrize("deck", range(1, len(deck_kinds()) + 1))
def test_the_defaults_make_a_studio_for_every_kind_of_deck(deck: int) -> None:
    told = {"decks": str(deck), "trays": "6", "helper_lines_up": "yes", "helper": "the same hours"}
    studio = studio_of(told, "Europe/Lisbon")
    kind = deck_kinds()[deck - 1]
    assert studio.decks[0].tracks == kind["tracks"] and studio.capture is not None
    assert studio.capture.inputs == kind["tracks"]
    assert studio.chambers[0].takes(studio.decks[0].widths[0])
    assert studio.treatment(studio.decks[0].widths[0]) is not None
    assert any(row.helper for row in studio.hours) and studio.decks[0].setup_needs_helper
    assert {row.loud_until_minutes for row in studio.hours if row.bench} == {22 * 60, None}


def test_nobody_is_there_to_line_up_before_it_is_told_when() -> None:
    """Enter on the question takes no hours of anybody's, and says first what that leaves out."""
    told = {"helper_lines_up": "yes", "hours": "tue-thu 19.00-22.30, sat 9-19"}
    (asked,) = (one for one in questions(told) if one.name == "helper")
    assert asked.words == "When does the person come who lines decks up?"
    for answers in (told, told | {"helper": asked.default}, told | {"helper": "nobody"}):
        studio = studio_of(answers)
        assert studio.decks[0].setup_needs_helper and not any(row.helper for row in studio.hours)
        assert "No deck is lined up in your plan before those hours are told" in asked.doubt(answers)[0]
    comes = studio_of(told | {"helper": "tue"})
    assert [row_words(row) for row in comes.hours if row.helper] == ["19:00-22:30 helper"]
    assert not asked.doubt(told | {"helper": "tue"})


def test_every_default_is_an_answer_that_its_own_question_takes() -> None:
    for one in questions({"helper_lines_up": "yes", "trays": "3"}, "Europe/Lisbon"):
        one.check(one.default)


HOURS_TYPED = {
    "mon-fri 7pm-10pm": "19:00-22:00",
    "we 7-10.30 pm": "19:00-22:30",
    "weekdays 11-1pm": "11:00-13:00",
    "sat, sun 22-2": "22:00-02:00",
    "mon-fri 7-8:30, 17-23": "07:00-08:30 bench home|17:00-23:00",
    "Tuesdays 9-24": "09:00-24:00",
}


#: Days and hours as calendars and people have them in German, French and Spanish.
HOURS_TYPED |= {
    "Mo-Do 19-22:30 Uhr": "19:00-22:30",
    "samstags 9 bis 18 Uhr": "09:00-18:00",
    "montags und mittwochs 19h-22h": "19:00-22:00",
    "täglich 19-22": "19:00-22:00",
    "lun à jeu de 19h à 22h30; sam 10h-18h": "19:00-22:30 bench home|10:00-18:00",
    "lunes y martes 19:00-22:00": "19:00-22:00",
    "sáb 10-18": "10:00-18:00",
}


@pytest.mark.parametrize("typed", HOURS_TYPED)
def test_hours_are_read_as_people_write_them(typed: str) -> None:
    rows = studio_of({"hours": typed, "loud": "never"}).hours
    assert "|".join(row_words(row) for row in rows) == f"{HOURS_TYPED[typed]} bench home"


SPOKEN = {
    "mon to wed and sat 19.00-22.30": "mon-wed, sat 19:00-22:30",
    "tue, wed and fri 7pm to 10:30pm, sat 10-17": "tue, wed, fri 19:00-22:30; sat 10-17",
    "Sat & Sun 10-18": "sat-sun 10-18",
    "every day 7-10pm": "daily 19-22",
    "every Tuesday 19-22 and every Sat 9-12 and 14-19": "tue 19-22; sat 9-12, 14-19",
}


@pytest.mark.parametrize("typed", SPOKEN)
def test_days_are_joined_as_they_are_spoken(typed: str) -> None:
    spoken, listed = (studio_of({"hours": one, "loud": "never"}).hours for one in (typed, SPOKEN[typed]))
    assert spoken == listed and spoken


def _asked(name: str, told: dict[str, str], zone: str = "Europe/Lisbon") -> Any:
    return next(one for one in questions(told, zone) if one.name == name)


@pytest.mark.parametrize(
    ("name", "typed", "same"),
    [
        ("decks", "1, 3 and 4", [1, 3, 4]),
        ("decks", "1 & 2", [1, 2]),
        ("decks", "all", list(range(1, len(deck_kinds()) + 1))),
        ("inputs", "16 tracks", 16),
        ("trays", "four", 4),
    ],
)
def test_numbers_are_read_as_they_are_spoken(name: str, typed: str, same: object) -> None:
    assert _asked(name, {}).check(typed) == same
    told = {name: typed}
    assert studio_of(told) == studio_of(
        {name: ",".join(map(str, same)) if isinstance(same, list) else str(same)}
    )


@pytest.mark.parametrize("typed", ["GMT+1", "utc-5", "+2", "GMT +1:00"])
def test_an_offset_is_no_zone_since_its_sign_and_its_summer_are_another(typed: str) -> None:
    """Etc/GMT+1 lies west of Greenwich: its sign is turned round (the zones' own file says so)."""
    asked = _asked("timezone", {})
    assert asked.meant(typed) == typed
    with pytest.raises(ValueError, match="an offset knows no summer time, so give a large town"):
        asked.check(typed)


@pytest.mark.parametrize(
    ("typed", "told"), [("EST", "EST is 5 h behind"), ("Etc/GMT+1", "1 h behind Greenwich")]
)
def test_a_zone_that_is_no_places_says_what_it_leaves_out(typed: str, told: str) -> None:
    asked = _asked("timezone", {})
    asked.check(typed)
    assert told in asked.doubt({"timezone": typed})[0]
    for place in ("Europe/Lisbon", "Asia/Tokyo", "CET"):
        assert not asked.doubt({"timezone": place})
    assert not _asked("timezone", {}, "UTC").doubt({"timezone": "UTC"})  # the clock of this machine


@pytest.mark.parametrize(
    ("hours", "typed", "meant"),
    [
        ("daily 19-22", "9", "21:00"),
        ("daily 19-22", "19", "never"),
        ("mon-fri 19-22; sat 9-19", "18:00", "never"),
    ],
)
def test_a_loud_deck_never_stops_before_the_bench_begins(hours: str, typed: str, meant: str) -> None:
    with pytest.raises(ValueError, match=f"when the bench begins: did you mean {meant}") as wrong:
        _asked("loud", {"hours": hours}).check(typed)
    assert wrong.value.args[2] == meant


@pytest.mark.parametrize(
    ("hours", "loud", "told"),
    [
        ("daily 19-22", "21", "19:00-22:00 bench home loud 21:00"),
        ("daily 19-22", "1:00", "19:00-22:00 bench home"),
        ("daily 19-2", "1:00", "19:00-02:00 bench home loud 01:00"),
        ("daily 22:30-2", "", "22:30-02:00 bench home"),
    ],
)
def test_until_when_a_loud_deck_runs_is_kept_in_the_nights_too(hours: str, loud: str, told: str) -> None:
    answers = {"hours": hours}
    asked = _asked("loud", answers)
    asked.check(loud or asked.default)
    assert [row_words(row) for row in studio_of(answers | {"loud": loud}).hours] == [told]


def test_days_are_joined_by_a_comma_too() -> None:
    by_comma, by_semicolon = (
        studio_of({"hours": f"mon-thu 19.00-22.30{sign} sat 9-12, 14-19", "loud": "never"}).hours
        for sign in ",;"
    )
    assert by_comma == by_semicolon and len(by_comma) == 3


@pytest.mark.parametrize("typed", ["19-22", "mon 25-26", "mon 22-21", "someday 19-22", "mon 19:75-22", "mon"])
def test_hours_that_are_none_are_refused_with_what_is_right(typed: str) -> None:
    asked = next(one for one in questions({}) if one.name == "hours")
    with pytest.raises(ValueError, match="days and hours such as mon-thu 19:00-22:30"):
        asked.check(typed)


def test_who_is_home_is_asked_only_where_there_is_a_chamber_and_a_day_without_bench_is_named() -> None:
    assert "home" not in {one.name for one in questions({"trays": "0"})}
    home = next(one for one in questions({"trays": "3"}) if one.name == "home")
    assert studio_of({"trays": "3"}).hours == studio_of({"trays": "3", "home": home.default}).hours
    with pytest.raises(ValueError, match="not at the bench on sun, so give its hours"):
        home.check("sat, sun")


def test_the_commented_file_is_toml_and_says_what_the_defaults_say(run: Run, tmp_path: Path) -> None:
    run("new")
    read = tomllib.loads((tmp_path / "studio.toml").read_text(encoding="utf-8"))
    assert read["comfort"] == {"count": "evenings", "slack": "10 %", "line_up_hour": 0.5, "tied_hour": 0.1}


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        ("1/2 in 8-track", "3"),
        ("1/2 in 8 track, 1/4 in", "3, 1"),
        ("1/2 Zoll 8-Spur", "3"),
        ("Halbzoll 8 Spur", "3"),
        ('2" 24 track', "5"),
        ("quarter-inch", "1"),
        ("viertelzoll stereo", "1"),
        ("1/4 Zoll Stereo", "1"),
        ("6,3 mm stereo, 25 mm 16 Spur", "1, 4"),
        ("6.3mm 2 Spur; 12.7 mm 4 pistes", "1, 2"),
        ("50.8 mm", "5"),
        ("½ inches 4 tracks", "2"),
        ("2 in", "5"),
        ("16", "4"),  # no deck of the list has that number: tracks
        ("24 and 2-track", "5, 1"),
        ("1, 3", "1, 3"),
        ("alle", "1, 2, 3, 4, 5"),
    ],
)
def test_a_deck_is_called_by_its_width_and_tracks_too(typed: str, numbers: str) -> None:
    asked = _asked("decks", {})
    asked.check(asked.meant(typed))
    assert asked.meant(typed) == numbers
    kinds = [deck_kinds()[int(one) - 1]["tracks"] for one in numbers.split(",")]
    assert [one.tracks for one in studio_of({"decks": typed}).decks] == kinds


@pytest.mark.parametrize(
    ("name", "typed", "told"),
    [
        ("decks", "1/2 in", "one deck: did you mean 2 or 3?"),
        ("decks", "3 in", "numbers from 1 to 5, or decks such as 1/2 in 8-track, joined by commas"),
        ("decks", "6", "numbers from 1 to 5"),
        ("helper_lines_up", "yes tuesdays", "yes or no alone: when is asked further on"),
        ("helper_lines_up", "ja, dienstags", "yes or no alone: when is asked further on"),
        ("helper_lines_up", "tuesdays", "yes or no"),
        ("timezone", "Deutschland", "did you mean Europe/Berlin"),
        ("timezone", "Schottland", "did you mean Europe/London?"),
    ],
)
def test_what_is_nearly_an_answer_is_told_what_would_be_one(name: str, typed: str, told: str) -> None:
    with pytest.raises(ValueError) as refused:
        _asked(name, {}).check(typed)
    assert told in refused.value.args[0]


def test_yes_no_and_never_are_read_in_other_languages() -> None:
    for yes, no, never in (("ja", "nein", "nie"), ("Oui", "non", "jamais"), ("sí", "no", "nunca")):
        told = {"helper_lines_up": yes, "helper": "mar 19-21" if yes != "ja" else "Di 19-21", "loud": never}
        helped = studio_of(told)
        assert helped.decks[0].setup_needs_helper and not helped.decks[0].loud
        assert [row.days for row in helped.hours if row.helper] == [("tue",)]
        assert not studio_of({"helper_lines_up": no}).decks[0].setup_needs_helper
        assert "helper" not in [one.name for one in questions({"helper_lines_up": no})]
    assert not any(row.helper for row in studio_of({"helper_lines_up": "ja", "helper": "weiß nicht"}).hours)


@pytest.mark.parametrize("typed", ["22 Uhr", "22h", "22 h", "22h00", "10pm", "10 p.m.", "22.00"])
def test_until_when_is_written_as_the_hours_are(typed: str) -> None:
    _asked("loud", {}).check(typed)
    rows = studio_of({"hours": "mon 19h-23h", "loud": typed}).hours
    assert [row_words(row) for row in rows] == ["19:00-23:00 bench home loud 22:00"]


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ("täglich 8-22 Uhr außer Sonntag", "täglich 8-22 Uhr außer Sonntag"),
        ("Mo 19-22 Uhr; jeden Abend 18-23", "jeden Abend 18-23"),
        ("22 Uhr", "22 Uhr"),
    ],
)
def test_what_is_refused_of_hours_is_quoted_as_it_was_typed(typed: str, part: str) -> None:
    with pytest.raises(ValueError) as refused:
        _asked("hours", {}).check(typed)
    assert refused.value.args[1] == part
