"""Notes beside the sound: real depth, flat tops, names of files, and passes laid together by guide tracks."""

import numpy as np
import pytest
import soundfile
from capturedmaterial import MATERIAL

from core.capture.check import check_capture
from core.capture.files.names import NotARule, fits_rule, misnamed
from core.capture.weighing.facts import EarlierPass, ReelFacts, StudioFacts

RATE = 48000


def findings(path, kind, reel=None, studio=None, **more):
    paths = path if isinstance(path, list) else [path]
    found = check_capture(reel or ReelFacts("R-001"), studio or StudioFacts(), paths, **more)
    return [one for one in found.findings if one.kind == kind]


def sounding(rng, seconds=6.0):
    frames = int(seconds * RATE)
    return MATERIAL["chord"](rng, RATE, frames) + 1e-3 * rng.standard_normal(frames)


def test_sixteen_bits_in_a_24_bit_file_are_a_note(wav, rng):
    steps = np.round(sounding(rng) * 2**15).astype(np.int64)
    (note,) = findings(wav("d.wav", steps * 256), "depth")
    assert (note.weight, note.track) == ("note", None) and "24 bits" in note.says and "use 16" in note.says
    assert findings(wav("e.wav", steps * 256 + rng.integers(0, 2, len(steps))), "depth") == []
    assert findings(wav("f.wav", steps, bits=16), "depth") == []
    assert findings(wav("g.wav", np.zeros(RATE)), "depth") == []


def test_24_bits_in_a_32_bit_file_are_a_note(wav, rng):
    steps = np.round(sounding(rng) * 2**23).astype(np.int64) * 256
    (note,) = findings(wav("d.wav", steps, bits=32), "depth")
    assert "32 bits" in note.says and "use 24" in note.says


def test_peaks_cut_below_full_scale_are_a_note_at_most(wav, rng):
    sound = 3 * sounding(rng)
    (note,) = findings(wav("c.wav", np.clip(sound, -0.3, 0.3)), "flat tops")
    assert note.weight == "note" and note.track == 1 and "-10.5 dBFS" in note.says
    assert findings(wav("d.wav", np.clip(sound, -0.95, 0.95) * 0.3), "flat tops") == []
    assert findings(wav("e.wav", np.clip(4 * sound, -1, 1)), "flat tops") == []


@pytest.mark.parametrize("hertz", [40, 100, 997])
def test_the_round_top_of_a_slow_tone_is_not_flat(wav, hertz):
    tone = 0.5 * np.sin(2 * np.pi * hertz * np.arange(3 * RATE) / RATE)
    assert findings(wav("s.wav", tone, bits=16), "flat tops") == []


@pytest.mark.parametrize(
    ("name", "fits"),
    [("R-001 pass 2 track 09", True), ("r-001 PASS 02 track 9", True), ("R-001 pass 2 track 8", False),
     ("R-002 pass 2 track 9", False), ("R-001 pass 1 track 9", False), ("R-001 pass 2 track 9 copy", False)],
)  # fmt: skip
def test_a_name_is_held_against_the_shelfs_rule(name, fits):
    assert fits_rule(name, "{reel} pass {pass} track {track}", "R-001", 2, (1, 9, 10)) is fits


def test_no_rule_no_finding_and_a_rule_that_cannot_be_read_says_why():
    assert misnamed(["whatever"], "", "R-001", 1, (1,)) == ()
    assert fits_rule("R+1 (a) 2026-12-01 x", "{reel} (a) {date} {any}", "R+1", 1, (1,))
    with pytest.raises(NotARule, match="song"):
        misnamed(["x"], "{song}", "R-001", 1, (1,))
    with pytest.raises(NotARule, match="brace"):
        misnamed(["x"], "{reel", "R-001", 1, (1,))


def test_a_misnamed_file_is_a_note(wav, rng):
    path = wav("take two.wav", sounding(rng, 1.0))
    (note,) = findings(path, "name", studio=StudioFacts(file_names="{reel} {any}"))
    assert note.weight == "note" and note.file == 0
    assert findings(path, "name", studio=StudioFacts(file_names="take {any}")) == []
    (note,) = findings(path, "name", studio=StudioFacts(file_names="{song}"))
    assert "{song} is no part" in note.says


def two_passes(folder, rng, later=0.75, slower=40e-6):
    """Two passes of one reel with its track 1 in both: the second starts later and runs slower."""
    guide = sounding(rng, 40.0)
    other = np.arange(int(39.0 * RATE)) / (1 + slower) - later * RATE
    again = np.interp(other, np.arange(len(guide)), guide, left=0) + 1e-4 * rng.standard_normal(len(other))
    passes = [np.stack([guide, sounding(rng, 40.0)], 1), np.stack([again, sounding(rng, 39.0)], 1)]
    paths = []
    for number, sound in enumerate(passes, 1):
        paths.append(folder / f"pass{number}.wav")
        soundfile.write(paths[-1], sound, RATE, subtype="PCM_24")
    return paths


def test_two_passes_are_laid_together_by_their_guide_track(tmp_path, rng):
    first, second = two_passes(tmp_path, rng)
    reel = ReelFacts("R-001", 3, earlier=(EarlierPass(1, (1, 2), (str(first),)),))
    studio = StudioFacts(inputs=2, guide_tracks=1)
    (guide,) = findings(second, "guide", reel, studio, pass_number=2)
    assert guide.weight == "note" and "later in this pass" in guide.says
    offset = float(guide.says.split(" s later")[0].split()[-1])
    drift = float(guide.says.split(" ppm")[0].split()[-1])
    assert offset == pytest.approx(0.75, abs=0.0005) and drift == pytest.approx(40, abs=5)
    assert findings(second, "guide", reel, StudioFacts(inputs=2), pass_number=2) == []


def test_guide_tracks_that_differ_are_a_remark_and_files_that_are_gone_are_passed_over(tmp_path, rng):
    first, second = two_passes(tmp_path, rng)
    soundfile.write(first, np.stack([sounding(rng, 40.0)] * 2, 1), RATE, subtype="PCM_24")
    studio = StudioFacts(inputs=2, guide_tracks=1)
    reel = ReelFacts("R-001", 3, earlier=(EarlierPass(1, (1, 2), (str(first),)),))
    (guide,) = findings(second, "guide", reel, studio, pass_number=2)
    assert guide.weight == "remark" and "do not sound like" in guide.says
    first.unlink()
    assert findings(second, "guide", reel, studio, pass_number=2) == []
