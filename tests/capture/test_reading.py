"""The one read of every file: what is hashed meanwhile, and what becomes of a file that fails under way."""

import builtins
import hashlib
import io
import os
import random
import subprocess
import sys

import numpy as np
import pytest
import soundfile

from core.capture.check import check_capture
from core.capture.files.hashed import HashedFile
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


def check(files, **more):
    return check_capture(ReelFacts("R-001"), StudioFacts(), files, **more)


@pytest.fixture
def letter(tmp_path):
    path = tmp_path / "a.bin"
    path.write_bytes(random.Random(7).randbytes(3_000_001))
    return path


@pytest.mark.parametrize("seed", range(8))
def test_bytes_are_hashed_once_in_whatever_order_they_are_read(letter, seed):
    chance = random.Random(seed)
    with HashedFile(letter) as raw:
        file = io.BufferedReader(raw, 4096)
        for _ in range(60):
            file.seek(chance.choice([0, chance.randrange(3_000_001), file.tell(), 2_999_990]))
            file.read(chance.choice([1, 100, 5000, 400_000]))
        assert raw.hash_rest() == hashlib.sha256(letter.read_bytes()).hexdigest()


def test_an_empty_file_has_the_digest_of_nothing(tmp_path):
    """FIPS 180-4's function of the empty message, as published."""
    (tmp_path / "no").write_bytes(b"")
    with HashedFile(tmp_path / "no") as raw:
        assert raw.hash_rest() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


@pytest.fixture
def reads(monkeypatch):
    """Bytes that are read from each file, by name, through unbuffered and buffered files alike."""
    counted = {}
    really = builtins.open

    class Counted(io.FileIO):
        def readinto(self, buffer):
            got = super().readinto(buffer)
            counted[os.path.basename(self.name)] = counted.get(os.path.basename(self.name), 0) + (got or 0)
            return got

        def read(self, size=-1):
            piece = super().read(size)
            counted[os.path.basename(self.name)] = counted.get(os.path.basename(self.name), 0) + len(piece)
            return piece

    def opened(path, mode="r", buffering=-1, **more):
        if mode != "rb" or not str(path).endswith((".wav", ".flac", ".aiff")):
            return really(path, mode, buffering, **more)
        raw = Counted(path)
        return raw if buffering == 0 else io.BufferedReader(raw)

    monkeypatch.setattr(builtins, "open", opened)
    return counted


@pytest.mark.parametrize(
    ("form", "ending"), [("WAV", "wav"), ("RF64", "wav"), ("FLAC", "flac"), ("AIFF", "aiff")]
)
@pytest.mark.parametrize("workers", [1, 2])
def test_every_file_is_read_once_for_everything(tmp_path, rng, reads, form, ending, workers):
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, 0.1 * rng.standard_normal((20 * RATE, 2)), RATE, subtype="PCM_24", format=form)
    size = path.stat().st_size
    found = check([path], workers=workers)
    assert found.files[0].sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert size <= reads[path.name] < 1.2 * size


@pytest.mark.parametrize(("form", "ending"), [("WAV", "wav"), ("FLAC", "flac"), ("AIFF", "aiff")])
def test_blocks_and_workers_change_nothing_in_any_container(tmp_path, rng, form, ending):
    sound = 0.1 * rng.standard_normal((5 * RATE, 3))
    sound[70_000:70_512] = sound[69_488:70_000]
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, sound, RATE, subtype="PCM_24", format=form)
    first = check([path])
    for blocks, workers in ((1, 1), (1000, 2), (8191, 1), (1 << 17, 2)):
        if blocks > 1 or form == "WAV":
            part = check([path], block_frames=max(blocks, 97), workers=workers)
            assert part == first


def test_a_file_that_shrinks_while_it_is_read_is_cut_short_and_hashed_as_it_then_is(wav, rng):
    path = wav("a.wav", 0.1 * rng.standard_normal((6 * RATE, 2)))

    def shrink(progress):
        if progress.share > 0.5:
            os.truncate(path, 1_000_000)

    found = check([path], progress=shrink, block_frames=4096)
    (file,) = found.files
    assert file.state == "cut short" and 0 < file.frames < 6 * RATE
    assert found.verdict == "fail" and "cut short" in {one.kind for one in found.findings}


@pytest.mark.skipif(sys.platform != "linux", reason="peak memory as Linux tells it")
def test_memory_does_not_grow_with_the_length_of_a_file(wav, rng):
    """Peak resident memory of a process that checks ten seconds and of one that checks ninety."""
    second = np.round(rng.standard_normal((RATE, 8)) * 2**19).astype(np.int64)
    told = []
    for seconds in (10, 90):
        path = wav(f"{seconds}.wav", np.tile(second, (seconds, 1)))
        code = (
            "import re, sys; from pathlib import Path; from core.capture.check import check_capture;"
            "from core.capture.weighing.facts import ReelFacts, StudioFacts;"
            "check_capture(ReelFacts('B', 8), StudioFacts(), [Path(sys.argv[1])], workers=2);"
            "print(re.search(r'VmHWM:\\s+(\\d+)', Path('/proc/self/status').read_text())[1])"
        )
        done = subprocess.run([sys.executable, "-c", code, path], capture_output=True, text=True, check=True)
        told.append(int(done.stdout) / 1024)
    assert max(told) < 300
    assert told[1] - told[0] < 16
