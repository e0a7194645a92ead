"""Reading clean code: every frame, once, at its place, whatever the rate, polarity, direction and blocks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.capture.timecode.decode import TimecodeReader, looks_like_timecode
from core.capture.timecode.labels import RATES, frame_number, label_of, seconds_of
from core.capture.timecode.word import Word, pack


@pytest.mark.parametrize("rate", sorted(RATES))
@pytest.mark.parametrize("sample_rate", [44100, 48000, 88200, 96000, 192000])
def test_every_whole_frame_of_clean_code_is_read(code, read, rate, sample_rate):
    first, frames = "00:59:58:00", 75
    sound = code(first, frames, rate, sample_rate)
    at_start = float(seconds_of(first, RATES[rate]))
    for played, sign in ((sound, 1), (sound[::-1], -1)):
        for polarity in (1, -1):
            track = read(polarity * played, sample_rate)
            assert (track.rate, track.frames_read, track.frames_inferred) == (rate, frames, 0)
            assert track.direction == ("forward" if sign > 0 else "reverse")
            assert track.gaps == track.jumps == ()
            (run,) = track.runs
            last = label_of(frame_number(first, RATES[rate]) + frames - 1, RATES[rate])
            assert (run.first, run.last)[::sign] == (first, last)
            assert run.start_sample == 0
            assert abs(run.end_sample - len(sound)) <= 1
            # Positions to 0.1 sample on clean code; the sound reversed turns sample n into N - 1 - n.
            truth = at_start if sign > 0 else at_start + (len(sound) - 1) / sample_rate
            assert run.seconds_at_zero == pytest.approx(truth, abs=0.1 / sample_rate)
            assert run.seconds_per_sample * sample_rate == pytest.approx(sign, abs=1e-5)
            assert run.residual_samples < 0.1


@pytest.mark.parametrize("rate", ["24", "25", "29.97 DF", "30"])
def test_code_that_libltc_wrote_is_read_whole(libltc, read, rate):
    given_rate = RATES[rate]
    labels = [label_of(1750 + number, given_rate) for number in range(150)]
    words = [pack(Word(*map(int, label.split(":")), given_rate.count, given_rate.drop)) for label in labels]
    sound = libltc.write(words, 48000, float(given_rate.frames_per_second), given_rate.count)
    track = read(sound)
    assert (track.rate, track.frames_read) == (rate, 150)
    assert (track.runs[0].first, track.runs[0].last) == (labels[0], labels[-1])
    # libltc's samples are 8 bits and its edges lie on whole samples.
    assert track.runs[0].seconds_at_zero == pytest.approx(
        float(seconds_of(labels[0], given_rate)), abs=1 / 48000
    )


@pytest.mark.parametrize("rate", ["24", "25", "29.97", "30"])
def test_libltc_reads_what_we_write(libltc, code, rate):
    heard = libltc.read(code("10:00:00:00", 100, rate), 48000, float(RATES[rate].frames_per_second))
    # It misses one frame at an end of the file.
    assert len(heard) >= 99
    assert heard[10].label == "10:00:00:10"


def test_another_reader_agrees_on_clean_code(code, read):
    from ltc_reader.Channel import ByteChannel
    from ltc_reader.LTCMap import LTCMap

    pcm = np.round(code("01:02:03:00", 40, "25", 48000) * 32767).astype("<i2")
    theirs = LTCMap.from_channel(ByteChannel(pcm.tobytes(), 48000, 2, "little", True)).get_map()
    (run,) = read(pcm.astype(np.float32) / 32768).runs
    # It gives whole samples, and its places are where a word is complete or begins.
    assert len(theirs) >= 38
    first = frame_number(run.first, RATES["25"])
    places = {
        ((frame.get_hours() * 60 + frame.get_minutes()) * 60 + frame.get_seconds()) * 25
        + frame.get_frame_nr() - first: place
        for place, frame in theirs.items()
    }  # fmt: skip
    assert set(places) <= set(range(40))
    offsets = {place - 1920 * number for number, place in places.items()}
    assert max(offsets) - min(offsets) <= 4


def test_the_result_does_not_depend_on_how_the_sound_is_cut(code, noise, read):
    sound = code("00:59:50:00", 400, "25", 48000) + noise(400 * 1920, 9, 5)
    sound[300000:310000] = 0
    whole = read(sound, block=len(sound))
    for block in (1, 997, 4096, 262144):
        part = sound if block > 1 else sound[:40000]
        expected = whole if block > 1 else read(part, block=len(part))
        assert read(part, block=block) == expected


def test_24_bits_in_integers_read_like_floats(code, read):
    sound = code("00:00:10:00", 100, "30", 48000, amplitude=0.1)
    whole = np.round(sound * 2**23).astype(np.int32) * 256
    as_float = (whole / 2.0**31).astype(np.float32)
    assert read(whole) == read(as_float)


def test_code_is_read_down_to_60_db_below_full_scale(code, read):
    sound = code("05:00:00:00", 200, "25", 48000, amplitude=0.001)
    track = read(np.round(sound * 2**23).astype(np.int32) * 256)
    assert (track.frames_read, len(track.runs)) == (200, 1)


def test_an_ideal_square_wave_begins_with_its_first_sample(read):
    from core.capture.timecode.encode import edges_of, word_bits

    edges = np.round(edges_of(word_bits("01:00:00:00", 50, RATES["25"])) * 24).astype(int)
    levels = np.zeros(edges[-1], np.float32)
    for order, edge in enumerate(edges[:-1]):
        levels[edge:] = 0.5 if order % 2 else -0.5
    (run,) = read(levels).runs
    assert run.seconds_at_zero == pytest.approx(3600.0, abs=0.1 / 48000)
    assert (run.start_sample, run.end_sample) == (0, 96000)


def test_silence_before_and_after_is_no_code(code, read):
    sound = code("01:00:00:00", 50, "25", 48000)
    quiet = np.zeros(20000, np.float32)
    for polarity in (1, -1):
        track = read(np.concatenate([quiet, polarity * sound, quiet]))
        (run,) = track.runs
        assert (track.frames_read, run.start_sample, run.end_sample) == (50, 20000, 116000)


def test_user_bits_are_told(code, read):
    track = read(code("01:00:00:00", 50, "25", 48000, user=0x12345678))
    assert track.user_bits == "12345678"
    assert any("12345678" in remark for remark in track.remarks)


def test_the_day_comes_round_without_a_jump(code, read):
    track = read(code("23:59:59:00", 50, "25", 48000))
    assert track.jumps == ()
    assert (track.runs[0].first, track.runs[0].last) == ("23:59:59:00", "00:00:00:24")


def test_code_just_past_midnight_that_starts_late_counts_from_the_day_before(code, read):
    # Label 00:00:00:10 at sample 96 000 of 48 kHz: sample 0 is 1.6 s before midnight.
    track = read(code("00:00:00:10", 60, "25", 48000, lead=96000.0))
    assert track.runs[0].seconds_at_zero == pytest.approx(86400 - 1.6, abs=1e-5)


def test_dropped_labels_are_no_jump(code, read):
    sound = code("00:58:58:00", 150, "29.97 DF", 48000)
    track = read(sound)
    assert (track.jumps, track.gaps, track.frames_read) == ((), (), 150)


@pytest.mark.parametrize("sample_rate", [44100, 96000])
def test_timecode_is_told_from_other_sound(code, sample_rate):
    seconds = np.arange(2 * sample_rate) / sample_rate
    assert looks_like_timecode(code("01:00:00:00", 50, "25", sample_rate), sample_rate)
    assert looks_like_timecode(-code("01:00:00:00", 50, "30", sample_rate)[::-1], sample_rate)
    noise = np.random.default_rng(1).normal(size=2 * sample_rate) * 0.2
    chord = sum(np.sin(2 * np.pi * hertz * seconds) for hertz in (1000, 1200, 2000, 2400)) * 0.1
    for other in (noise, chord, np.sign(chord) * 0.5, 0 * chord):
        assert not looks_like_timecode(other.astype(np.float32), sample_rate)
    assert not looks_like_timecode(np.zeros(0, np.float32), sample_rate)


@pytest.mark.parametrize("kind", ["noise", "square", "silence", "chirp"])
def test_other_sound_gives_no_frame(read, kind):
    seconds = np.arange(10 * 48000) / 48000
    sound = {
        "noise": np.random.default_rng(3).normal(size=len(seconds)) * 0.2,
        "square": np.sign(np.sin(2 * np.pi * 1200 * seconds)) * 0.5,
        "silence": np.zeros(len(seconds)),
        "chirp": np.sin(2 * np.pi * (900 + 80 * seconds) * seconds) * 0.5,
    }[kind].astype(np.float32)
    track = read(sound)
    assert (track.frames_read, track.runs) == (0, ())


def test_an_empty_track_and_a_second_end_are_no_trouble(read):
    assert read(np.zeros(0, np.float32)).frames_read == 0
    reader = TimecodeReader(48000)
    assert reader.finish() == reader.finish()
    with pytest.raises(ValueError, match="finished"):
        reader.feed(np.zeros(10, np.float32))


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.tuples(st.sampled_from(["noise", "code", "zero"]), st.integers(0, 9000)),
            st.tuples(st.sampled_from(["full", "spikes", "not a number"]), st.integers(1, 3000)),
        ),
        max_size=8,
    ),
    st.sampled_from([8000, 44100, 48000]),
)
def test_any_sound_is_borne_and_counts_add_up(code, parts, sample_rate):
    source = code("22:10:00:00", 12, "25", 48000)
    draw = np.random.default_rng(len(parts))
    kinds = {
        "noise": lambda n: draw.normal(size=n), "code": lambda n: source[:n], "zero": lambda n: np.zeros(n),
        "full": lambda n: np.full(n, -1.0), "spikes": lambda n: (draw.random(n) > 0.99) * 1.0,
        "not a number": lambda n: np.full(n, (np.nan, np.inf)[n % 2]),
    }  # fmt: skip
    reader = TimecodeReader(sample_rate)
    for kind, length in parts:
        reader.feed(kinds[kind](length).astype(np.float32))
    track = reader.finish()
    assert track.frames_read == sum(run.frames_read for run in track.runs)
    assert track.frames_inferred == sum(run.frames_inferred for run in track.runs)
    assert all(run.start_sample < run.end_sample for run in track.runs)
