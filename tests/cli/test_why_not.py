"""Why a reel is left over, as a person is told: no rule is blamed where none is in the way."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from onedeck import hours, one_deck

from core.planning.answers.that_day import comes_first
from core.standing.gates import ready_to_play
from core.workbook.workbook import Workbook

STUDIO = one_deck(
    "Tern Loft",
    "Europe/Lisbon",
    deck="setup_needs_helper = true\ncalibration_needed = false\n",
    inputs=8,
    playable=2,
    rows=hours('"wed"', "19:00", "22:30", "bench", "home")
    + hours('"wed"', "19:00", "19:45", "helper")
    + "[minutes]\naudition = 20\n",
)
REELS = """reel,width,tracks,speed,eq,level,base,condition,stage,length,conditioned_at
R-1,1/4 in,2,15 ips,NAB,250 nWb/m,polyester,sticky,conditioned,1200 ft,2026-12-02T16:00
"""


TWO = """reel,width,tracks,speed,eq,level,base,condition,stage,length
R-1,1/4 in,2,15 ips,NAB,250 nWb/m,polyester,ok,identified,3600 ft
R-2,1/4 in,2,15 ips,NAB,250 nWb/m,polyester,ok,identified,3600 ft
"""


def _begin(run: Any, folder: Path, studio: str, reels: str = REELS) -> dict[str, Any]:
    (folder / "studio.toml").write_text(studio)
    (folder / "reels.csv").write_text(reels)
    assert run("new", "--studio", str(folder / "studio.toml")).status == 0
    assert run("import", "reels.csv").status == 0
    plan: dict[str, Any] = run("plan", "--days", "3", "--seconds", "0", "--json").json
    return plan


def test_a_deck_is_lined_up_before_a_first_hearing_where_the_helper_leaves_before(
    run: Any, tmp_path: Path
) -> None:
    """It is cool at eight, the helper goes at a quarter to: line-up, hearing, transfer, at the first plan."""
    plan = _begin(run, tmp_path, STUDIO)
    bench = [item["kind"] for item in plan["items"]]
    assert bench == ["align", "audition", "transfer", "verify"] and not plan["left_over"]
    ends = datetime.fromisoformat(plan["items"][-1]["end"])
    told = f"R-1 is not left over: this plan has it verified Wed 2 Dec at {ends:%H:%M}"
    assert told in run("why", "R-1").out


def test_else_it_is_lined_up_behind_the_hearing_and_stands_for_nothing(run: Any, tmp_path: Path) -> None:
    plan = _begin(run, tmp_path, STUDIO.replace('to = "19:45"', 'to = "22:30"'))
    bench = [item["kind"] for item in plan["items"]]
    assert bench == ["audition", "align", "transfer", "verify"]


def test_where_there_is_room_no_rule_is_blamed(run: Any, tmp_path: Path) -> None:
    """A helper who never comes is the reason until the week knows better; then planning again is."""
    alone = STUDIO.replace("helper = true\n[minutes]", "home = true\n[minutes]")
    plan = _begin(run, tmp_path, alone)
    assert "the helper is never there for 40 min" in plan["left_over"][0]["why"]
    assert run("hours", "thu", "19:00-22:30", "bench", "home", "helper").status == 0
    told = run("why", "R-1").out
    assert "there is room for it up to Thu 3 Dec beside all else: no rule keeps it out" in told
    assert "planning again for longer would do it" in told and "helper" not in told


ONE_EVENING_EACH = one_deck(
    "Plover Yard",
    "Europe/Lisbon",
    deck="setup_needs_helper = true\ncalibration_needed = false\n",
    inputs=8,
    rows="".join(hours(f'"{day}"', "19:00", "21:30", "bench", "home") for day in ("mon", "tue", "thu"))
    + hours('"wed"', "19:00", "21:30", "bench", "home", "helper")
    + hours('"sun"', "09:30", "18:00", "bench", "home")
    + '[minutes]\naudition = 0\n[comfort]\nslack = "0 %"\n',
)


def test_what_why_promises_is_what_suppose_shows(run: Any, tmp_path: Path) -> None:
    """Four set-ups, one evening with the helper; each weekday has a row of its own, Sunday the earliest."""
    head = "reel,width,tracks,speed,eq,level,base,condition,stage,length\n"
    rows = [f"R-{n},1/4 in,2,15 ips,{eq},250 nWb/m,polyester,ok,identified,3600 ft\n"
            for n, eq in enumerate(("NAB", "AES", "CCIR", "IEC"))]  # fmt: skip
    _begin(run, tmp_path, ONE_EVENING_EACH, head + "".join(rows))
    plan = run("plan", "--days", "8", "--effort", "0.5", "--json").json
    left = [one["reel"] for one in plan["left_over"]]
    promised = {}
    for reel in left:
        (because,) = run("why", reel, "--json").json["because"]
        for words in because["would_do"]:
            if found := re.fullmatch(r"the helper on \w+ (\d+) Dec(?: as well)?", words):
                promised.setdefault(f"2026-12-{int(found[1]):02}", []).append(reel)
    assert promised
    for day, reels in promised.items():
        for tried in (("--effort", "0.1"), ("--seconds", "0")):
            shown = run("suppose", "--helper", day, *tried, "--json").json
            (there,) = (one for one in shown if "helper" in one["change"])
            assert set(reels) <= set(there["reels_more"]), f"what is promised for {day} is shown"


def test_the_helper_is_not_blamed_where_planning_again_brings_it(run: Any, tmp_path: Path) -> None:
    """One evening with the helper, three set-ups: of what is left over, one song became the first of all."""
    head = "reel,width,tracks,speed,eq,level,base,condition,stage,length\n"
    rows = [f"R-{n},1/4 in,2,15 ips,{eq},250 nWb/m,polyester,ok,identified,3600 ft\n"
            for n, eq in enumerate(("NAB", "AES", "CCIR", "IEC"))]  # fmt: skip
    songs = "song,title,album,priority,needs\n" + "".join(f"S-{n},Song {n},Quay,3,R-{n}\n" for n in range(4))
    (tmp_path / "songs.csv").write_text(songs)
    _begin(run, tmp_path, ONE_EVENING_EACH, head + "".join(rows))
    assert run("import", "songs.csv").status == 0
    plan = run("plan", "--days", "8", "--effort", "0.5", "--json").json
    reel = plan["left_over"][0]["reel"]
    assert "the helper" in run("why", reel).out, "while all are alike, she is what it lacks"
    song = reel.replace("R", "S")
    (tmp_path / "songs.csv").write_text(songs.replace(f"{song},Song {reel[2:]},Quay,3", f"{song},x,Quay,9"))
    assert run("import", "songs.csv", "--update").status == 0
    told = run("why", reel).out
    assert "no rule keeps it out; planning again for longer would do it" in told and "helper" not in told
    asked = ("suppose", "--trays", "C1=5", "--effort", "0.5")
    anew = next(one for one in run(*asked, "--json").json if one["change"] == "planning again for longer")
    (out,) = anew["not_ready"]
    assert anew["ready_too"] == [song] and anew["reels_less"] == [out.replace("S", "R")]
    assert f"x ready too; Song {out[2:]} not ready any more" in " ".join(run(*asked).out.split())
    again = run("plan", "--days", "8", "--effort", "0.5", "--json").json
    assert reel not in {one["reel"] for one in again["left_over"]}


def test_a_helper_who_never_comes_is_one_line_with_what_to_do(run: Any, tmp_path: Path) -> None:
    alone = ONE_EVENING_EACH.replace("helper = true\n[[hours]]", "[[hours]]")
    _begin(run, tmp_path, alone, TWO)
    lines = run("plan", "--days", "3", "--effort", "0.1").out.splitlines()
    said = [one for one in lines if one.startswith("D1 wants the helper for a full line-up, who comes on no")]
    assert len(said) == 1 and "give one with `hours`, or setup_needs_helper = false" in said[0]
    assert run("hours", "wed", "19:00-21:30", "bench", "home", "helper").status == 0
    assert "wants the helper" not in run("plan", "--days", "3", "--effort", "0.1").out


def test_what_was_found_out_is_the_first_that_moved(run: Any, tmp_path: Path) -> None:
    """Two tapes in one evening; mould on the first draws the second forward."""
    plain = STUDIO.replace("setup_needs_helper = true\n", "").replace("audition = 20", "audition = 0")
    plan = _begin(run, tmp_path, plain, TWO)
    first, then = (one["reel"] for one in plan["items"] if one["kind"] == "transfer")
    assert run("set", first, "condition=mould").status == 0
    lines = run("plan", "--days", "3", "--effort", "0.1").out
    moved = lines[lines.index("moved: ") :].splitlines()
    assert f"of {first}: was on " in moved[0] and "mould" in moved[0]
    assert f"of {then}: from " in moved[1]


def test_slack_that_leaves_too_little_of_an_evening_is_named_as_that(run: Any, tmp_path: Path) -> None:
    """Half an hour of each evening is left: neither loud hours nor a helper are to blame."""
    studio = STUDIO.replace("setup_needs_helper = true", "loud = true").replace(
        "audition = 20", "audition = 0"
    )
    _begin(run, tmp_path, studio + '[comfort]\nslack = "85 %"\n', TWO)
    told = run("why", "R-1").out
    assert "slack 85 % leaves at most 30 min of an evening, too few for it: make it less" in told
    assert "loud" not in told
    lines = run("plan", "--days", "3", "--effort", "0.1").out
    assert "slack 85 % leaves at most 30 min of an evening, too few for 2 reels: make it less" in lines


def test_a_wish_that_is_not_kept_names_the_wish_that_comes_first(run: Any, tmp_path: Path) -> None:
    """One evening holds one of two long tapes; both are wished for on it."""
    short = STUDIO.replace("setup_needs_helper = true\n", "").replace('to = "22:30"', 'to = "21:30"')
    _begin(run, tmp_path, short.replace("audition = 20", "audition = 0"), TWO)
    for reel in ("R-1", "R-2"):
        assert run("wish", reel, "on", "wed").status == 0
    assert run("plan", "--days", "9", "--effort", "0.2").status == 0
    kept, other = sorted(run("wish").out.splitlines(), key=lambda line: "not kept" in line)
    assert kept.endswith(": kept") and other.endswith(f"wish {kept[0]} comes first")
    assert comes_first([1, 5]) == "wishes 1 and 5 come first"


def test_an_evening_that_fills_its_loud_hours_fits_to_the_minute(
    run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seconds after the minute at which the first step begins, nothing is out of room."""
    loud = STUDIO.replace("setup_needs_helper = true\n", "loud = true\n").replace(
        "audition = 20", "audition = 0"
    )
    plan = _begin(run, tmp_path, loud, "\n".join(TWO.splitlines()[:2]) + "\n")
    end = next(item["end"][11:16] for item in plan["items"] if item["kind"] == "transfer")
    assert run("hours", "wed", "19:00-22:30", "bench", "home", "loud", end).status == 0
    plan = run("plan", "--days", "3", "--seconds", "0", "--json").json
    start = datetime.fromisoformat(plan["items"][0]["start"])
    monkeypatch.setattr("tui.commands.command.now", lambda: start + timedelta(seconds=7))
    steps = run("tonight", "--json").json
    assert [step["kind"] for step in steps] == ["align", "transfer", "verify"]
    assert all(step["fits"] for step in steps)


def test_planned_again_a_look_stays_where_it_was_told_of(run: Any, tmp_path: Path) -> None:
    """Two that can but be looked at: the first is not on the shelf any more, the second has its time."""
    plain = STUDIO.replace("setup_needs_helper = true\n", "")
    found = (
        "\n".join(TWO.splitlines()[:2])
        + "\nR-8,1/4 in,2,,,,polyester,,found,\nR-9,1/4 in,2,,,,polyester,,found,\n"
    )
    _begin(run, tmp_path, plain.replace("audition = 20", "audition = 0"), found)

    def looks() -> dict[str, str]:
        items = run("plan", "--show", "--json").json["items"]
        return {one["reel"]: one["start"] for one in items if one["kind"] == "identify"}

    told = looks()
    assert len(told) == 2
    assert run("remove", "R-8").status == 0 and run("plan", "--days", "3", "--effort", "0.1").status == 0
    assert looks() == {"R-9": told["R-9"]}


def test_a_pass_that_ends_with_its_playable_time_passes_to_the_minute(run: Any, tmp_path: Path) -> None:
    """Tonight ends a step at the second; the plan may fill the last minute of the two days."""
    _begin(run, tmp_path, STUDIO)
    shelf = Workbook.open(tmp_path / "tapes.json", now=lambda: datetime.now(UTC)).shelf
    ends = datetime.fromisoformat("2026-12-04T16:00+00:00")
    assert ready_to_play(shelf, shelf.reels["R-1"], ends + timedelta(seconds=7)) is None
    late = ready_to_play(shelf, shelf.reels["R-1"], ends + timedelta(minutes=1))
    assert late is not None and late.startswith("playable only until")


@pytest.mark.parametrize(
    ("studio", "line"),
    [
        (
            STUDIO + '[comfort]\nslack = "90 %"\n',
            "slack 90 % leaves at most 20 min of an evening, too few for a full line-up of D1",
        ),
        (
            STUDIO.replace("\nhelper = true", "\nhome = true"),
            "D1 wants the helper for a full line-up, and no hours have one: give one with `hours`",
        ),
    ],
)
def test_what_leaves_a_deck_that_nobody_can_line_up_is_told_at_once(
    run: Any, tmp_path: Path, studio: str, line: str
) -> None:
    """At new and at the first import, in one line; hours with a helper and a tenth free are told nothing."""
    (tmp_path / "reels.csv").write_text(REELS)
    for text, told in ((STUDIO, False), (studio, True)):
        (tmp_path / "studio.toml").write_text(text)
        (tmp_path / "tapes.json").unlink(missing_ok=True)
        begun = run("new", "--studio", str(tmp_path / "studio.toml"))
        assert begun.status == 0 and (line in begun.err) is told
        assert (line in run("import", "reels.csv").err) is told
