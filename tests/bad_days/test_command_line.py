"""Wrong command lines, wrong studio files, no terminal: one line on standard error and the right status."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.workbook.workbook import Workbook

Run = Callable[..., Any]
STUDIO = (Path(__file__).resolve().parents[2] / "demo" / "studio.toml").read_text()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["rels"], "did you mean reels"),
        (["--nonsense"], "no option '--nonsense'"),
        (["--shelf"], "--shelf needs a file"),
        (["reels", "--nonsense"], "unrecognized arguments: --nonsense"),
        (["mark", "R-001"], "required: STAGE"),
        (["mark", "R-001", "polished"], "no stage 'polished'"),
        (["plan", "--days", "0"], "'0' is not a whole number from 1 to 800"),
        (["plan", "--days", "801"], "1 to 800"),
        (["plan", "--days", "2.5"], "1 to 800"),
        (["plan", "--seconds", "-1"], "--seconds"),
        (["plan", "--seconds", "nan"], "--seconds"),
        (["plan", "--effort", "0"], "--effort"),
        (["plan", "--seconds", "1", "--effort", "1"], "not allowed with"),
        (["plan", "--from", "tomorrow"], "--from: 'tomorrow' is not a time"),
        (["mark", "R-001", "aligned", "--at", "2026-03-29T01:30"], "the clock change skips"),
        (["check", "R-001", "x.wav", "--tracks", "3-1"], "not a list of tracks"),
        (["check", "R-001", "x.wav", "--pass", "0"], "--pass"),
        (["import"], "required: FILE"),
        ([], "no terminal"),
    ],
)  # fmt: skip
def test_a_wrong_command_line_is_one_line_and_status_2(
    book: Workbook, run: Run, words: list[str], says: str
) -> None:
    told = run(*words)
    assert told.status == 2 and says in told.err, told
    assert len(told.err.splitlines()) == 1 and not told.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["mark", "R-999", "aligned"], "no reel 'R-999'"),
        (["estimate", "R-999"], "no reel 'R-999'"),
        (["note", "R-999", "x"], "no reel 'R-999'"),
        (["parts", "S-99"], "no song 'S-99'"),
        (["orders"], "no plan is kept"),
        (["restore", "nothing"], "no backup 'nothing'"),
    ],
)
def test_what_the_shelf_does_not_hold_is_status_1(
    book: Workbook, run: Run, words: list[str], says: str
) -> None:
    told = run(*words)
    assert told.status == 1 and says in told.err and len(told.err.splitlines()) == 1 and not told.out


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"180 ips"', "180", "deck[1].wind_speed: 180 is not a speed in quotes"),
        ('"180 ips"', '"9000 ips"', "deck[1].wind_speed: '9000 ips' is not a speed at which a deck winds"),
        ("tracks = 16", "tracks = 1000", "deck[1].tracks: 1000 is not a number of tracks that a tape has"),
        ('hours = "8 h"', 'hours = "1000 h"', "hours: '1000 h' is not a time for which tape is warmed"),
        ('"180 ips"', '"180 rpm"', "deck[1].wind_speed: '180 rpm' is not a speed such as"),
        ('"19:00"', '"25:00"', 'is not a time of day from "00:00" to "24:00"'),
        ('"19:00"', '"7 pm"', "is not a time of day"),
        ('"mon"', '"monday"', "is not one of mon, tue, wed"),
        ('"Europe/Lisbon"', '"Lisbon"', "studio.timezone: 'Lisbon' is not an IANA zone name"),
        ('"Europe/Lisbon"', '"Europe/Berlim"', "zone name: did you mean Europe/Berlin?"),
        ('"54 degC"', '"54 degF"', "is not between 30 and 60 degC"),
        ('"54 degC"', '"70 degC"', "is not between 30 and 60 degC"),
        ("loud = true", "loud = 1", "deck[1].loud: 1 is not true or false"),
        ("setup_minutes = 40", "setup_minuts = 40", "did you mean setup_minutes"),
        ('id = "D2"', 'id = "D1"', "deck[2].id: 'D1' is there already"),
        ('turn_every = "2 h"', 'turn_every = "7 min"', "multiple of the grid"),
        ('name = "Marram Wharf"', "", "studio.name is missing"),
        ("[capture]", "[capture", "not a TOML file"),
    ],
)
def test_a_wrong_studio_file_names_the_key_and_what_would_be_right(
    run: Run, tmp_path: Path, old: str, new: str, says: str
) -> None:
    assert old in STUDIO
    (tmp_path / "studio.toml").write_text(STUDIO.replace(old, new, 1))
    told = run("new", "--studio", "studio.toml")
    assert told.status == 2 and says in told.err, told.err
    assert all(line.startswith("reelturn: studio.toml: ") for line in told.err.splitlines())
    assert not (tmp_path / "tapes.json").exists()


def test_a_missing_studio_file_is_named(run: Run) -> None:
    told = run("new", "--studio", "nowhere.toml")
    assert told.status == 2 and "nowhere.toml" in told.err


def test_what_a_studio_file_says_beyond_what_we_know_is_kept(run: Run, tmp_path: Path) -> None:
    text = STUDIO.replace(
        'id = "D1"', 'id = "D1"\nbought = 1979-05-27\nheads = { maker = "none", hours = [1, 2.5] }'
    )
    (tmp_path / "studio.toml").write_text(text + '\n[rent]\nmonthly = "some"\n')
    assert run("new", "--studio", "studio.toml").status == 0
    run("export", "out")
    kept = (tmp_path / "out" / "studio.toml").read_text()
    assert "bought = 1979-05-27" in kept and 'heads = { maker = "none", hours = [1, 2.5] }' in kept
    assert '[rent]\nmonthly = "some"' in kept


def test_output_to_a_reader_that_has_enough_is_no_error(book: Workbook, tmp_path: Path) -> None:
    import subprocess
    import sys

    command = f"{sys.executable} -m tui --shelf {book.path} stocks | head -1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and not done.stderr


def test_titles_in_any_script_come_out_also_where_the_terminal_lacks_the_letters(
    book: Workbook, run: Run, tmp_path: Path
) -> None:
    (tmp_path / "more.csv").write_text(
        "reel,box_label\nR-90,\u6f6e \u202e[/]\x1b[31m \u0645\u062f\n", encoding="utf-8"
    )
    assert run("import", "more.csv").status == 0
    told = run("reels", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert told.status == 0 and "R-90" in told.out and "\x1b" not in told.out
    assert "\u6f6e" in run("reels", PYTHONIOENCODING="utf-8").out


SAYS_WHEN_IT_SEARCHES = """
import runpy, sys
from core.planning import plan_evenings
search = plan_evenings.search
def told(*limits, **more):
    print("searching", file=sys.stderr, flush=True)
    return search(*limits, **more)
plan_evenings.search = told
sys.argv[0] = "tui"
runpy.run_module("tui", run_name="__main__")
"""


def test_an_interrupted_plan_leaves_the_kept_one(book: Workbook, tmp_path: Path) -> None:
    import signal
    import subprocess
    import sys

    words = ["--shelf", str(book.path), "plan", "--days", "21", "--seconds", "60"]
    before = book.path.read_bytes()
    process = subprocess.Popen(
        [sys.executable, "-c", SAYS_WHEN_IT_SEARCHES, *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    assert process.stderr is not None and process.stderr.readline() == b"searching\n"
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=120)
    assert process.returncode == 130, err
    assert not out and err.decode().strip().endswith("interrupted")
    assert book.path.read_bytes() == before


def test_where_no_terminal_and_no_shelf_are_the_line_begins_that_very_shelf(run: Run, tmp_path: Path) -> None:
    told = run("--shelf", str(tmp_path / "attic tapes.json"))
    assert told.status == 2 and f"`reelturn --shelf '{tmp_path}/attic tapes.json' new` begins one" in told.err
