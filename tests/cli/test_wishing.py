"""Wishes, reasons and what-ifs on the command line: text, JSON, and bad input in one line."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.usefixtures("shelf")
WEEK = ("plan", "--days", "7", "--seconds", "0")


def test_a_wish_is_kept_listed_planned_for_and_let_go(run: Any) -> None:
    assert run("wish").out == "nothing is wished\n"
    made = run("wish", "no", "chamber", "on", "sat")
    assert (made.status, made.out) == (
        0,
        "wished: no chamber on 2026-12-05; `reelturn plan` plans for it\n",
    )
    assert run("wish", "R-008", "on", "fri").status == 0
    listed = run("wish").out.splitlines()
    assert listed[0] == "1  no chamber on 2026-12-05: new: no plan is kept yet"
    plan = run("plan", "--days", "7", "--seconds", "0", "--json").json
    loads = [item for item in plan["items"] if item["kind"] == "condition"]
    assert all(not item["start"].startswith("2026-12-05") for item in loads)
    told = {one["wish"]: one for one in plan["wishes"]}
    assert told["no chamber on 2026-12-05"]["state"] == "kept"
    assert "there are no bench hours on Fri 4 Dec" in told["R-008 on 2026-12-04"]["why"]
    assert run("wish", "--json").json == plan["wishes"]
    assert run("wish", "--drop", "2").out == "let go of: R-008 on 2026-12-04\n"
    assert len(run("wish").out.splitlines()) == 1
    assert run("undo").status == 0
    assert len(run("wish").out.splitlines()) == 2


def test_a_wish_made_since_the_plan_says_so(run: Any, once: Any) -> None:
    assert once(WEEK).status == 0
    assert run("wish", "slack", "10%").status == 0
    assert run("wish").out == "1  slack 10%: new: made since the plan: plan again\n"


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("R-001", "soon"), 1, "is no wish"),
        (("R-777", "on", "fri"), 1, "no reel 'R-777'"),
        (("R-001", "on", "2026-11-01"), 1, "is past"),
        (("--drop", "3"), 1, "no wish number 3"),
        (("--drop", "x"), 2, "not a number"),
        (("R-001", "on", "fri", "--drop", "1"), 2, "not both"),
    ],
)
def test_a_wrong_wish_is_one_line(run: Any, words: tuple[str, ...], status: int, says: str) -> None:
    ran = run("wish", *words)
    assert (ran.status, ran.out) == (status, "")
    assert says in ran.err and len(ran.err.splitlines()) == 1


def test_what_stands_in_the_way_of_a_wish_is_said_when_it_is_made(run: Any) -> None:
    """Kept all the same: what bars it may be settled before the plan is made."""
    run("set", "S-04", "needs=")
    for words, says in (
        (("S-04", "by", "sat"), "S-04 names no reel that it needs: nothing makes it ready"),
        (("R-015", "on", "sat"), "R-015 is barred: "),
        (("R-008", "on", "fri"), "there are no bench hours on Fri 4 Dec"),
    ):
        ran = run("wish", *words)
        assert ran.status == 0 and ran.out.startswith("wished: ")
        assert f"in its way as it is: {says}" in ran.err
    song = next(one for one in run("songs", "--json").json if one["state"] == "barred")["song"]
    assert "is barred: " in run("wish", song, "by", "sat").err
    assert run("wish", "R-008", "on", "sat").err == ""


def test_why_names_the_rule_of_a_reel_and_of_a_song(run: Any) -> None:
    refused = run("why", "R-004")
    assert refused.status == 1 and "no plan is kept" in refused.err
    assert run("plan", "--days", "14", "--seconds", "0").status == 0
    assert "acetate" in run("why", "R-015").out
    by = run("why", "S-04", "--by", "2026-12-04", "--json").json
    assert by["what"] == "S-04"
    reels = {one["reel"]: one for one in by["because"]}
    assert "warmed from Sat 5 Dec" in reels["R-003"]["why"]
    assert all(one["rule"] and one["why"] for one in by["because"])
    assert run("why", "S-04", "--by", "2027-01-01").out.count("  nothing stands in its way\n")


def test_all_that_bars_a_reel_is_told_what_nothing_mends_first(run: Any) -> None:
    sick = ("condition=sticky", "base=polyester", "stage=identified")
    assert run("set", "R-005", "width=2 in", "tracks=", "reel_size=", *sick).status == 0
    assert run("set", "R-006", "speed=", "tracks=", "base=acetate", "condition=sticky").status == 0
    run("plan", "--days", "7", "--seconds", "0")
    wide, sour = run("why", "R-005").out, run("why", "R-006").out
    places = [wide.index(one) for one in ("no deck plays 2 in", "no chamber takes 2 in", "not known: tracks")]
    assert places == sorted(places)
    assert 0 < sour.index("acetate") < sour.index("not known: tracks")
    assert run("why", "R-005").out.count("would do it") == 0, "a length or track count mends no deck"


def test_a_song_without_reels_is_told_to_name_one(run: Any) -> None:
    assert run("set", "song", "S-04", "needs=").status == 0
    run("plan", "--days", "7", "--seconds", "0")
    told = run("why", "S-04").out
    assert "it names no reel" in told and "nothing stands" not in told


def test_why_of_what_is_not_there_is_one_line(run: Any, once: Any) -> None:
    once(WEEK)
    for words in (("why", "nobody"), ("why", "R-001", "--by", "sat"), ("why", "S-01", "--by", "soon")):
        ran = run(*words)
        assert ran.status == 1 and len(ran.err.splitlines()) == 1


def test_suppose_compares_in_one_table(run: Any, once: Any) -> None:
    once(WEEK)
    asked = ("--day", "2026-12-04=09:00-19:00", "--evening", "fri", "--trays", "C1=8", "--effort", "0.1")
    table = run("suppose", "--evening", "fri", "--effort", "0.1").out.splitlines()
    assert table[0].split() == ["change", "score", "less", "by", "reels"]
    assert table[1].startswith("as it is") and any(row.startswith("every fri too") for row in table)
    told = run("suppose", *asked, "--json").json
    assert {one["change"] for one in told} - {"planning again for longer"} == {
        "one more day, 2026-12-04 09:00-19:00", "every fri too", "8 trays in C1",
    }  # fmt: skip
    assert [one["saved"] for one in told] == sorted((one["saved"] for one in told), reverse=True)
    assert all(one["saved"] >= 0 for one in told)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--evening", "someday"), "no weekday"),
        (("--evening", "fri=late"), "19:00-22:00"),
        (("--trays", "C9=3"), "no chamber"),
        (("--trays", "C1=many"), "whole number"),
        (("--inputs", "0"), "whole number"),
        (("--seconds", "-1"), "--seconds"),
    ],
)
def test_a_wrong_change_is_one_line(run: Any, once: Any, words: tuple[str, ...], says: str) -> None:
    once(WEEK)
    ran = run("suppose", *words)
    assert ran.status == 2 and says in ran.err and len(ran.err.splitlines()) == 1


def test_slack_keeps_the_end_of_every_evening_free_and_is_off_unless_asked_for(run: Any, once: Any) -> None:
    def ends(plan: Any) -> list[str]:
        bench = [i for i in plan["items"] if i["kind"] != "condition" and i["start"][10:] >= "T19:"]
        return [i["end"][11:16] for i in bench if i["start"][:10] in ("2026-12-02", "2026-12-03")]

    full = ends(once((*WEEK, "--json")).json)
    assert max(full) > "21:06"
    spared = ends(run("plan", "--days", "7", "--seconds", "0", "--slack", "40%", "--json").json)
    assert spared and max(spared) <= "21:06"  # 210 minutes from 19:00, less 84
    assert run("plan", "--slack", "90%").status == 2


def test_an_evening_with_a_hole_says_what_could_fill_it(run: Any) -> None:
    plan = run("plan", "--days", "14", "--seconds", "0", "--json").json
    assert plan["holes"] and all(one["minutes"] >= 15 for one in plan["holes"])
    could = [words for one in plan["holes"] for words in one["could"]]
    assert any(words.startswith("write the track sheet of") for words in could)
    assert {item["kind"] for item in plan["items"]} <= {
        "identify", "condition", "repair", "align", "audition", "transfer", "verify",
    }  # fmt: skip
