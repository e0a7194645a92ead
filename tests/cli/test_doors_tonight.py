"""Tonight's own steps by facts: what is learnt of a tape after the plan is obeyed by every kind of step.

One evening holds a load, a first hearing, a line-up with a calibration reel, a repair, a transfer and a look;
the facts of the reel in it are changed to those of the sample, and the step is begun by name. What may be
begun is told by the second reading in `tapejudge`.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put
from tapejudge import STOCKS, heat, word_of

from core.workbook.workbook import Workbook
from tui.cli import main

NOW = datetime(2026, 12, 2, 8, 0, tzinfo=UTC)
BASES = ("", "polyester", "acetate", "unknown")
CONDITIONS = ((), ("ok",), ("sticky",), ("squeal",), ("squeal", "sticky"), ("mould",))
SIGNS = ((), ("vinegar",), ("mould",), ("layers adhere",), ("white powder",), ("loose oxide",))
EVERY = [f for f in product(BASES, CONDITIONS, SIGNS, STOCKS) if not (f[2] and "ok" in f[1])]
#: 61 apart, coprime to each count, so that all values come up; and the good cases of each step.
FACTS = [*EVERY[::61], ("polyester", ("sticky",), (), "Ampex 456"), ("polyester", ("ok",), (), "Harbour 12"),
         ("acetate", ("ok",), (), ""), ("", ("ok",), (), "3M 226")]  # fmt: skip
ROW = {
    "reel": "", "role": "", "base": "polyester", "condition": "ok", "stock": "Harbour 12",
    "stage": "identified", "splices": "", "width": "1/4 in", "tracks": "2", "speed": "15 ips",
    "eq": "NAB", "level": "250 nWb/m", "length": "300 ft",
}  # fmt: skip
ROWS = (
    {"reel": "W-1", "stock": "Ampex 456", "condition": "sticky"},
    {"reel": "P-1"},
    {"reel": "P-2", "condition": "splices", "splices": "2"},
    {"reel": "F-1", "stage": "found", "condition": ""},
    {"reel": "C-1", "role": "calibration"},
)


def judged(fact: Any) -> tuple[str, frozenset[str], frozenset[str], str]:
    return fact[0], frozenset(fact[1]), frozenset(fact[2]), fact[3]


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One shelf with its evening planned; tests work on copies."""
    folder = tmp_path_factory.mktemp("evening")
    (folder / "studio.toml").write_text(f"{STUDIO}\n[minutes]\naudition = 10\n")
    with pytest.MonkeyPatch.context() as patched:
        patched.chdir(folder)
        patched.setenv("REELTURN_SHELF", str(folder / "tapes.json"))
        patched.setattr("tui.commands.command.now", lambda: NOW)
        assert main(["new", "--studio", "studio.toml"]) == 0
        assert put(lambda *words: main(list(words)), [ROW | row for row in ROWS]) == 0
        assert main(["plan", "--effort", "0.2"]) == 0
    return folder / "tapes.json"


@pytest.fixture
def evening(run: Any, planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Begins a kind of step with a reel's facts so changed, on a copy of one planned shelf."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW)
    shelf = tmp_path / "tapes.json"
    shutil.copy(planned, "planned.json")

    def begin(step: str, key: str, fact: Any, *more: str) -> Any:
        base, condition, signs, stock = fact
        shutil.copy("planned.json", shelf)
        book = Workbook.open(shelf, lambda: NOW)
        told = {"base": base, "condition": condition, "signs": signs, "stock": stock}
        book.change(lambda s: s.with_reel(replace(s.reel(key), **told)), what="learnt since")
        return run("tonight", "begin", step, *more)

    return begin


def refused(told: Any) -> bool:
    assert told.status in (0, 1), told.err
    return bool(told.status)


def test_a_load_that_was_planned_begins_by_what_is_known_now(evening: Any) -> None:
    wrong = []
    for fact in FACTS:
        wanted = heat(*judged(fact))
        bare = refused(evening("load chamber C1", "W-1", fact))
        said = refused(evening("load chamber C1", "W-1", fact, "--because", "to see"))
        unseen = not fact[1] and not fact[2]
        sound = wanted == "reason" and fact[1] == ("ok",)
        struck = unseen or sound  # out of the plan: `load` alone takes it for a reason
        if (bare, said) != (wanted != "yes", wanted == "no" or struck):
            wrong.append((fact, wanted, bare, said))
    assert wrong == []


@pytest.mark.parametrize(("step", "key"), [("audition P-1", "P-1"), ("transfer P-1", "P-1")])
def test_a_tape_runs_by_what_is_known_now(evening: Any, step: str, key: str) -> None:
    wrong = []
    for fact in FACTS:
        word = word_of(*judged(fact), playable=False)
        told = evening(step, key, fact)
        stopped, tries = refused(told), word == "test first"
        if ("play the outermost turns by hand" in told.err) != tries:
            wrong.append((fact, word, told.err))
        if stopped != (word != "play"):
            wrong.append((fact, word, stopped))
        if tries and refused(evening(step, key, fact, "--because", "only this once")):
            wrong.append((fact, word, "for a reason"))
    assert wrong == []


def test_a_deck_is_lined_up_with_a_tape_that_may_run_now(evening: Any) -> None:
    wrong = []
    for fact in FACTS:
        word = word_of(*judged(fact), playable=False)
        waits = "sticky" in fact[1] or fact[3] in ("Ampex 456", "3M 226", "Capitol Q15")
        step = "line up D1 to 15 ips NAB 250 nWb/m"
        stopped, tries = refused(evening(step, "C-1", fact)), word == "test first"
        if stopped != (word != "play" or waits):
            wrong.append((fact, word, stopped))
        if tries and not waits and refused(evening(step, "C-1", fact, "--because", "only this once")):
            wrong.append((fact, word, "for a reason"))
    assert wrong == []


def test_a_mend_and_a_look_are_made_by_what_is_known_now(evening: Any) -> None:
    wrong = []
    for fact in FACTS[::2]:
        word, mould = word_of(*judged(fact), playable=False), "mould" in {*fact[1], *fact[2]}
        mends = word in ("play", "test first", "look first") and "sticky" not in fact[1]
        listed = fact[3] in ("Ampex 456", "3M 226", "Capitol Q15")
        if refused(evening("repair P-2", "P-2", fact)) != (not mends or listed):
            wrong.append((fact, word, "repair"))
        if refused(evening("identify F-1", "F-1", fact)) != mould:
            wrong.append((fact, word, "identify"))
    assert wrong == []


def test_a_tape_that_runs_is_stopped_by_what_is_known_now(evening: Any, run: Any) -> None:
    """The alarm comes where the second reading keeps a tape off the deck, and nowhere else."""
    assert (
        evening("transfer P-1", "P-1", ("polyester", ("ok",), (), "Harbour 12"), "--because", "to see").status
        == 0
    )
    shutil.copy("tapes.json", "running.json")
    wrong = []
    for fact in FACTS:
        shutil.copy("running.json", "tapes.json")
        book = Workbook.open(Path("tapes.json"), lambda: NOW)
        told = dict(zip(("base", "condition", "signs", "stock"), fact, strict=True))
        book.change(lambda s, told=told: s.with_reel(replace(s.reel("P-1"), **told)), what="learnt since")
        (alarm,) = [one["alarm"] for one in run("reels", "--json").json if one["reel"] == "P-1"]
        word = word_of(*judged(fact), playable=False)
        if (alarm or "").startswith("Stop P-1") != (word not in ("play", "test first")):
            wrong.append((fact, word, alarm))
    assert wrong == []


def test_a_load_begun_tonight_says_what_it_says_by_its_own_command(
    planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """No empty run yet, a base that nobody has seen: one act, one answer. A step by its beginning."""
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW)
    said = []
    for place, words in enumerate((("tonight", "begin", "load"), ("load", "C1", "W-1"))):
        shutil.copy(planned, tmp_path / f"{place}.json")
        monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / f"{place}.json"))
        assert main(list(words)) == 0
        said.append(capsys.readouterr().err.splitlines())
    assert said[0] == said[1]
    assert any("nobody has seen the base of W-1: Light: " in line for line in said[0])
    assert main(["tonight", "begin", "transfer P"]) == 1
    assert "no step 'transfer P': one of transfer P-1 and transfer P-2?" in capsys.readouterr().err


def test_a_tape_whose_splices_are_not_remade_says_so_as_it_begins(evening: Any) -> None:
    """P-2 has a repair before its transfer; begun without it, the command tells."""
    fact = ("polyester", ("splices",), (), "Harbour 12")
    told = evening("transfer P-2", "P-2", fact, "--because", "to hear it")
    assert told.status == 0 and "P-2: its 2 splices are not remade" in told.err
    whole = ("polyester", ("ok",), (), "Harbour 12")
    assert "not remade" not in evening("transfer P-1", "P-1", whole, "--because", "to hear it").err


def test_a_tape_that_stands_on_two_reels_is_told_where_it_goes_into_the_heat(
    evening: Any, run: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped on its way and found sticky: half of it would stay cold."""
    fact = ("polyester", ("ok",), (), "Harbour 12")
    assert evening("transfer P-1", "P-1", fact, "--because", "to see").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(minute=5))
    assert run("tonight", "stop", "--because", "it sticks").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(hour=9))
    assert run("set", "P-1", "condition=sticky").status == 0
    told = run("load", "C1", "P-1", "W-1")
    assert told.status == 0
    says = "P-1 stands at 5:00, on two reels: by hand, slowly, onto one reel before it is warmed"
    assert says in told.err and "W-1 stands" not in told.err


@pytest.mark.parametrize("why", ["no squeal, the phone rang", "not squealing: the doorbell"])
def test_a_tape_that_is_stopped_though_it_did_not_squeal_runs_on(
    evening: Any, run: Any, monkeypatch: pytest.MonkeyPatch, why: str
) -> None:
    fact = ("polyester", ("ok",), (), "Harbour 12")
    assert evening("transfer P-1", "P-1", fact, "--because", "to see").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(minute=5))
    told = run("tonight", "stop", "--because", why)
    assert told.status == 0 and "heads" not in told.err, told.err


@pytest.mark.parametrize("why", ["squeal", "it squeals"])
def test_a_tape_that_is_stopped_for_a_squeal_asks_what_lay_on_the_heads_and_does_not_go_on(
    evening: Any, run: Any, monkeypatch: pytest.MonkeyPatch, why: str
) -> None:
    fact = ("polyester", ("ok",), (), "Harbour 12")
    assert evening("transfer P-1", "P-1", fact, "--because", "to see").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(minute=5))
    told = run("tonight", "stop", "--because", why)
    assert told.status == 0 and "P-1: it does not run on: lift both reels off together" in told.err
    assert "wipe the heads with a dry swab, then tell: reelturn tonight stop --heads WHAT" in told.err
    assert run("tonight", "go-on").status == 1
    told = run("tonight", "stop", "--heads", "gum")
    assert told.status == 0 and "brown gum, a sick binder" in told.err and "swab" not in told.err
    reel = Workbook.open(Path("tapes.json"), lambda: NOW).shelf.reel("P-1")
    assert {"squeal", "sticky"} <= set(reel.condition) and reel.tried == "gum"
    assert run("undo").status == 0 and run("undo").status == 0
    assert run("tonight", "stop", "--because", "clean heads").status == 0
    assert run("tonight", "go-on").status == 0


def test_a_treated_tape_that_squealed_and_a_joint_that_let_go_hold_the_tape_by_command_too(
    evening: Any, run: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    fact = ("polyester", ("ok",), (), "Harbour 12")
    assert evening("transfer P-1", "P-1", fact, "--because", "to see").status == 0
    treated = (NOW - timedelta(days=2)).strftime("%Y-%m-%dT%H:%M")
    assert run("set", "P-1", "condition=sticky", f"conditioned_at={treated}").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(minute=5))
    assert run("tonight", "stop", "--because", "squeal").status == 0
    told = run("tonight", "go-on")
    assert told.status == 1 and "nobody has looked what lies on the heads" in told.err
    assert run("tonight", "stop", "--heads", "nothing").status == 0
    assert run("tonight", "go-on").status == 0
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW.replace(minute=9))
    told = run("tonight", "stop", "--because", "splice")
    assert told.status == 0 and "P-1: its 1 splice is not remade: mend it before it runs on" in told.err
    told = run("tonight", "go-on")
    assert told.status == 1 and "its 1 splice is not remade" in told.err
