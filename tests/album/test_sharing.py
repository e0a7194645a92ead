"""Which captures of a shelf share sound, whatever the sheets say: at the command line."""

from __future__ import annotations

import soundfile


def test_captures_that_share_sound_are_found_without_their_sheets(run, shelf, captures):
    (shelf / "more.csv").write_text(
        "reel,box_label,role,width,tracks,speed,base,condition\n"
        "R-9,(no label),mix,1/4 in,2,15 ips,polyester,ok\n"
    )
    assert run("import", "more.csv").status == 0
    sound, rate = soundfile.read(captures / "mix.wav")
    soundfile.write(shelf / "short.wav", sound[25 * rate : 47 * rate], rate, "PCM_24")  # a piece of the mix
    assert run("check", "R-9", "short.wav").status in (0, 1)
    told = run("tie", "--sharing")
    assert told.status == 0, told.err
    lines = told.out.splitlines()
    assert lines[-1].startswith("5 captures, 10 pairs not tied by sound yet")
    tied = {frozenset((tie["one"]["reel"], tie["two"]["reel"])) for tie in run("tie", "--json").json}
    assert {frozenset(("R-1", "R-3")), frozenset(("R-1", "R-9")), frozenset(("R-3", "R-9"))} <= tied
    assert not any("R-4" in pair for pair in tied)
    ((mine,), others) = [line for line in lines if "R-1 at" in line and "R-9 at" in line], lines
    assert mine.endswith("no sheet tells of it")
    assert not next(line for line in others if "R-1 at" in line and "R-3 at" in line).endswith("tells of it")
    assert run("tie", "--sharing").out.splitlines()[-1].endswith(" 0 found to share sound")


def test_it_takes_no_reel_and_stops_where_one_asks(run, shelf, monkeypatch):
    refused = run("tie", "R-1", "R-3", "--sharing")
    assert refused.status == 2 and "name no reel" in refused.err and refused.err.count("\n") == 1
    monkeypatch.setattr("tui.commands.interrupting.Interrupting.asked", lambda self: True)
    stopped = run("tie", "--sharing")
    assert stopped.status == 130 and "kept" in stopped.err
