"""What sheets claim is held against what sounds, at the command line and by the key on a song in time."""

from __future__ import annotations

import shutil

import pytest


@pytest.fixture
def listened(run, tmp_path, after):
    """A shelf of its own on which all that the sheets of the song claim was heard."""
    shutil.copytree(after("tie", "--song", "S-1"), tmp_path, dirs_exist_ok=True)


def opened(run, word: str) -> list[str]:
    return [line for line in run("parts", "S-1", "--json").json["open"] if word in line]


def put(run, *rows: str) -> None:
    """Rows of track sheets in the place of those of the same sheet and track."""
    with open("more.csv", "w") as file:
        file.write("sheet,reel,song,track,part,take,copied_from\n" + "".join(f"{row}\n" for row in rows))
    done = run("import", "more.csv", "--update")
    assert done.status == 0, done.err


def test_true_copies_sound_so_and_the_opposed_side_of_a_mix_is_told_once(run, shelf):
    assert not opened(run, "is opposed to")
    heard = run("tie", "--song", "S-1")
    assert heard.status == 0, heard.err
    assert "R-1 and R-2: 2 of 2 claims of the sheets sound so" in heard.out
    assert "R-1 and R-3: 6 of 6 claims of the sheets sound so" in heard.out
    (line,) = opened(run, "is opposed to")
    assert line == (
        "R-3:2 mix right is opposed to R-1:1 drums, R-1:2 guitar, R-1:3 bass: "
        "turn one of the two before they are mixed"
    )
    assert not opened(run, "sound like") and not opened(run, "not heard") and not opened(run, "no sheet")
    again = run("tie", "--song", "S-1")
    assert again.status == 0 and "every copy was heard" in again.out


def test_a_copy_that_is_another_sound_and_a_part_that_is_not_in_the_bounce_are_told(run, shelf):
    put(run, "T-2,R-2,S-1,2,voice,1,R-1:3", "T-2,R-2,S-1,1,kit and guitar,1,R-1:1-3")
    heard = run("tie", "--song", "S-1")
    assert heard.status == 1 and "R-1 and R-2: 2 of 4 claims of the sheets sound so, 2 do not" in heard.out
    (copy,) = opened(run, "does not sound like it")
    assert copy.startswith("R-2:2 voice is told to be a copy of R-1:3 bass and does not sound like it (")
    (part,) = opened(run, "not heard in")
    assert part.startswith("R-1:3 bass is not heard in R-2:1 kit and guitar, which is told to hold it (")
    assert run("undo").status == 0


def test_a_copy_that_nobody_wrote_down_is_found(run, shelf):
    assert run("remove", "sheet", "T-3").status == 0
    put(run, "T-3,R-3,S-1,1,strings,,", "T-3,R-3,S-1,2,backing,,")
    assert run("tie", "--song", "S-1").status == 0
    lines = opened(run, "no sheet says so")
    assert any("R-3:2 backing" in line and "opposed" in line for line in lines)
    assert any("R-1:1 drums and R-3:1 strings sound the same (" in line for line in lines)
    assert all("R-3:" in line and line.endswith("where one is a copy write copied_from") for line in lines)


def test_two_first_recordings_of_one_name_are_told_apart_by_ear(run, shelf):
    put(run, "T-2,R-2,S-1,2,bass,1,")
    assert run("tie", "--song", "S-1").status == 1
    (line,) = opened(run, "two playings")
    assert "R-1:3 bass" in line and "R-2:2 bass" in line and "give each its take" in line


@pytest.mark.parametrize("kind", ["reel", "song"])
def test_what_was_heard_follows_to_another_key_and_goes_with_one_undo(run, listened, kind):
    song, reel = ("S-1", "A-3") if kind == "reel" else ("A-1", "R-3")
    assert run("rename", *(("R-3", "A-3") if kind == "reel" else ("S-1", "A-1"))).status == 0
    told = run("parts", song, "--json").json["open"]
    assert any(line.startswith(f"{reel}:2 mix right is opposed") for line in told)
    assert "every copy was heard" in run("tie", "--song", song).out
    assert run("undo").status == 0 and run("undo").status == 0
    assert not opened(run, "is opposed to")
