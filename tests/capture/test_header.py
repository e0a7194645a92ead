"""Headers that tell the truth, and headers that do not.

Sizes of `fmt `, `ds64` and `bext` fields: EBU Tech 3285 and 3306, Microsoft's description of
WAVE_FORMAT_EXTENSIBLE; frame counts of whole files are held against libsndfile.
"""

import io
import struct

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from core.capture.files.wave.bext import read_bext, write_bext
from core.capture.files.wave.header import Unreadable
from core.capture.files.wave.opened import header_of, read_header

LIST = b"LIST" + struct.pack("<I", 26) + b"INFOISFT" + struct.pack("<I", 14) + b"recorder 1.00\0"
FRAMES = 96000


@pytest.fixture
def sound(rng):
    return rng.integers(-(2**22), 2**22, FRAMES)


def told(path):
    header = read_header(path)
    return header.frames, header.state


def test_a_whole_file(wav, sound):
    header = read_header(wav("a.wav", sound, after=LIST))
    assert (header.frames, header.state, header.container, header.encoding) == (
        FRAMES, "whole", "WAV", "PCM_24")  # fmt: skip
    assert header.remarks == ()


@pytest.mark.parametrize(
    ("lie", "frames", "state"),
    [
        ({"data_size": 0}, FRAMES, "size field wrong"),
        ({"data_size": 0, "riff_size": 0}, FRAMES, "size field wrong"),
        ({"data_size": 0xFFFFFFFF}, FRAMES, "size field wrong"),
        ({"data_size": 0xFFFFFFFF, "after": LIST}, FRAMES, "size field wrong"),
        ({"data_size": 0, "after": LIST}, FRAMES, "size field wrong"),
        ({"cut": 100_001}, 33319, "cut short"),
        ({"data_size": 144_000}, FRAMES, "size field wrong"),
        ({"data_size": 144_000, "after": LIST}, FRAMES, "size field wrong"),
        ({"data_size": 10_000_000}, FRAMES, "cut short"),
        ({"data_size": 10_000_000, "after": LIST}, FRAMES, "cut short"),
        ({"data_size": 287_999}, FRAMES, "size field wrong"),
        ({"riff_size": 0}, FRAMES, "size field wrong"),
        ({"riff_size": 1000}, FRAMES, "size field wrong"),
        ({"after": LIST[:20]}, FRAMES, "whole"),
        ({"after": b"data" + struct.pack("<I", 4) + b"abcd"}, FRAMES, "whole"),
        ({"form": b"RF64"}, FRAMES, "whole"),
        ({"form": b"BW64", "after": LIST}, FRAMES, "whole"),
        ({"extensible": True}, FRAMES, "whole"),
    ],
)
def test_what_is_there_counts_and_not_what_a_size_field_says(wav, sound, lie, frames, state):
    assert told(wav("lie.wav", sound, **lie)) == (frames, state)


def test_two_data_chunks_are_said(wav, sound):
    header = read_header(wav("two.wav", sound, after=b"data" + struct.pack("<I", 4) + b"abcd"))
    assert "2 data chunks" in header.remarks[0]


def test_a_size_that_wrapped_at_4_gib_still_gives_every_frame(tmp_path):
    """4.5 GB, 16 tracks of 24 bit: sox keeps the size modulo 2^32 (measured: 4 271 515 frames)."""
    frames, align = 93_750_000, 48
    size = frames * align
    fmt = struct.pack("<HHIIHH", 1, 16, 96000, 96000 * align, align, 24)
    head = b"WAVEfmt " + struct.pack("<I", 16) + fmt + b"data" + struct.pack("<I", size % 2**32)
    path = tmp_path / "wrapped.wav"
    with open(path, "wb") as file:
        file.write(b"RIFF" + struct.pack("<I", (size + 36) % 2**32) + head)
        file.truncate(44 + size)
    assert told(path) == (frames, "size field wrong")


def test_rf64_over_4_gib(tmp_path):
    frames, align = 93_750_000, 48
    size = frames * align
    fmt = struct.pack("<HHIIHH", 1, 16, 96000, 96000 * align, align, 24)
    ds64 = b"ds64" + struct.pack("<IQQQI", 28, size + 72, size, frames, 0)
    path = tmp_path / "big.wav"
    with open(path, "wb") as file:
        file.write(b"BW64" + b"\xff" * 4 + b"WAVE" + ds64 + b"fmt " + struct.pack("<I", 16) + fmt)
        file.write(b"data" + b"\xff" * 4)
        file.truncate(80 + size)
    header = read_header(path)
    assert (header.frames, header.state, header.container) == (frames, "whole", "BW64")


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
@pytest.mark.parametrize("form", ["WAV", "WAVEX", "RF64"])
def test_files_of_libsndfile_are_read_as_it_reads_them(tmp_path, rng, form, subtype):
    path = tmp_path / "snd.wav"
    soundfile.write(path, rng.uniform(-0.5, 0.5, (1001, 3)), 44100, subtype=subtype, format=form)
    header = read_header(path)
    facts = soundfile.info(path)
    assert (header.frames, header.channels, header.sample_rate) == (facts.frames, 3, facts.samplerate)
    assert (header.encoding, header.state) == (subtype, "whole")
    assert header.container == ("RF64" if form == "RF64" else "WAV")


@pytest.mark.parametrize(("form", "ending"), [("FLAC", "flac"), ("AIFF", "aiff")])
def test_flac_and_aiff_come_through_libsndfile(tmp_path, form, ending):
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, np.zeros((1000, 2)), 48000, subtype="PCM_24", format=form)
    header = read_header(path)
    assert (header.container, header.encoding, header.frames) == (form, "PCM_24", 1000)


@pytest.mark.parametrize("content", [b"", b"RIFF", b"RIFF\0\0\0\0WAVE", b"hello, this is a letter", b"fLaC",
                                     b"RIFF\x24\0\0\0AVI LIST", b"FORM\0\0\0\0AIFF"])  # fmt: skip
def test_what_is_no_audio_is_unreadable_and_says_so(tmp_path, content):
    path = tmp_path / "no.wav"
    path.write_bytes(content)
    with pytest.raises(Unreadable):
        read_header(path)


def test_a_header_cut_at_30_bytes_a_folder_and_a_missing_file_are_unreadable(wav, sound, tmp_path):
    for path in (wav("cut.wav", sound, cut=30), tmp_path, tmp_path / "gone.wav"):
        with pytest.raises(Unreadable):
            read_header(path)


def test_bext_is_read_where_tech_3285_puts_it(wav, sound):
    """172 800 000 samples (an hour at 48 kHz) is 00 b8 4c 0a 00 00 00 00 at byte 338, version at 346."""
    content = write_bext(172_800_000, description="Reel 1", originator="deck", date="2026-12-01",
                         coding_history="A=ANALOGUE,M=mono,T=15 ips\r\n")  # fmt: skip
    assert content[338:346] == bytes.fromhex("00b84c0a00000000")
    assert struct.unpack_from("<H", content, 346) == (1,)
    assert len(write_bext(0)) == 602
    header = read_header(wav("b.wav", sound, bext=content))
    assert header.time_reference == 172_800_000
    assert header.bext["description"] == "Reel 1"
    assert header.bext["coding_history"] == "A=ANALOGUE,M=mono,T=15 ips"


def test_a_time_reference_beyond_32_bits():
    """8 294 388 502 is low word 3 999 421 206, high word 1."""
    content = write_bext(8_294_388_502)
    assert struct.unpack_from("<II", content, 338) == (3_999_421_206, 1)
    assert read_bext(content).time_reference == 8_294_388_502


def test_wavinfo_reads_the_time_reference_that_was_written(wav, sound):
    wavinfo = pytest.importorskip("wavinfo")
    path = wav("b.wav", sound, bext=write_bext(345_606_080, description="Reel 1"))
    told = wavinfo.WavInfoReader(str(path))
    assert told.bext.time_reference == 345_606_080
    assert told.data.frame_count == FRAMES


@settings(max_examples=400, deadline=None)
@given(st.binary(max_size=400), st.integers(0, 60), st.binary(max_size=8))
def test_no_header_crashes_the_reader(junk, at, patch):
    fmt = struct.pack("<HHIIHH", 1, 2, 48000, 48000 * 6, 6, 24)
    good = b"RIFF" + struct.pack("<I", 436) + b"WAVEfmt " + struct.pack("<I", 16) + fmt
    good += b"data" + struct.pack("<I", 400) + junk
    patched = good[:at] + patch + good[at + len(patch) :]
    for content in (patched, junk, b"RF64" + junk, b"RIFF\0\0\0\0WAVE" + junk):
        try:
            header = header_of(io.BytesIO(content))
        except Unreadable:
            continue
        assert 0 <= header.frames * header.frame_bytes <= len(content)


def test_a_file_of_a_million_empty_chunks_is_soon_given_up():
    content = b"RIFF" + struct.pack("<I", 8_000_004) + b"WAVE" + b"LIST\0\0\0\0" * 1_000_000
    with pytest.raises(Unreadable):
        header_of(io.BytesIO(content))
    fmt = b"fmt " + struct.pack("<IHHIIHH", 16, 1, 2, 48000, 48000 * 6, 6, 24)
    tail = b"LIST\0\0\0\0" * 200_000 + b"x"
    header = header_of(io.BytesIO(content[:12] + fmt + b"data\0\0\0\0" + tail))
    assert header.state == "size field wrong"
