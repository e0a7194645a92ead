"""Values of a check: the JSON goes out and comes back, and the heaviest finding speaks."""

import json
from datetime import UTC, datetime

import pytest

from core.findings import (
    AudioFile,
    ChannelMeasure,
    Check,
    Finding,
    SpeedFound,
    Strip,
    TimecodeFound,
    TimecodeRunFound,
)  # fmt: skip


def a_file(**other):
    told = {"path": "a.wav", "sha256": "0" * 64, "bytes": 44, "container": "WAV", "encoding": "PCM_24",
            "sample_rate": 96000, "channels": 1, "frames": 0, "seconds": 0.0, "state": "whole"}  # fmt: skip
    return AudioFile(**{**told, **other})


def a_check(*findings):
    measure = ChannelMeasure(1, 0, 0, -3.0, -2.9, None, 0.0, 0, 0)
    run = TimecodeRunFound(0, 96000, "01:00:00:00", "01:00:00:23", 3600.0, 1 / 96000, 0.01)
    return Check("R-001", (a_file(bext={"originator": "deck"}, time_reference=7),), (measure,), findings,
                 (TimecodeFound(16, "24", "forward", 24, 0, (run,)),), SpeedFound(0.1, 1.73, "tone"),
                 2, (1,), 60.0, datetime(2026, 12, 1, tzinfo=UTC))  # fmt: skip


def test_a_check_comes_back_from_its_json_equal():
    check = a_check(Finding("copy", 1, 0.0, 60.0, "remark", "the same", other=2, notes=("buzz",)))
    assert Check.from_json(json.loads(json.dumps(check.to_json()))) == check


def test_the_verdict_is_that_of_the_heaviest_finding():
    note = Finding("join", None, 1, 2, "note", "joined")
    remark = Finding("hum", 1, 0, 60, "remark", "hums")
    fail = Finding("clipping", 1, 1, 2, "fail", "clips")
    assert a_check().verdict == a_check(note).verdict == "pass"
    assert a_check(note, remark).verdict == "remarks"
    assert a_check(remark, fail, note).verdict == "fail"


def test_a_check_that_measured_nothing_fails():
    assert Check("R-001", (a_file(state="unreadable"),)).verdict == "fail"


def test_the_listening_list_takes_the_worst_first_and_each_place_once():
    places = [Finding("dropout", 1, at, at + 0.1, "remark", "fell", size=at) for at in (1.0, 1.2, 5.0)]
    clip = Finding("clipping", 1, 3.0, 3.1, "fail", "clips")
    whole = Finding("hum", 1, 0.0, 60.0, "remark", "hums", size=99)
    assert a_check(*places, clip, whole).listening_list() == (clip, places[2], places[1])


def test_a_finding_checks_its_weight_and_its_place():
    with pytest.raises(ValueError, match="weight"):
        Finding("hum", 1, 0, 1, "terrible", "")
    with pytest.raises(ValueError, match="before its start"):
        Finding("hum", 1, 2, 1, "note", "")
    with pytest.raises(ValueError, match="state"):
        a_file(state="fine")


def test_a_strip_comes_back_from_its_json_and_tells_decibels():
    strip = Strip(10.0, (1, 2), 3, (b"\x00\x0c\xff", b"\x01\x02\x03"), (b"abc", b"def"))
    assert Strip.from_json(strip.to_json()) == strip
    assert strip.levels(strip.peaks[0]) == [0.0, -6.0, None]
    with pytest.raises(ValueError):
        Strip(10.0, (1,), 3, (b"ab",), (b"abc",))
    more = Strip(10.0, (1,), 3, (b"abc",), (b"abc",), (b"xyz",), ((5.0, None, 1.25), (7.0, -0.1, None)))
    assert Strip.from_json(json.loads(json.dumps(more.to_json()))) == more
