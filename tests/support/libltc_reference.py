"""libltc through ctypes: another hand's reader and writer of timecode, to hold ours against."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass

import numpy as np

STANDARDS = {30: 0, 25: 1, 24: 3}
"""libltc's numbers for the television standard that goes with a count of labels."""


class _Frame(ctypes.Structure):
    _fields_ = [("bytes", ctypes.c_uint8 * 10)]


class _FrameExt(ctypes.Structure):
    _fields_ = [
        ("ltc", _Frame), ("off_start", ctypes.c_int64), ("off_end", ctypes.c_int64),
        ("reverse", ctypes.c_int), ("biphase_tics", ctypes.c_float * 80), ("sample_min", ctypes.c_uint8),
        ("sample_max", ctypes.c_uint8), ("volume", ctypes.c_double),
    ]  # fmt: skip


class _Time(ctypes.Structure):
    _fields_ = [("timezone", ctypes.c_char * 6)] + [
        (name, ctypes.c_uint8) for name in ("years", "months", "days", "hours", "mins", "secs", "frame")
    ]


@dataclass(frozen=True)
class Heard:
    """A frame as libltc read it."""

    label: str
    start: int
    end: int
    reverse: bool


class LibLtc:
    """The few calls that the tests need."""

    def __init__(self):
        self.lib = ctypes.CDLL("libltc.so.11")
        for name in ("ltc_decoder_create", "ltc_encoder_create"):
            getattr(self.lib, name).restype = ctypes.c_void_p
        self.lib.ltc_encoder_create.argtypes = [ctypes.c_double, ctypes.c_double, ctypes.c_int, ctypes.c_int]
        self.lib.ltc_decoder_write_float.argtypes = [
            ctypes.c_void_p, ctypes.c_void_p, ctypes.c_size_t, ctypes.c_int64,
        ]  # fmt: skip
        for name in ("ltc_decoder_read", "ltc_encoder_set_frame", "ltc_encoder_get_buffer"):
            getattr(self.lib, name).argtypes = [ctypes.c_void_p, ctypes.c_void_p]
        for name in ("ltc_encoder_encode_frame", "ltc_encoder_free", "ltc_decoder_free"):
            getattr(self.lib, name).argtypes = [ctypes.c_void_p]

    def read(self, sound, sample_rate, frames_per_second, piece=1024):
        """All frames that libltc finds in a row of float samples."""
        decoder = self.lib.ltc_decoder_create(int(sample_rate / frames_per_second), 64)
        sound = np.ascontiguousarray(sound, np.float32)
        heard, frame, time = [], _FrameExt(), _Time()
        for at in range(0, len(sound), piece):
            part = sound[at : at + piece]
            self.lib.ltc_decoder_write_float(decoder, part.ctypes.data, len(part), at)
            while self.lib.ltc_decoder_read(decoder, ctypes.byref(frame)):
                self.lib.ltc_frame_to_time(ctypes.byref(time), ctypes.byref(frame.ltc), 0)
                label = f"{time.hours:02}:{time.mins:02}:{time.secs:02}:{time.frame:02}"
                heard.append(Heard(label, frame.off_start, frame.off_end, bool(frame.reverse)))
        self.lib.ltc_decoder_free(decoder)
        return heard

    def count(self, sound, sample_rate, frames_per_second, piece=1024):
        """How many frames it finds, with as little Python as can be: for timings."""
        decoder = self.lib.ltc_decoder_create(int(sample_rate / frames_per_second), 64)
        frame, found = _FrameExt(), 0
        address = sound.ctypes.data
        for at in range(0, len(sound), piece):
            length = min(piece, len(sound) - at)
            self.lib.ltc_decoder_write_float(decoder, address + 4 * at, length, at)
            while self.lib.ltc_decoder_read(decoder, ctypes.byref(frame)):
                found += 1
        self.lib.ltc_decoder_free(decoder)
        return found

    def write(self, words, sample_rate, frames_per_second, count):
        """Sound of ten-byte words, as floats."""
        encoder = self.lib.ltc_encoder_create(sample_rate, frames_per_second, STANDARDS[count], 0)
        buffer = (ctypes.c_uint8 * (2 * int(sample_rate / frames_per_second) + 64))()
        parts = []
        for word in words:
            frame = _Frame((ctypes.c_uint8 * 10)(*word))
            self.lib.ltc_encoder_set_frame(encoder, ctypes.byref(frame))
            self.lib.ltc_encoder_encode_frame(encoder)
            length = self.lib.ltc_encoder_get_buffer(encoder, buffer)
            parts.append(np.frombuffer(bytes(buffer[:length]), np.uint8).astype(np.float32))
        self.lib.ltc_encoder_free(encoder)
        return (np.concatenate(parts) - 128) / 128

    def counted_on(self, word, frames, count):
        """So many words from a ten-byte word on, counted up by libltc itself."""
        frame = _Frame((ctypes.c_uint8 * 10)(*word))
        for _ in range(frames):
            yield bytes(frame.bytes)
            self.lib.ltc_frame_increment(ctypes.byref(frame), count, STANDARDS[count], 0)
            self.lib.ltc_frame_set_parity(ctypes.byref(frame), STANDARDS[count])
