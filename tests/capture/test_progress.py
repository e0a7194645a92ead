"""What a person sees while a check runs, and stopping it in the middle."""

import os
import threading
from pathlib import Path

import numpy as np
import pytest

from core.capture.check import Cancelled, check_capture
from core.capture.files.progress import Progress
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE = 48000


def check(files, **more):
    return check_capture(ReelFacts("R-001"), StudioFacts(), files, **more)


@pytest.fixture
def pieces(wav, rng):
    """Two pieces of one pass, of three channels."""
    return [wav(f"{name}.wav", 0.1 * rng.standard_normal((2 * RATE, 3))) for name in "ab"]


@pytest.mark.parametrize("workers", [1, 2])
def test_progress_counts_the_bytes_of_all_files_to_the_end(pieces, workers):
    told: list[Progress] = []
    check(pieces, progress=told.append, block_frames=4096, workers=workers)
    total = sum(path.stat().st_size for path in pieces)
    assert {one.bytes_total for one in told} == {total}
    done = [one.bytes_done for one in told]
    assert done == sorted(done) and done[-1] == total
    assert len(set(done)) > 40 and all(one.share < 1 for one in told[:-1])
    assert [one.seconds for one in told] == sorted(one.seconds for one in told)


def test_speed_and_what_is_left_follow_from_bytes_and_seconds():
    """10^9 bytes, a quarter of them in half a second: 500 MB/s, 1.5 s to go."""
    progress = Progress(250_000_000, 1_000_000_000, 0.5)
    assert (progress.share, progress.megabytes_per_second, progress.seconds_left) == (0.25, 500, 1.5)
    assert Progress(0, 10, 0.0).seconds_left is None
    assert Progress(0, 10, 0.0).megabytes_per_second == 0


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="open files are counted in /proc")
@pytest.mark.parametrize("workers", [1, 2])
def test_a_check_stopped_in_the_middle_leaves_no_file_open_and_no_thread(pieces, tmp_path, workers):
    before, threads = set(os.listdir("/proc/self/fd")), threading.active_count()
    told: list[Progress] = []
    with pytest.raises(Cancelled):
        check(pieces, progress=told.append, cancelled=lambda: len(told) > 5, block_frames=4096,
              workers=workers)  # fmt: skip
    assert 5 < len(told) < 9 and told[-1].share < 0.5
    assert set(os.listdir("/proc/self/fd")) == before
    assert threading.active_count() == threads
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.wav", "b.wav"]


@pytest.mark.parametrize("workers", [1, 2])
def test_what_goes_wrong_while_sound_is_looked_at_is_raised_and_leaves_no_thread(
    pieces, workers, monkeypatch
):
    def fails(self, windows):
        raise MemoryError("no room")

    monkeypatch.setattr("core.capture.faults.pairs.Pairs.add", fails)
    threads = threading.active_count()
    with pytest.raises(MemoryError, match="no room"):
        check(pieces, workers=workers)
    assert threading.active_count() == threads


def test_sound_is_looked_at_in_a_thread_of_its_own_with_two_workers(pieces, monkeypatch):
    from core.capture.faults.pairs import Pairs

    by: list[str] = []
    add = Pairs.add

    def noted(self, windows):
        by.append(threading.current_thread().name)
        add(self, windows)

    monkeypatch.setattr(Pairs, "add", noted)
    one, two = (check(pieces, workers=workers) for workers in (1, 2))
    half = len(by) // 2
    assert set(by[:half]) == {threading.current_thread().name} and not set(by[:half]) & set(by[half:])
    assert one == two


def test_files_that_hold_no_sound_can_be_stopped_too(tmp_path):
    path = tmp_path / "letter.wav"
    path.write_bytes(np.random.default_rng(1).bytes(3_000_000))
    with pytest.raises(Cancelled):
        check([path], cancelled=lambda: True)
