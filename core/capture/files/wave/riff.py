"""WAV, RF64 and BW64: where the sound lies and how much of it there is, whatever the size fields say."""

from __future__ import annotations

import struct
from dataclasses import dataclass, field, replace
from typing import BinaryIO

from core.capture.files.wave.bext import read_bext
from core.capture.files.wave.chunks import UNKNOWN, Chunk, after, closes, read_at, walk
from core.capture.files.wave.header import Header, Unreadable, believable
from core.capture.files.wave.tail import KNOWN, chain_in_tail

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
_GUID_TAIL = bytes.fromhex("000000001000800000aa00389b71")
_MOST_BEXT = 1 << 20
FORMS = {b"RIFF": "WAV", b"RF64": "RF64", b"BW64": "BW64"}


@dataclass
class _Seen:
    """What the walk has met so far."""

    form: str
    end: int
    riff_size: int
    big: dict[bytes, int] = field(default_factory=dict)
    fmt: bytes = b""
    fact: int | None = None
    data: list[Chunk] = field(default_factory=list)
    bext: bytes = b""
    remarks: list[str] = field(default_factory=list)


def riff_header(file: BinaryIO, head: bytes, end: int) -> Header:
    """The header of a WAV, RF64 or BW64 file whose first 12 bytes were read; raises Unreadable."""
    seen = _Seen(FORMS[head[:4]], end, struct.unpack("<I", head[4:8])[0])
    _meet(file, seen, 12)
    if not seen.fmt:
        raise Unreadable("has no `fmt ` chunk that tells how its samples are written")
    if not seen.data:
        raise Unreadable("has no `data` chunk with sound")
    return _sized(file, seen, _format(seen))


def _meet(file: BinaryIO, seen: _Seen, at: int) -> None:
    """Walk from `at` and keep what counts; stop at sound of which the size cannot be trusted."""
    for chunk in walk(file, at, seen.end, seen.big):
        if chunk.name == b"ds64" and not seen.big and chunk.size >= 24:
            _read_ds64(read_at(file, chunk.start, min(chunk.size, 28 + 12 * 64)), seen.big)
        elif chunk.name == b"fmt " and not seen.fmt and chunk.size >= 14:
            seen.fmt = read_at(file, chunk.start, min(chunk.size, 40))
        elif chunk.name == b"fact" and chunk.size >= 4:
            seen.fact = struct.unpack("<I", read_at(file, chunk.start, 4).ljust(4, b"\0"))[0]
        elif chunk.name == b"bext" and not seen.bext:
            seen.bext = read_at(file, chunk.start, min(chunk.size, _MOST_BEXT))
        elif chunk.name == b"data":
            seen.data.append(chunk)
            following = after(file, chunk, seen.end, seen.big)
            if following < seen.end and not _chunk_follows(file, seen, following):
                return


def _chunk_follows(file: BinaryIO, seen: _Seen, at: int) -> bool:
    """Whether chunks, and not more sound, stand at `at`: a closed chain, or a known name."""
    return closes(file, at, seen.end, seen.big) or read_at(file, at, 4) in KNOWN


def _read_ds64(content: bytes, big: dict[bytes, int]) -> None:
    if len(content) < 24:
        return
    big[b"data"] = struct.unpack_from("<Q", content, 8)[0]
    entries = struct.unpack_from("<I", content, 24)[0] if len(content) >= 28 else 0
    for at in range(28, min(28 + 12 * entries, len(content) - 11), 12):
        big.setdefault(content[at : at + 4], struct.unpack_from("<Q", content, at + 4)[0])


def _format(seen: _Seen) -> Header:
    tag, channels, rate, _, align, bits = struct.unpack("<HHIIHH", seen.fmt.ljust(16, b"\0")[:16])
    depth = bits
    if tag == EXTENSIBLE and len(seen.fmt) >= 40:
        valid = struct.unpack_from("<H", seen.fmt, 18)[0]
        tag = struct.unpack_from("<H", seen.fmt, 24)[0] if seen.fmt[26:40] == _GUID_TAIL else 0
        depth = valid if 0 < valid <= bits else bits
    believable(channels, rate)
    if tag not in (PCM, FLOAT):
        raise Unreadable(f"is compressed or coded (format {tag:#06x}), which cannot be measured")
    size = (bits + 7) // 8
    if align != size * channels:
        if align and align % channels == 0 and size <= align // channels <= 4 and tag == PCM:
            size = align // channels
        else:
            seen.remarks.append(f"the header tells {align} bytes a frame, where {size * channels} are right")
    names = {1: "PCM_U8", 2: "PCM_16", 3: "PCM_24", 4: "PCM_32"} if tag == PCM else {4: "FLOAT", 8: "DOUBLE"}
    if size not in names:
        raise Unreadable(f"holds samples of {bits} bits, which cannot be measured")
    return Header(seen.form, names[size], rate, channels, depth, size, 0, 0, None, "whole", seen.end)


def _sized(file: BinaryIO, seen: _Seen, form: Header) -> Header:
    """Decide how much sound there is, from the size field, the length of the file and what follows."""
    data = max(seen.data, key=lambda chunk: min(chunk.size, max(0, seen.end - chunk.start)))
    if len(seen.data) > 1:
        seen.remarks.append(f"it has {len(seen.data)} data chunks; the one with the most sound was measured")
    there = max(0, seen.end - data.start)
    block = form.frame_bytes
    empty = data.size in (0, UNKNOWN)
    following = data.start + data.size + data.size % 2
    if not empty and data.size <= there and (
        (there - data.size < block and data.size % block == 0)
        or (following < seen.end and data.size % block == 0 and _chunk_follows(file, seen, following))
    ):  # fmt: skip
        sound, state = data.size, "whole"
    else:
        sound = _sound_by_tail(file, seen, data, there)
        state = _state(data, sound, empty=empty, block=block)
    form = replace(form, sound_start=data.start, frames=sound // block, state=state,
                   declared_frames=None if empty else data.size // block)  # fmt: skip
    return _with_words(seen, form, data, sound)


def _sound_by_tail(file: BinaryIO, seen: _Seen, data: Chunk, there: int) -> int:
    """Bytes of sound when the size field is no guide: up to the chunks at the end, if there are any."""
    if closes(file, data.start, seen.end, seen.big) and read_at(file, data.start, 4) in KNOWN:
        chain: int | None = data.start
    else:
        chain = chain_in_tail(file, data.start, seen.end)
    if chain is None:
        return there
    _meet(file, seen, chain)
    return chain - data.start


def _state(data: Chunk, sound: int, *, empty: bool, block: int) -> str:
    if empty:
        return "size field wrong"
    if sound // block < data.size // block:
        return "cut short"
    if sound // block > data.size // block or data.size % block:
        return "size field wrong"
    return "whole"


def _with_words(seen: _Seen, form: Header, data: Chunk, sound: int) -> Header:
    """The header with `bext`, with the state of the outer size, and with a sentence for what is odd."""
    outer = seen.riff_size + 8
    if form.container == "WAV" and form.state == "whole":
        if outer + 8 < data.start + sound:
            seen.remarks.append(f"its RIFF size ends at byte {outer}, before the end of the sound")
            form = replace(form, state="size field wrong")
        elif outer > seen.end + 8:
            seen.remarks.append(f"its RIFF size ends at byte {outer}, but the file has {seen.end}")
    if seen.fact is not None and form.is_float and abs(seen.fact - form.frames) > 1:
        seen.remarks.append(f"its `fact` chunk tells {seen.fact} frames, {form.frames} are there")
    bext = read_bext(seen.bext)
    if seen.bext and bext is None:
        seen.remarks.append(f"its `bext` chunk has {len(seen.bext)} bytes, too few to be read")
    return replace(
        form, remarks=tuple(seen.remarks),
        time_reference=None if bext is None else bext.time_reference,
        bext=None if bext is None else bext.fields,
    )  # fmt: skip
