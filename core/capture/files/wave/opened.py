"""The header of any audio file that can be read, whatever its name ends in."""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

from core.capture.files.hashed import only_a_file
from core.capture.files.wave.chunks import read_at
from core.capture.files.wave.header import Header, Unreadable
from core.capture.files.wave.library import library_header
from core.capture.files.wave.riff import FORMS, riff_header


def read_header(path: Path) -> Header:
    """The header of a WAV, RF64 or BW64 file, or of one that libsndfile reads; raises Unreadable."""
    try:
        only_a_file(path)
        with open(path, "rb") as file:
            return header_of(file, path)
    except OSError as error:
        raise Unreadable(f"cannot be opened: {error.strerror or error}") from None


def header_of(file: BinaryIO, path: Path | None = None) -> Header:
    """As `read_header`, of an open file; without a path only WAV, RF64 and BW64 are known."""
    end = os.fstat(file.fileno()).st_size if hasattr(file, "fileno") and path else file.seek(0, os.SEEK_END)
    head = read_at(file, 0, 12)
    if not head:
        raise Unreadable("is empty")
    if head[:4] in FORMS:
        if head[8:12] != b"WAVE":
            raise Unreadable("is a RIFF file, but no WAVE file")
        return riff_header(file, head, end)
    if path is not None and (head[:4] == b"fLaC" or head[:4] == b"FORM" or head[:3] == b"ID3"):
        return library_header(path, end)
    raise Unreadable("is not audio that can be read (WAV, RF64, BW64, FLAC and AIFF are)")
