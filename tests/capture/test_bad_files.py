"""Files that are none, that go away, or that have names no one would choose: one clear line each."""

import os
import sys
from pathlib import Path

import numpy as np
import pytest

from core.capture.check import check_capture
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


def check(files, **more):
    return check_capture(ReelFacts("R-001", 1), StudioFacts(), files, **more)


def only_line(found):
    (finding,) = found.findings
    assert not found.measured and found.verdict == "fail" and finding.kind == "unreadable"
    assert finding.says.isprintable()
    return finding.says


@pytest.fixture
def hiss():
    return 0.1 * np.random.default_rng(1).standard_normal(4 * RATE)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "a.wav is empty."),
        (b"a letter", "a.wav is not audio that can be read (WAV, RF64, BW64, FLAC and AIFF are)."),
        (b"RIFF\x24\0\0\0AVI LIST", "a.wav is a RIFF file, but no WAVE file."),
        (b"RIFF\x24\0\0\0WAVE", "a.wav has no `fmt ` chunk that tells how its samples are written."),
    ],
)  # fmt: skip
def test_what_is_not_audio_is_told_in_one_line(tmp_path, content, says):
    path = tmp_path / "a.wav"
    path.write_bytes(content)
    found = check([path])
    assert only_line(found) == says
    assert found.files[0].bytes == len(content) and found.files[0].sha256


def test_a_folder_and_a_file_that_is_not_there(tmp_path):
    assert only_line(check([tmp_path])).endswith("cannot be opened: it is a folder.")
    assert (
        only_line(check([tmp_path / "gone.wav"])) == "gone.wav cannot be opened: No such file or directory."
    )


@pytest.mark.skipif(sys.platform == "win32", reason="no named pipes in folders there")
def test_a_pipe_or_a_device_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.wav")
    for path in (tmp_path / "pipe.wav", Path("/dev/zero")):
        assert only_line(check([path])).endswith("cannot be opened: it is a pipe or a device, and no file.")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file")
def test_a_file_that_may_not_be_read(wav, hiss):
    path = wav("mine.wav", hiss)
    path.chmod(0)
    assert "Permission denied" in only_line(check([path]))


@pytest.mark.parametrize("name", ["two\nlines.wav", "tab\t[red]bell\a.wav", os.fsdecode(b"\xff\xfe.wav")])
def test_odd_names_are_measured_and_shown_on_one_line(wav, hiss, name):
    try:
        path = wav(name, hiss, cut=200_000)
    except OSError:
        pytest.skip("this file system takes no such name")
    found = check([path])
    (cut,) = (one for one in found.findings if one.kind == "cut short")
    assert cut.says.isprintable() and found.channels[0].samples == (200_000 - 44) // 3
    found.files[0].path.encode("utf-8")


def test_a_file_that_goes_away_before_it_is_read(wav, hiss, monkeypatch):
    from core.capture import check as room

    kept, lost = wav("kept.wav", hiss), wav("lost.wav", hiss)
    really = room.headers_of

    def then_unplugged(paths):
        told = really(paths)
        lost.unlink()
        return told

    monkeypatch.setattr(room, "headers_of", then_unplugged)
    found = check([kept, lost])
    assert [one.state for one in found.files] == ["whole", "cut short"]
    (broke,) = (one for one in found.findings if one.kind == "cut short")
    assert broke.says == "lost.wav broke off while it was read: No such file or directory."
    assert found.verdict == "fail" and found.files[1].sha256 is None


def test_a_disk_that_fails_while_it_is_read(wav, hiss, monkeypatch):
    from core.capture.files.hashed import HashedFile

    path = wav("a.wav", hiss)
    really = HashedFile.readinto

    def failing(self, buffer):
        if self.tell() > 300_000:
            raise OSError(5, "Input/output error")
        return really(self, buffer)

    monkeypatch.setattr(HashedFile, "readinto", failing)
    found = check([path], block_frames=4096)
    says = [one.says for one in found.findings if one.kind == "cut short"]
    assert says == ["a.wav broke off while it was read: Input/output error."]
    assert found.verdict == "fail" and 0 < found.files[0].frames < 4 * RATE
