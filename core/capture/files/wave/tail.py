"""Where the chunks after the sound begin, found from the end of a file whose sizes cannot be believed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

from core.capture.files.wave.chunks import printable, read_at

TAIL_BYTES = 1 << 20
"""How far back from the end of a file chunks after the sound are looked for."""
_NAMES = (
    b"LISTbextiXMLaxmlchnafactcue smplinstPEAKJUNKjunkPAD FLLRFAKEumidminfelm1elmoregnDGDAcart_PMX"
    b"id3 ID3 acidstrclevllinkplstlablnoteafspMD5 ubxtdbmdr64mSAURDISPdata"
)
KNOWN = frozenset(_NAMES[at : at + 4] for at in range(0, len(_NAMES), 4))
"""Names of chunks that recorders and editors write; only these are believed to end the sound."""


def chain_in_tail(file: BinaryIO, sound: int, end: int) -> int | None:
    """Where the chunks that follow the sound begin, if the last MiB of the file holds any.

    Sought is the earliest known chunk name at an even place from which a chain of chunks leads to
    the end of the file. Each place is looked at once, so that no file can make this slow.
    """
    first = max(sound, end - TAIL_BYTES)
    tail = read_at(file, first, end - first)
    leads: dict[int, bool] = {}
    for at in sorted(at for name in KNOWN for at in _finds(tail, name) if (first + at) % 2 == 0):
        if _leads_to_end(tail, at, leads):
            return first + at
    return None


def _finds(tail: bytes, name: bytes) -> Iterator[int]:
    at = tail.find(name)
    while at >= 0:
        yield at
        at = tail.find(name, at + 1)


def _leads_to_end(tail: bytes, at: int, leads: dict[int, bool]) -> bool:
    trail: list[int] = []
    answer = False
    while at not in leads:
        if at + 8 > len(tail) or not printable(tail[at : at + 4]):
            break
        trail.append(at)
        size = int.from_bytes(tail[at + 4 : at + 8], "little")
        following = at + 8 + size
        if following in (len(tail), len(tail) - 1) and (size % 2 or following == len(tail)):
            answer = True
            break
        if following > len(tail):
            break
        at = following + size % 2
    else:
        answer = leads[at]
    for place in trail:
        leads[place] = answer
    return answer
