"""Faults at known places in all kinds of made-up material: each is found, and nothing else is.

Half a minute of every material, and a pass of sixteen tracks with faults of whole tracks; the long run,
with its table, is tests/benchmarks/seeded_faults.py.
"""

import pytest
from capturedfaults import DECOYS, FAULTS
from capturedmaterial import MATERIAL
from capturedscore import Capture, Score, checked, make, meets, write
from capturedwhole import broken_code, joined_pieces, whole_track_faults

STEADY = ("chord", "organ", "surf", "low_drone", "piano", "songs", "full_mix", "voice")
HARSH = ("tremolo", "chopped", "rough", "gated", "one_note", "bursts", "drums", "plucks", "sparse", "crunch")


def scored(capture, folder):
    sound, faults = make(capture)
    found = checked(write(folder / "made up.wav", sound, capture.rate, capture.subtype))
    score = Score()
    score.add(capture, faults, found.findings)
    return score, faults, found


def test_every_kind_of_material_and_fault_is_there():
    assert {*STEADY, *HARSH} < set(MATERIAL) and set(DECOYS) < set(FAULTS)


@pytest.mark.parametrize(("rate", "subtype"), [(44100, "PCM_16"), (96000, "FLOAT")])
def test_seeded_faults_in_steady_material(tmp_path, rate, subtype):
    score, faults, found = scored(Capture(41, STEADY, 24.0, rate, subtype, 3.0), tmp_path)
    for kind, least in (("clipping", 1.0), ("repeat", 1.0), ("zero run", 1.0), ("dropout", 0.9)):
        assert score.put[kind] >= 5 and score.found[kind] >= least * score.put[kind], score.lines
    assert score.false == {}, score.lines
    real = [fault for fault in faults if not fault.decoy]
    assert all(any(meets(one, fault) for fault in real) for one in found.listening_list())


def test_rests_tremolo_gates_and_beats_are_no_faults(tmp_path):
    score, _, _ = scored(Capture(42, HARSH, 30.0), tmp_path)
    assert score.false == {}, score.lines


def test_faults_of_whole_tracks(tmp_path):
    names, faults, found, seconds = whole_track_faults(43, tmp_path)
    score = Score()
    score.add(Capture(43, tuple(names), seconds), faults, found)
    assert score.found == score.put and len(score.put) == 6, score.lines
    assert score.false == {}, score.lines


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_pieces_that_overlap_meet_or_leave_a_hole(tmp_path, seed):
    what, right, says = joined_pieces(seed, tmp_path)
    assert right, f"{what}: {says}"


@pytest.mark.parametrize("seed", [1, 2])
def test_timecode_that_is_broken(tmp_path, seed):
    what, right, says = broken_code(seed, tmp_path)
    assert right, f"{what}: {says}"
