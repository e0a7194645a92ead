"""The whole check of a pass: values against other tools, findings as the words of the trade mean them."""

import json
import shutil
import subprocess

import numpy as np
import pytest
import soundfile

from core.capture.check import Cancelled, check_capture
from core.capture.files.wave.bext import write_bext
from core.capture.timecode.encode import word_bits
from core.capture.timecode.labels import RATES
from core.capture.weighing.facts import ReelFacts, StudioFacts, TimedNote
from core.findings import Check

RATE = 48000


def check(files, reel=None, studio=None, **more):
    files = files if isinstance(files, list) else [files]
    return check_capture(reel or ReelFacts("R-001"), studio or StudioFacts(), files, **more)


def kinds(found: Check):
    return sorted({one.kind for one in found.findings})


def music(rng, seconds, channels=1, rate=RATE):
    """Sustained chords of vibrating partials over hiss: sound that goes on."""
    at = np.arange(int(seconds * rate)) / rate
    out = np.empty((len(at), channels))
    for channel in range(channels):
        root = rng.uniform(110, 220)
        sound = np.zeros(len(at))
        for ratio in (1, 1.26, 1.498):
            sway = 1 + 0.002 * np.sin(2 * np.pi * 5 * at + rng.uniform(0, 6))
            phase = 2 * np.pi * np.cumsum(root * ratio * sway) / rate + rng.uniform(0, 6)
            sound += np.sin(phase) + 0.4 * np.sin(2 * phase)
        out[:, channel] = 0.08 * sound + 10 ** (-66 / 20) * rng.standard_normal(len(at))
    return out


def test_a_full_scale_sine_has_minus_3_01_db(wav):
    """AES17 gives such a sine 0 dBFS; the mathematical RMS is 20 log10(1/sqrt 2) = -3.0103."""
    tone = np.sin(2 * np.pi * 997 * np.arange(2 * RATE) / RATE)
    (channel,) = check(wav("s.wav", tone * (1 - 1e-7))).channels
    assert channel.rms_dbfs == pytest.approx(-3.0103, abs=0.001)
    assert channel.peak_dbfs == pytest.approx(0, abs=0.001)


@pytest.mark.parametrize(
    ("part", "degrees", "gain", "true_peak"),
    [(4, 45, 0.5, -6.0), (6, 60, 0.5, -6.0), (8, 67.5, 0.5, -6.0), (4, 45, 1.41, 3.0)],
)
def test_true_peak_of_the_ebu_signals(tmp_path, part, degrees, gain, true_peak):
    """EBU Tech 3341, cases 16 to 19: +0.2/-0.4 dB."""
    at = np.arange(2 * RATE)
    tone = gain * np.sin(2 * np.pi * at / part + np.deg2rad(degrees))
    fade = np.minimum(1, np.minimum(at, at[::-1]) / 4800)
    path = tmp_path / "tp.wav"
    soundfile.write(path, tone * fade, RATE, subtype="FLOAT")
    (channel,) = check(path).channels
    assert true_peak - 0.4 <= channel.true_peak_dbtp <= true_peak + 0.2


def test_true_peak_agrees_with_resampling_the_whole_file(wav, rng):
    from scipy.signal import resample_poly

    sound = 0.2 * rng.standard_normal((3 * RATE, 2)).clip(-3, 3)
    found = check(wav("n.wav", sound))
    steps = np.round(sound * 2**23) / 2**23
    wanted = 20 * np.log10(np.abs(resample_poly(steps, 4, 1, axis=0)).max(axis=0))
    assert [one.true_peak_dbtp for one in found.channels] == pytest.approx(list(wanted), abs=0.01)


@pytest.mark.parametrize("bits", [16, 24, 32])
def test_levels_are_those_of_the_samples(wav, rng, bits):
    sound = rng.uniform(-1, 1, (70001, 3)) * [0.9, 0.01, 0.3] + [0.0, 0.002, 0.0]
    path = wav("l.wav", sound, bits=bits)
    samples, _ = soundfile.read(path, dtype="float64", always_2d=True)
    for channel, column in zip(check(path).channels, samples.T, strict=True):
        assert channel.rms_dbfs == pytest.approx(20 * np.log10(np.sqrt(np.mean(column**2))), abs=1e-4)
        assert channel.peak_dbfs == pytest.approx(20 * np.log10(np.abs(column).max()), abs=1e-6)
        assert channel.dc == pytest.approx(column.mean(), abs=1e-7)
        assert channel.zero_samples == np.count_nonzero(column == 0)
        assert channel.samples == 70001


def test_levels_are_those_of_sox(wav, rng):
    if shutil.which("sox") is None:
        pytest.skip("no sox here")
    path = wav("l.wav", music(rng, 3.0))
    (channel,) = check(path).channels
    told = subprocess.run(["sox", str(path), "-n", "stats"], capture_output=True, text=True, check=True)
    values = {line[:12].strip(): line.split()[-1] for line in told.stderr.splitlines()}
    assert channel.peak_dbfs == pytest.approx(float(values["Pk lev dB"]), abs=0.01)
    assert channel.rms_dbfs == pytest.approx(float(values["RMS lev dB"]), abs=0.01)


def test_a_silent_track_has_no_decibels(wav):
    (channel,) = check(wav("z.wav", np.zeros(RATE))).channels
    assert (channel.peak_dbfs, channel.rms_dbfs, channel.true_peak_dbtp) == (None, None, None)
    assert channel.zero_samples == RATE


def test_three_full_scale_samples_in_a_row_are_clipping_and_two_are_not(wav, rng):
    sound = np.round(music(rng, 3)[:, 0] * 2**23).astype(np.int64)
    sound[50_000:50_002] = 2**23 - 1
    sound[60_000:60_003] = -(2**23)
    sound[60_100:60_105] = 2**23 - 1
    sound[100_000:100_004] = 2**23 - 1
    found = check(wav("c.wav", sound))
    clips = [one for one in found.findings if one.kind == "clipping"]
    assert [(round(one.start * RATE), round(one.end * RATE)) for one in clips] == [
        (60_000, 60_105), (100_000, 100_004)]  # fmt: skip
    assert found.channels[0].clipped_samples == 14
    assert found.verdict == "fail"


def test_float_samples_at_or_beyond_one_are_clipped(tmp_path, rng):
    sound = music(rng, 1)[:, 0]
    sound[1000:1004] = [1.0, 1.5, -1.0, 2.0]
    path = tmp_path / "f.wav"
    soundfile.write(path, sound, RATE, subtype="FLOAT")
    found = check(path, studio=StudioFacts(RATE, 24))
    assert found.channels[0].clipped_samples == 4
    assert found.channels[0].peak_dbfs == pytest.approx(6.02, abs=0.01)
    assert "format" not in kinds(found)


def test_a_dropout_in_sustained_sound_is_found_at_its_place(wav, rng):
    sound = music(rng, 6)
    for start, milliseconds, decibels in ((1.5, 8, 30), (3.0, 40, 18), (4.5, 200, 40)):
        first, length = int(start * RATE), milliseconds * RATE // 1000
        gain = np.full(length, 10 ** (-decibels / 20))
        gain[:48], gain[-48:] = np.linspace(1, gain[0], 48), np.linspace(gain[0], 1, 48)
        sound[first : first + length, 0] *= gain
    found = check(wav("d.wav", sound))
    assert kinds(found) == ["dropout"]
    assert [one.start for one in found.findings] == pytest.approx([1.5, 3.0, 4.5], abs=0.005)
    assert [one.end - one.start for one in found.findings] == pytest.approx([0.008, 0.04, 0.2], abs=0.005)


def test_notes_that_decay_and_rests_between_them_are_no_dropouts(wav, rng):
    at = np.arange(int(0.4 * RATE)) / RATE
    notes = [0.3 * np.sin(2 * np.pi * hertz * at) * np.exp(-6 * at) for hertz in rng.uniform(100, 800, 20)]
    pitches = rng.uniform(100, 800, 20)
    gated = [np.where(at < 0.25, 0.2 * np.sin(2 * np.pi * hertz * at), 0) for hertz in pitches]
    sound = np.stack([np.concatenate(notes), np.concatenate(gated)], axis=1)
    found = check(wav("n.wav", sound + 1e-4 * rng.standard_normal(sound.shape)))
    # A gate that shuts within a sample does click.
    assert [one.kind for one in found.findings if one.kind != "click"] == [] and found.verdict == "pass"


def test_zeros_inside_sound_are_a_zero_run_from_2_ms_on(wav, rng):
    sound = music(rng, 3)
    sound[40_000:40_095] = 0
    sound[80_000:80_096] = 0
    runs = [one for one in check(wav("z.wav", sound)).findings if one.kind == "zero run"]
    assert [(round(one.start * RATE), round(one.end * RATE)) for one in runs] == [(80_000, 80_096)]


@pytest.mark.parametrize("length", [256, 441, 1000, 4096])
def test_a_repeated_block_is_found_where_its_second_copy_stands(wav, rng, length):
    sound = music(rng, 3, 2)
    sound[70_000 : 70_000 + length, 1] = sound[70_000 - length : 70_000, 1]
    (found,) = check(wav("r.wav", sound)).findings
    assert (found.kind, found.track) == ("repeat", 2)
    assert found.start == pytest.approx(70_000 / RATE, abs=1e-4)
    assert found.end == pytest.approx((70_000 + length) / RATE, abs=1e-4)


def test_a_block_repeated_on_all_tracks_is_one_finding(wav, rng):
    sound = music(rng, 3, 4)
    sound[70_000:70_512] = sound[69_488:70_000]
    (found,) = check(wav("r.wav", sound)).findings
    assert (found.kind, found.track) == ("repeat", None)


def test_timecode_that_was_never_on_a_tape_is_no_repeat(wav, rng):
    """Biphase mark of SMPTE ST 12-1, 80 bits a frame, drawn here with 12 samples a half bit: a level that
    changes at every bit's begin, and in its middle where it is one. Such samples are equal bit after bit."""
    half_bits, level = [], 1
    for bit in word_bits("01:00:00:00", 300, RATES["25"]).ravel():
        level = -level
        half_bits.append(level)
        level = -level if bit else level
        half_bits.append(level)
    drawn = 0.3 * np.convolve(np.repeat(half_bits, 12), [0.25, 0.5, 0.25], "same")
    for turned in (1, -1):
        sound = np.column_stack([music(rng, 12)[:, 0], drawn[::turned]])
        assert "repeat" not in kinds(check(wav("c.wav", sound)))
        sound[70_000:70_512] = sound[69_488:70_000]
        assert "repeat" in kinds(check(wav("c.wav", sound)))


def test_a_digital_tone_is_no_repeat(wav):
    tone = 0.25 * np.sin(2 * np.pi * 1000 * np.arange(3 * RATE) / RATE)
    assert check(wav("t.wav", tone)).findings == ()


def test_hum_needs_harmonics_and_minus_60(wav, rng):
    at = np.arange(8 * RATE) / RATE

    def hum(decibels):
        return 10 ** (decibels / 20) * sum(np.sin(2 * np.pi * 50 * k * at) / k for k in (1, 2, 3))

    sound = music(rng, 8, 3)
    sound[:, 0] += hum(-48)
    sound[:, 1] += hum(-80)
    sound[:, 2] += 0.01 * np.sin(2 * np.pi * 50 * at)
    assert [(one.kind, one.track) for one in check(wav("h.wav", sound)).findings] == [("hum", 1)]


def test_dc_counts_from_a_thousandth_of_full_scale(wav, rng):
    sound = music(rng, 2, 3) + np.array([0.0015, -0.0015, 0.0005])
    assert [(one.kind, one.track) for one in check(wav("dc.wav", sound)).findings] == [("dc", 1), ("dc", 2)]


def test_copies_and_opposed_copies_at_any_gain_within_a_millisecond(wav, rng):
    one, two, three = music(rng, 6, 3).T
    late = np.roll(one, 40) * 0.3 + 1e-5 * rng.standard_normal(len(one))
    near = three + 0.3 * three.std() * rng.standard_normal(len(three))
    found = check(wav("p.wav", np.stack([one, two, late, -0.5 * two, three, near], axis=1))).findings
    assert [(f.kind, f.track, f.other) for f in found] == [("copy", 1, 3), ("polarity", 2, 4)]


def test_silence_and_sound_are_told_by_the_sheet(wav, rng):
    sound = np.stack([music(rng, 3)[:, 0], 1e-5 * rng.standard_normal(3 * RATE)] * 2, axis=1)
    reel = ReelFacts("R-001", 4, sheet={1: "bass", 2: "snare"})
    sound[:, 2] = music(rng, 3)[:, 0]
    path = wav("s.wav", sound)
    assert [(f.kind, f.track) for f in check(path, reel).findings] == [("silence", 2), ("sound", 3)]
    assert check(path, ReelFacts("R-001", 4)).findings == ()


@pytest.mark.parametrize(
    ("expected", "kind"), [(10.0, None), (12.6, None), (13.0, "short"), (7.5, "long"), (7.7, None)]
)
def test_length_counts_when_off_by_more_than_5_percent_and_2_seconds(wav, rng, expected, kind):
    path = wav("l.wav", 0.001 * rng.standard_normal(10 * RATE))
    found = check(path, ReelFacts("R-001", 1, expected_seconds=expected, length_from="length"))
    assert kinds(found) == ([kind] if kind else [])
    rough = check(path, ReelFacts("R-001", 1, expected_seconds=expected, length_from="reel_size"))
    assert rough.verdict == "pass"


def test_channels_format_feet_and_notes(wav, rng):
    sound = np.round(music(rng, 3, 2) * 2**23).astype(np.int64)
    sound[96_000:96_010, 1] = 2**23 - 1
    reel = ReelFacts("R-001", 4, 15.0, notes=(TimedNote(2.6, "crackle"), TimedNote(0.2, "start")))
    found = check(wav("c.wav", sound), reel, StudioFacts(96000, 24))
    assert kinds(found) == ["channels", "clipping", "format"]
    (clip,) = (one for one in found.findings if one.kind == "clipping")
    assert clip.feet == 2.5 and clip.notes == ("crackle",)


def test_named_tracks_of_a_later_pass(wav, rng):
    found = check(wav("c.wav", music(rng, 1, 3)), ReelFacts("R-001", 16), pass_number=2, tracks=(1, 9, 10))
    assert [one.track for one in found.channels] == [1, 9, 10]
    assert "channels" not in kinds(found)


@pytest.mark.parametrize("parallel", [False, True])
def test_pieces_that_overlap_are_joined_where_the_sound_agrees(wav, rng, parallel):
    sound = np.round(music(rng, 12, 2) * 2**23).astype(np.int64) + rng.integers(-3000, 3000, (12 * RATE, 2))
    cut, again = 300_000, 300_000 - 90_123
    pieces = [sound[:cut], sound[again:]]
    if parallel:
        files = [wav(f"{t}{p}.wav", piece[:, t]) for t in range(2) for p, piece in enumerate(pieces)]
    else:
        files = [wav(f"{p}.wav", piece) for p, piece in enumerate(pieces)]
    found = check(files, ReelFacts("R-001", 2))
    assert found.seconds == pytest.approx(12.0, abs=1e-4)
    (join,) = found.findings
    assert (join.kind, join.weight, join.track) == ("join", "note", None)
    assert (join.start, join.end) == pytest.approx((again / RATE, cut / RATE), abs=1e-4)
    second = (2, 0) if parallel else (0, 1)
    assert [(one.file, one.channel) for one in found.channels] == [(0, 0), second]


def test_pieces_that_meet_exactly_need_no_finding(wav, rng):
    sound = music(rng, 8)
    found = check([wav("a.wav", sound[:150_000]), wav("b.wav", sound[150_000:])], ReelFacts("R-001", 1))
    assert found.findings == () and found.seconds == 8.0


def test_pieces_between_which_the_sound_breaks_do_not_meet(wav, rng):
    """Half a second is lost at each of these joins; none of the files has a clock."""
    dark = np.stack([np.convolve(rng.standard_normal(8 * RATE), np.hanning(200) / 200, "same")] * 2, axis=1)
    sound = 0.5 * dark + 1e-4 * rng.standard_normal(dark.shape)
    for cut in (100_000, 150_000, 200_001):
        parts = (sound[:cut], sound[cut + 24_000 :])
        found = check([wav(f"{n}.wav", part) for n, part in enumerate(parts)], ReelFacts("R-001", 2))
        join = next(one for one in found.findings if one.kind == "join")
        assert (join.weight, join.track, "do not meet" in join.says) == ("remark", None, True)
        assert join.start == pytest.approx(cut / RATE, abs=1e-4)
        parts = (sound[:cut], sound[cut:])
        whole = check([wav(f"w{n}.wav", part) for n, part in enumerate(parts)], ReelFacts("R-001", 2))
        assert "join" not in kinds(whole)


def test_where_nothing_tells_whether_pieces_meet_it_says_what_would(wav, rng):
    hiss = 0.01 * rng.standard_normal((8 * RATE, 1))
    found = check([wav("a.wav", hiss[:150_000]), wav("b.wav", hiss[150_000:])], ReelFacts("R-001", 1))
    (join,) = found.findings
    assert (join.kind, join.weight) == ("join", "note") and "a time reference in the files" in join.says
    rolled = [wav(f"r{n}.wav", hiss[n * RATE : (n + 1) * RATE]) for n in range(4)]
    assert check(rolled, ReelFacts("R-001", 1)).findings == ()  # a recorder that begins a file each second
    clocked = [wav("c.wav", hiss[:150_000], bext=write_bext(1_000)),
               wav("d.wav", hiss[150_000:], bext=write_bext(151_000))]  # fmt: skip
    assert check(clocked, ReelFacts("R-001", 1)).findings == ()


def test_a_hole_by_the_files_clocks_fails(wav, rng):
    sound = music(rng, 6)
    one = wav("a.wav", sound[:96_000], bext=write_bext(1_000_000))
    two = wav("b.wav", sound[144_000:], bext=write_bext(1_144_000))
    found = check([one, two], ReelFacts("R-001", 1))
    (hole,) = found.findings
    assert (hole.kind, hole.weight, hole.start) == ("join", "fail", 2.0)
    assert hole.end - hole.start == pytest.approx(1.0)


def test_a_cut_off_file_fails_and_is_measured_as_far_as_it_goes(wav, rng):
    found = check(wav("t.wav", music(rng, 2), cut=200_000))
    assert kinds(found) == ["cut short"] and found.verdict == "fail"
    assert found.files[0].state == "cut short" and found.channels[0].samples == (200_000 - 44) // 3


def test_a_wrong_size_field_is_a_remark(wav, rng):
    found = check(wav("t.wav", music(rng, 2), data_size=0))
    assert kinds(found) == ["size field"] and found.verdict == "remarks"
    assert found.channels[0].samples == 2 * RATE


def test_nothing_measurable_still_gives_a_document(tmp_path):
    path = tmp_path / "line\nbreak\udce9.wav"
    path.write_bytes(b"no audio")
    found = check([path, tmp_path / "gone.wav", tmp_path])
    assert not found.measured and found.verdict == "fail"
    assert [one.state for one in found.files] == ["unreadable"] * 3
    assert all("\n" not in one.says for one in found.findings)
    assert Check.from_json(json.loads(json.dumps(found.to_json()))) == found


def test_the_result_does_not_depend_on_blocks_or_workers(wav, rng):
    sound = np.round(music(rng, 7, 3) * 2**23).astype(np.int64)
    sound[70_000:70_512] = sound[69_488:70_000]
    sound[100_000:100_300, 1] = 0
    sound[200_000:200_020, 2] = 2**23 - 1
    sound[250_000:251_000, 0] //= 40
    path = wav("w.wav", sound)
    first = check(path)
    assert {"clipping", "repeat", "zero run", "dropout"} <= set(kinds(first))
    for blocks, workers in ((1000, 1), (4096, 2), (65536, 1), (777, 2)):
        assert check(path, block_frames=blocks, workers=workers) == first


@pytest.mark.parametrize(
    ("form", "ending"), [("FLAC", "flac"), ("AIFF", "aiff"), ("RF64", "wav"), ("WAVEX", "wav")]
)
def test_the_same_sound_measures_the_same_in_every_container(tmp_path, wav, rng, form, ending):
    import hashlib

    sound = music(rng, 2, 2)
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, sound, RATE, subtype="PCM_24", format=form)
    found = check(path)
    samples, _ = soundfile.read(path, dtype="float64")
    assert [one.rms_dbfs for one in found.channels] == pytest.approx(
        list(20 * np.log10(np.sqrt(np.mean(samples**2, axis=0)))), abs=1e-4)  # fmt: skip
    assert found.files[0].sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_originals_stay_as_they_were_and_a_check_can_be_stopped(wav, rng):
    path = wav("o.wav", music(rng, 3))
    before = path.read_bytes(), path.stat().st_mtime_ns
    for workers in (1, 2):
        with pytest.raises(Cancelled):
            check(path, cancelled=lambda: True, workers=workers)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_own_thresholds_and_weights_of_a_shelf(wav, rng):
    path = wav("dc.wav", music(rng, 2) + 0.0015)
    assert check(path, thresholds={"dc": 0.5}).findings == ()
    assert check(path, thresholds={"weight dc": "fail"}).verdict == "fail"
    with pytest.raises(ValueError, match="no threshold"):
        check(path, thresholds={"loudness": 3})
