"""Damaged headers of every kind: no crash, no endless walk, no more memory than the sound needs.

Chunk layouts as EBU Tech 3285 (`bext`), Tech 3306 (`ds64`) and Microsoft's WAVE_FORMAT_EXTENSIBLE give them.
"""

import io
import struct
import tracemalloc

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.capture.check import check_capture
from core.capture.files.wave.bext import read_bext
from core.capture.files.wave.header import MOST_CHANNELS, Unreadable
from core.capture.files.wave.opened import header_of, read_header
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Check

PCM_TAIL = bytes.fromhex("000000001000800000aa00389b71")
NUMBER = st.one_of(st.integers(0, 70), st.sampled_from([0xFFFF, 0xFFFE, 3, 1, 24, 48000, 2**31, 2**32 - 1]))
short = st.one_of(st.integers(0, 8), st.sampled_from([16, 24, 32, 0xFFFE, 0xFFFF]))


class Counted(io.BytesIO):
    """Counts what is asked of a file, so that an endless walk shows as a number."""

    def __init__(self, content):
        super().__init__(content)
        self.reads = self.taken = 0

    def read(self, size=-1):
        piece = super().read(size)
        self.reads, self.taken = self.reads + 1, self.taken + len(piece)
        return piece


@st.composite
def fmt(draw):
    """A format chunk, mostly such as recorders write, with any field damaged."""
    channels, bits = draw(st.integers(1, 24)), draw(st.sampled_from([8, 16, 20, 24, 32, 64]))
    align = channels * ((bits + 7) // 8)
    fields = [draw(st.sampled_from([1, 3, 0xFFFE])), channels, 48000, 48000 * align, align, bits]
    for at in draw(st.lists(st.integers(0, 5), max_size=2)):
        fields[at] = draw(NUMBER)
    packed = struct.pack(
        "<HHIIHH", *(f & (0xFFFFFFFF if at in (2, 3) else 0xFFFF) for at, f in enumerate(fields))
    )
    valid, tag = draw(short), draw(st.sampled_from([1, 3, 7]))
    tail = draw(st.sampled_from([PCM_TAIL, PCM_TAIL[::-1], b""]))
    extra = struct.pack("<HHIH", 22, valid, 0, tag) + tail
    return packed + draw(st.sampled_from([b"", b"\0\0", extra]))


CONTENTS = {
    b"fmt ": fmt(),
    b"data": st.binary(max_size=600),
    b"bext": st.one_of(st.binary(max_size=80), st.binary(min_size=602, max_size=640)),
    b"ds64": st.builds(
        lambda riff, size, frames, entries, table: struct.pack("<QQQI", riff, size, frames, entries) + table,
        st.integers(0, 2**64 - 1), st.one_of(st.integers(0, 2000), st.integers(0, 2**64 - 1)),
        st.integers(0, 2**64 - 1), st.one_of(st.integers(0, 4), st.just(2**32 - 1)), st.binary(max_size=40),
    ),
    b"LIST": st.binary(max_size=60),
    b"fact": st.binary(max_size=8),
    b"JUNK": st.binary(max_size=40),
    b"\0\0\0\0": st.binary(max_size=9),
}  # fmt: skip


@st.composite
def chunk(draw):
    """One chunk: its size true, empty, never filled in, or any number; its pad byte there or forgotten."""
    name = draw(st.sampled_from(list(CONTENTS)))
    content = draw(CONTENTS[name])
    size = draw(st.one_of(st.just(len(content)), st.sampled_from([0, 0xFFFFFFFF]), st.integers(0, 2**32 - 1)))
    return name + struct.pack("<I", size) + content + draw(st.sampled_from([b"\0" * (len(content) % 2), b""]))


@st.composite
def wave(draw):
    """A file of such chunks, cut somewhere."""
    form = draw(st.sampled_from([b"RIFF", b"RF64", b"BW64"]))
    body = b"".join(draw(st.lists(chunk(), max_size=7)))
    whole = form + struct.pack("<I", draw(NUMBER) & 0xFFFFFFFF) + b"WAVE" + body
    return whole[: draw(st.one_of(st.just(len(whole)), st.integers(0, len(whole))))]


@settings(max_examples=600, deadline=None)
@given(wave())
def test_a_damaged_header_is_read_or_refused_in_words(content):
    file = Counted(content)
    try:
        header = header_of(file)
    except Unreadable as error:
        said = str(error)
        assert said and "\n" not in said
        assert file.reads < 2000 and file.taken < 20_000
        return
    assert 0 <= header.sound_start <= len(content)
    assert header.sound_start + header.frames * header.frame_bytes <= len(content)
    assert 0 < header.channels <= MOST_CHANNELS and header.sample_rate > 0
    assert header.state in ("whole", "cut short", "size field wrong")
    assert all(remark and "\n" not in remark for remark in header.remarks)
    assert file.reads < 2000 and file.taken < 20_000


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(wave())
def test_a_damaged_file_gives_a_check_that_can_be_kept(tmp_path, content):
    path = tmp_path / "damaged.wav"
    path.write_bytes(content)
    found = check_capture(ReelFacts("R-001", 2), StudioFacts(96000, 24), [path])
    assert found.files[0].bytes == len(content)
    assert found.measured or found.verdict == "fail"
    assert Check.from_json(found.to_json()).to_json() == found.to_json()


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=1300))
def test_any_bytes_are_a_bext_chunk_or_none(content):
    told = read_bext(content)
    if told is not None:
        assert 0 <= told.time_reference < 2**64
        assert all(isinstance(value, str | int | float) for value in told.fields.values())


@pytest.mark.parametrize(("form", "ending"), [("FLAC", "flac"), ("AIFF", "aiff")])
@settings(max_examples=60, deadline=None, derandomize=True,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(patches=st.lists(st.tuples(st.integers(0, 200), st.integers(0, 255)), max_size=6), cut=st.floats(0, 1))
def test_damaged_flac_and_aiff_are_measured_or_refused(tmp_path, form, ending, patches, cut):
    path = tmp_path / f"a.{ending}"
    if not (tmp_path / f"good.{ending}").exists():
        noise = np.random.default_rng(3).uniform(-0.3, 0.3, (3000, 2))
        soundfile.write(tmp_path / f"good.{ending}", noise, 48000, subtype="PCM_16", format=form)
    content = bytearray((tmp_path / f"good.{ending}").read_bytes())
    for at, value in patches:
        content[at] = value
    path.write_bytes(bytes(content[: int(cut * len(content)) if cut < 0.5 else len(content)]))
    found = check_capture(ReelFacts("R-001", 2), StudioFacts(), [path])
    assert found.measured or found.verdict == "fail"
    assert found.files[0].bytes == path.stat().st_size


@pytest.mark.parametrize(
    ("channels", "rate"), [(0, 48000), (65535, 48000), (2, 0), (2, 2**32 - 1), (300, 96000), (1, 1)]
)
def test_figures_that_no_capture_has_cost_no_memory(tmp_path, channels, rate):
    align = channels * 3
    fields = struct.pack("<HHIIHH", 1, channels, rate, rate * align & 0xFFFFFFFF, align & 0xFFFF, 24)
    content = (
        b"WAVEfmt " + struct.pack("<I", 16) + fields + b"data" + struct.pack("<I", 600_000) + bytes(600_000)
    )
    path = tmp_path / "wild.wav"
    path.write_bytes(b"RIFF" + struct.pack("<I", len(content)) + content)
    tracemalloc.start()
    try:
        found = check_capture(ReelFacts("R-001", 2), StudioFacts(), [path])
        assert tracemalloc.get_traced_memory()[1] < 20_000_000
    finally:
        tracemalloc.stop()
    assert found.files[0].state == "unreadable"
    assert "which no capture of tape has" in found.findings[0].says


def test_a_header_with_sound_over_4_gib_is_read_without_reading_the_sound(tmp_path):
    """RF64 of 4.1 GiB, 16 tracks of 24 bit, sparse; `bext` behind the sound, as some recorders write it."""
    frames, align = 91_715_000, 48
    size = frames * align
    form = struct.pack("<HHIIHH", 1, 16, 96000, 96000 * align, align, 24)
    tail = b"bext" + struct.pack("<I", 602) + bytes(338) + struct.pack("<Q", 172_800_000) + bytes(256)
    ds64 = b"ds64" + struct.pack("<IQQQI", 28, size + 72 + len(tail), size, frames, 0)
    path = tmp_path / "big.wav"
    with open(path, "wb") as file:
        file.write(b"RF64" + b"\xff" * 4 + b"WAVE" + ds64 + b"fmt " + struct.pack("<I", 16) + form)
        file.write(b"data" + b"\xff" * 4)
        file.seek(80 + size)
        file.write(tail)
    tracemalloc.start()
    try:
        header = read_header(path)
        assert tracemalloc.get_traced_memory()[1] < 4_000_000
    finally:
        tracemalloc.stop()
    assert (header.frames, header.state, header.container) == (frames, "whole", "RF64")
    assert header.time_reference == 172_800_000
    assert header.bytes > 2**32
