"""Reading code as tapes have it: noise, wow, drop-outs, jumps; and nothing wrong ever called read."""

import numpy as np
import pytest

from core.capture.timecode.labels import RATES, frame_number, label_of


def test_noise_takes_no_more_than_it_must(code, noise, read):
    sound = code("00:58:50:00", 750, "29.97 DF", 48000)
    for snr, least in ((12, 750), (6, 747), (3, 743)):
        track = read(sound + noise(len(sound), snr, snr))
        assert track.frames_read >= least
        assert (track.frames_read + track.frames_inferred, len(track.runs)) == (750, 1)
        assert track.runs[0].first == "00:58:50:00"


@pytest.mark.parametrize("speed", [0.9, 1.1])
def test_ten_percent_of_speed_is_read_and_measured(code, noise, read, speed):
    sound = code("01:00:00:00", 250, "25", 48000, speed=speed)
    track = read(sound + noise(len(sound), 12, 1))
    assert track.frames_read == 250
    assert track.speed_ratio == pytest.approx(speed, rel=1e-5)
    assert track.rate == "25"


def test_wow_flutter_and_ramps_lose_nothing(bent_code, noise, read):
    for speed in (
        lambda t: 1 + 0.03 * np.sin(np.pi * t),
        lambda t: 1 + 0.005 * np.sin(20 * np.pi * t),
        lambda t: 0.92 + 0.008 * t,
    ):
        sound, _ = bent_code("01:00:00:00", 500, speed)
        track = read(sound + noise(len(sound), 6, 2))
        assert track.frames_read >= 498
        assert len(track.runs) == 1


def test_drift_is_followed(bent_code, read):
    sound, _ = bent_code("01:00:00:00", 1000, lambda t: 1 + 0.001 * t / 40)
    over_time = read(sound).speed_over_time
    assert len(over_time) == 4
    for second, ratio in over_time:
        assert ratio == pytest.approx(1 + 0.001 * second / 40, abs=2e-5)


def test_a_drop_out_is_inferred_only_where_the_clock_went_on(code, read):
    sound = code("01:00:00:00", 250, "25", 48000)
    sound[100 * 1920 - 700 : 105 * 1920 + 700] = 0
    track = read(sound)
    (run,) = track.runs
    assert (track.frames_read, track.frames_inferred) == (243, 7)
    assert (run.first, run.last) == ("01:00:00:00", "01:00:09:24")
    ((start, end, _),) = track.gaps
    assert start == pytest.approx(99 * 0.04, abs=0.001)
    assert end == pytest.approx(106 * 0.04, abs=0.001)
    assert track.jumps == ()


def test_one_lost_frame_is_inferred_and_no_gap(code, read):
    sound = code("01:00:00:00", 100, "25", 48000)
    sound[50 * 1920 + 300 : 50 * 1920 + 1500] = 0
    track = read(sound)
    assert (track.frames_read, track.frames_inferred, track.gaps) == (99, 1, ())


def test_a_jump_ends_a_run(code, read):
    sound = np.concatenate([code("01:00:00:00", 100, "25", 48000), code("02:00:00:00", 100, "25", 48000)])
    track = read(sound)
    assert [(run.first, run.last, run.frames_read) for run in track.runs] == [
        ("01:00:00:00", "01:00:03:24", 100), ("02:00:00:00", "02:00:03:24", 100),
    ]  # fmt: skip
    ((start, end, said),) = track.jumps
    assert start == pytest.approx(4.0, abs=0.001)
    assert end > start
    assert "01:00:03:24" in said
    assert "02:00:00:00" in said
    assert track.gaps == ()


def test_a_jump_by_one_frame_is_seen(code, read):
    sound = code("01:00:00:00", 200, "25", 48000)
    track = read(np.concatenate([sound[: 100 * 1920], sound[101 * 1920 :]]))
    assert len(track.jumps) == 1
    assert [run.frames_inferred for run in track.runs] == [0, 0]


def test_a_gap_over_which_the_clock_did_not_go_on_is_both(code, read):
    sound = np.concatenate([
        code("01:00:00:00", 100, "25", 48000), np.zeros(48000, np.float32),
        code("01:00:04:00", 100, "25", 48000),
    ])  # fmt: skip
    track = read(sound)
    assert len(track.gaps) == len(track.jumps) == 1
    assert len(track.runs) == 2
    assert track.frames_inferred == 0


def test_code_locks_within_two_frames_after_hiss(code, noise, read):
    for seed in range(10):
        sound = code("01:00:00:00", 40, "25", 48000, lead=48000.0)
        track = read(sound + noise(len(sound), (15, 25, 30)[seed % 3], seed))
        assert track.runs[0].start_sample <= 48000 + 2 * 1920
        assert track.frames_read >= 38


def test_hum_offset_and_overload_lose_nothing(code, noise, read):
    sound = code("01:00:00:00", 250, "25", 48000)
    hum = 0.25 * np.sin(2 * np.pi * 50 * np.arange(len(sound)) / 48000).astype(np.float32)
    hiss = noise(len(sound), 20, 4)
    for heard in (sound + hum + hiss, 0.5 * sound + 0.25, np.clip(16 * sound, -1, 1)):
        assert read(heard).frames_read == 250


def test_nothing_that_was_read_under_noise_is_wrong(code, noise, read):
    """What a run says of its ends and counts must fit its line, so a wrong label would make another run."""
    sound = code("00:59:50:00", 300, "25", 48000)
    for snr in (4, 0, -4):
        for seed in range(2):
            for run in read(sound + noise(len(sound), snr, 100 * seed + snr + 10)).runs:
                number = frame_number("00:59:50:00", RATES["25"]) + round(run.start_sample / 1920)
                assert run.first == label_of(number, RATES["25"])
                assert run.residual_samples < 5


def test_the_rate_is_told_by_labels_flag_and_speed(code, read):
    assert read(code("01:00:00:00", 75, "30", 48000)).rate == "30"
    assert read(code("01:00:00:00", 75, "29.97", 48000)).rate == "29.97"
    # The same code on a deck that runs 1 % fast cannot be told: 30 unless the shelf says otherwise.
    fast = code("01:00:00:00", 75, "29.97", 48000, speed=1.01)
    assert read(fast).rate == "30"
    assert read(fast, nominal="29.97").rate == "29.97"
    assert read(fast, nominal="29.97").speed_ratio == pytest.approx(1.01, rel=1e-5)


def test_a_shelf_that_says_another_rate_is_contradicted(code, read):
    track = read(code("01:00:00:00", 75, "25", 48000), nominal="30")
    assert track.rate == "25"
    assert any("shelf says otherwise" in remark for remark in track.remarks)
    df = read(code("01:00:00:00", 75, "29.97 DF", 48000), nominal="29.97")
    assert df.rate == "29.97 DF"


def test_a_tape_that_changes_direction_says_so(code, read):
    sound = code("01:00:00:00", 100, "25", 48000)
    track = read(np.concatenate([sound, sound[: 60 * 1920][::-1]]))
    assert track.direction == "forward"
    assert track.frames_read >= 159  # one may be lost where the tape turned
    assert any("other way" in remark for remark in track.remarks)
    assert track.runs[-1].seconds_per_sample < 0


def test_code_that_stands_still_is_not_called_read_frame_after_frame(code, read):
    sound = code("01:00:00:00", 50, "25", 48000)
    one = sound[49 * 1920 : 50 * 1920]
    track = read(np.concatenate([sound, *[one] * 50]))
    assert track.frames_read <= 52
    assert track.runs[0].last == "01:00:01:24"
