"""What becomes of checked files: later looks, second copies, manifests, and the bag for handing over."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import bagit
import pytest
from pypdf import PdfReader

from core.capture.files.progress import Cancelled
from core.errors import Refused, Unusable
from core.standing.gates import unmet
from core.standing.proof import changed
from tui.board.rows import Board
from tui.commands.demo_ import CAPTURE, lay_out

EVENING = datetime(2026, 12, 1, 18, 52, tzinfo=UTC)


@pytest.fixture(scope="session")
def measured(made_up, tmp_path_factory):
    """What the check of R-022's capture found; it is measured once."""
    book = lay_out(tmp_path_factory.mktemp("measured"), lambda: EVENING)
    return book.captures.check("R-022", [made_up], keep=False)


@pytest.fixture
def checked(book, capture, hear, measured):
    """The shelf after that check of its own copy, listened to and verified by it."""
    (file,) = measured.files
    book.captures.keep_check(replace(measured, files=(replace(file, path=str(capture)),)))
    hear(book, "R-022")
    book.mark("R-022", "verified")
    return book


def looked(book):
    looks = book.captures.look_again("R-022")
    return looks, book.captures.keep_looks(looks)


def test_a_check_keeps_by_what_it_was_judged_and_where_its_files_lie(book, capture, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    book.captures.set_threshold("speed", "0.2")
    shown = book.captures.check("R-022", [Path("captures") / CAPTURE])
    kept = book.shelf.of_kind("check")["R-022 pass 1"]
    assert shown.files[0].path == f"captures/{CAPTURE}" and kept["files"][0]["path"] == str(capture)
    assert kept["thresholds"]["speed"] == 0.2 and kept["thresholds"]["weight clipping"] == "fail"
    assert kept["program"] and kept["at"] == "2026-12-01T18:52:00+00:00"


def test_the_same_files_measured_again_come_out_the_same(checked):
    ((then, now),) = checked.captures.measured_again("R-022")
    assert [f.says for f in then.findings] == [f.says for f in now.findings] and then.findings
    assert (then.channels, then.timecode, then.speed) == (now.channels, now.timecode, now.speed)


def test_files_that_are_as_they_were_leave_the_reel_verified(checked):
    (look,), lost = looked(checked)
    assert look.state == "unchanged" and lost is None
    assert checked.shelf.reel("R-022").stage == "verified"


def test_a_changed_file_takes_the_stage_away_loudly(checked, capture, flip):
    flip(capture)
    (look,), lost = looked(checked)
    assert look.state == "changed" and "same length but other content" in look.files[0].says
    assert "verified no more" in lost
    reel = checked.shelf.reel("R-022")
    assert reel.stage == "transferred"
    row = Board(checked.shelf, checked.now()).row("R-022")
    assert "a checked file changed" in row.blocked and CAPTURE in row.blocked
    told = [event for event in checked.shelf.history if event.key == "R-022" and event.field == "stage"][-1]
    assert (told.old, told.new) == ("verified", "transferred") and CAPTURE in told.because
    assert "changed" in unmet(checked.shelf, reel, "verified", checked.now())


def test_checking_anew_or_putting_the_file_back_opens_the_gate_again(checked, capture, copy, flip, hear):
    flip(capture)
    looked(checked)
    shutil.copy(copy, capture)
    looked(checked)
    assert changed(checked.shelf, checked.shelf.reel("R-022")) is None
    flip(capture)
    looked(checked)
    checked.captures.check("R-022", [capture])
    with pytest.raises(Refused, match="places not listened to"):
        checked.mark("R-022", "verified")  # what was heard was heard in other files
    hear(checked, "R-022")
    assert checked.mark("R-022", "verified").reel("R-022").stage == "verified"


def test_a_disk_that_is_not_plugged_in_costs_nothing(checked, capture, tmp_path):
    (tmp_path / "captures").rename(tmp_path / "unplugged")
    (look,), lost = looked(checked)
    assert look.state == "missing" and "plugged in" in look.files[0].says and lost is None
    assert checked.shelf.reel("R-022").stage == "verified"


def test_a_changed_file_does_not_become_right_by_being_away(checked, capture, flip):
    flip(capture)
    looked(checked)
    capture.unlink()
    looked(checked)
    assert "a checked file changed" in unmet(
        checked.shelf, checked.shelf.reel("R-022"), "verified", checked.now()
    )


def test_a_second_copy_is_kept_only_as_whole_as_it_is(checked, copy, flip):
    (good,) = checked.captures.compare_copy("R-022", copy.parent)
    assert good.state == "unchanged"
    flip(copy)
    (bad,) = checked.captures.compare_copy("R-022", copy.parent)
    assert bad.state == "changed"
    with pytest.raises(Unusable, match="no folder is there"):
        checked.captures.compare_copy("R-022", copy.parent / "nowhere")


def test_a_studio_that_wants_a_second_copy_gets_it_or_a_reason(book, capture, copy, hear):
    wants = replace(book.shelf.studio.capture, second_copy=True)
    book.change(lambda s: replace(s, studio=replace(s.studio, capture=wants)), what="want second copies")
    book.captures.check("R-022", [capture])
    hear(book, "R-022")
    with pytest.raises(Refused, match="no second copy"):
        book.mark("R-022", "verified")
    book.captures.keep_copies(book.captures.compare_copy("R-022", copy.parent))
    assert book.mark("R-022", "verified").reel("R-022").stage == "verified"


def test_another_check_of_other_files_lets_the_copy_go(book, capture, copy, small):
    from core.standing.proof import no_second_copy

    book.captures.check("R-022", [capture])
    book.captures.keep_copies(book.captures.compare_copy("R-022", copy.parent))
    assert no_second_copy(book.shelf, "R-022") is None
    book.captures.check("R-022", [small("captures/R-022 again.wav", 8)])
    assert "no second copy" in no_second_copy(book.shelf, "R-022")


def test_a_place_to_be_captured_again_shuts_the_gate(book, capture, hear):
    check = book.captures.check("R-022", [capture])
    place = check.listening_list()[0]
    book.captures.mark_place("R-022", 1, place, "again")
    with pytest.raises(Refused, match="1 place is to be captured again in pass 1"):
        book.mark("R-022", "verified")
    book.captures.mark_place("R-022", 1, place, "fine")
    with pytest.raises(Refused, match="1 place not listened to"):
        book.mark("R-022", "verified")
    hear(book, "R-022")
    assert book.mark("R-022", "verified").reel("R-022").stage == "verified"


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum here")
def test_sha256sum_verifies_the_manifest_where_it_lies_and_from_anywhere(book, small, tmp_path):
    odd = [small(f"takes/{name}.wav") for name in ("back\\slash", "line\nbreak", "Ünïcode", "100%")]
    book.captures.check("R-021", odd[:2], pass_number=1)
    book.captures.check("R-022", odd[2:], pass_number=1)
    file = book.handing_out.write_manifest(["R-021", "R-022"], tmp_path / "takes" / "SHA256SUMS")
    done = subprocess.run(["sha256sum", "-c", "--strict", file.name], cwd=file.parent, capture_output=True)
    assert done.returncode == 0 and done.stdout.count(b": OK") == 4, done.stdout + done.stderr
    anywhere = book.handing_out.manifest(["R-021", "R-022"]).encode()
    done = subprocess.run(["sha256sum", "-c", "--strict"], input=anywhere, cwd="/", capture_output=True)
    assert done.returncode == 0 and done.stdout.count(b": OK") == 4, done.stdout + done.stderr


def test_a_manifest_takes_the_place_of_a_manifest_only(checked, tmp_path):
    letter = tmp_path / "letter.txt"
    letter.write_text("dear all\n")
    with pytest.raises(Unusable, match="not touched"):
        checked.handing_out.write_manifest(["R-022"], letter)
    assert letter.read_text() == "dear all\n"
    file = checked.handing_out.write_manifest(["R-022"], tmp_path / "SHA256SUMS")
    assert checked.handing_out.write_manifest(["R-022"], file) == file


def test_another_validator_finds_the_bag_valid(checked, tmp_path):
    """bagit-python, by the Library of Congress, against RFC 8493."""
    folder = checked.handing_out.hand_over(["R-022"], tmp_path / "bag")
    bag = bagit.Bag(str(folder))
    assert bag.is_valid() and bag.version_info == (1, 0)
    assert sorted(bag.payload_files()) == [
        "data/R-022/capture-R-022.pdf", "data/R-022/check-pass-1.json", f"data/R-022/pass-1/{CAPTURE}",
    ]  # fmt: skip
    assert bag.info["External-Identifier"] == "R-022" and bag.info["Source-Organization"] == "Marram Wharf"
    told = json.loads((folder / "data/R-022/check-pass-1.json").read_text())
    assert told["verdict"] == "remarks" and [one["path"] for one in told["files"]] == [f"pass-1/{CAPTURE}"]


def test_no_bag_is_made_of_files_that_are_not_what_was_checked(checked, capture, flip, tmp_path):
    flip(capture)
    with pytest.raises(Unusable, match="not what was checked"):
        checked.handing_out.hand_over(["R-022"], tmp_path / "bag")
    capture.unlink()
    with pytest.raises(Unusable, match="no bag was made"):
        checked.handing_out.hand_over(["R-022"], tmp_path / "bag")
    assert not (tmp_path / "bag").exists() and not list(tmp_path.glob(".bag-*"))


def test_a_bag_never_goes_over_what_is_there(checked, tmp_path):
    (tmp_path / "bag").mkdir()
    with pytest.raises(Unusable, match="not touched"):
        checked.handing_out.hand_over(["R-022"], tmp_path / "bag")
    assert list((tmp_path / "bag").iterdir()) == []


def test_what_is_stopped_leaves_nothing(checked, tmp_path):
    before = checked.path.read_bytes()
    for work in (
        lambda stop: checked.captures.look_again("R-022", cancelled=stop),
        lambda stop: checked.handing_out.hand_over(["R-022"], tmp_path / "bag", cancelled=stop),
        lambda stop: checked.captures.check("R-022", [tmp_path / "captures" / CAPTURE], cancelled=stop),
    ):
        with pytest.raises(Cancelled):
            work(lambda: True)
    assert checked.path.read_bytes() == before
    assert not (tmp_path / "bag").exists() and not list(tmp_path.glob(".bag-*"))


def test_the_report_tells_how_the_files_are_kept(checked, copy, tmp_path):
    checked.captures.keep_copies(checked.captures.compare_copy("R-022", copy.parent))
    looked(checked)
    place = checked.captures.kept_checks("R-022")[0].listening_list()[0]
    checked.captures.mark_place("R-022", 1, place, "fine")
    (path,) = checked.handing_out.report("R-022", tmp_path / "paper")
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    assert "looked at again" in text and "unchanged" in text
    assert "equal by SHA-256" in text and "listened, fine" in text
    assert "Noted: dropout something in the left guitar" in " ".join(text.split())


def test_a_reel_without_a_check_is_told_so(book, tmp_path):
    for work in (
        lambda: book.captures.look_again("R-001"),
        lambda: book.handing_out.report("R-001", tmp_path),
    ):
        with pytest.raises(Refused, match="no check of R-001 is kept"):
            work()
