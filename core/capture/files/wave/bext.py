"""The broadcast extension chunk `bext`: read, and written (EBU Tech 3285, versions 0 to 2)."""

from __future__ import annotations

import struct
from collections.abc import Mapping

from core.values import dataclass

SMALLEST = 602
"""Bytes before the coding history."""

NOT_GIVEN = 0x7FFF
_TEXTS = (("description", 0, 256), ("originator", 256, 32), ("originator_reference", 288, 32),
          ("origination_date", 320, 10), ("origination_time", 330, 8))  # fmt: skip
_LOUDNESS = ("loudness_value", "loudness_range", "max_true_peak", "max_momentary", "max_short_term")


@dataclass(frozen=True, slots=True)
class Bext:
    """What a `bext` chunk tells."""

    time_reference: int
    """Samples from midnight to the first sample of the file, at the file's own rate."""
    version: int
    fields: Mapping[str, object]
    """Every other field that holds something, as text or number."""


def read_bext(content: bytes) -> Bext | None:
    """The chunk's content as values; none if it is too short to hold a time reference."""
    if len(content) < 348:
        return None
    low, high, version = struct.unpack_from("<IIH", content, 338)
    fields: dict[str, object] = {}
    for name, start, size in _TEXTS:
        text = _text(content[start : start + size])
        if text:
            fields[name] = text
    if version >= 1 and any(content[348:412]):
        fields["umid"] = content[348:412].hex()
    if version >= 2 and len(content) >= 422:
        for name, value in zip(_LOUDNESS, struct.unpack_from("<5h", content, 412), strict=True):
            if value != NOT_GIVEN:
                fields[name] = value / 100
    history = _text(content[SMALLEST:])
    if history:
        fields["coding_history"] = history
    fields["version"] = version
    return Bext(low | high << 32, version, fields)


def _text(raw: bytes) -> str:
    """Bytes up to the first NUL, as text; what is not ASCII is taken byte for byte."""
    return raw.split(b"\0", 1)[0].decode("latin-1").strip()


def write_bext(time_reference: int, *, description: str = "", originator: str = "", reference: str = "",
               date: str = "", time: str = "", coding_history: str = "") -> bytes:  # fmt: skip
    """The content of a version 1 chunk; texts are cut to their fields, what is not ASCII becomes `?`."""
    if not 0 <= time_reference < 1 << 64:
        raise ValueError(f"a time reference is 0 to 2^64 - 1 samples, not {time_reference}")

    def fixed(text: str, size: int) -> bytes:
        return text.encode("ascii", "replace")[:size].ljust(size, b"\0")

    texts = fixed(description, 256) + fixed(originator, 32) + fixed(reference, 32)
    texts += fixed(date, 10) + fixed(time, 8)
    numbers = struct.pack("<IIH", time_reference & 0xFFFFFFFF, time_reference >> 32, 1)
    return texts + numbers + bytes(64 + 190) + coding_history.encode("ascii", "replace")
