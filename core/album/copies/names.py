"""Names of copies: by song, part, take, tape and track, on any disk, and no two alike."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

_MOST_BYTES = 48
"""Of each word in a name; what is longer is cut."""


def plain_word(text: str, empty: str = "") -> str:
    """A person's word in a file's name: letters and digits of any script, and what no disk minds."""
    text = unicodedata.normalize("NFC", text)
    text = "".join(one if one.isalnum() or one in " ._+()-" else "-" for one in text)
    text = re.sub(r"-{2,}", "-", " ".join(text.split())).strip(" .-")
    cut = text.encode("utf-8")[:_MOST_BYTES].decode("utf-8", "ignore").strip(" .-")
    return cut or empty


def copy_name(song: str, part: str, take: str, reel: str, tracks: Iterable[int]) -> str:
    """``Low Tide - voice - take 4 - R-001 - 9``, without what is not known."""
    take = plain_word(take)
    words = [
        plain_word(song, "song"), plain_word(part, "part"), f"take {take}" if take else "",
        plain_word(reel, "tape"), "+".join(str(track) for track in tracks),
    ]  # fmt: skip
    return " - ".join(word for word in words if word)


def unlike(names: Iterable[str]) -> list[str]:
    """The names with a number behind those that a disk could take for one before them."""
    out: list[str] = []
    taken: set[str] = set()
    for name in names:
        free, number = name, 2
        while free.casefold() in taken:
            free, number = f"{name} ({number})", number + 1
        taken.add(free.casefold())
        out.append(free)
    return out
