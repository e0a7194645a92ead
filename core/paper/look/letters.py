"""Which letters can be printed, and in which face.

Everything that a person typed passes through here before it reaches a page. There is no markup anywhere:
text is cut into runs of one face each and drawn as it is, so no text can change the page around it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from core.paper.look.line_order import BOX, CONTROL, UNSEEN

PLAIN, BOLD, EAST = "DejaVuSansCondensed", "DejaVuSansCondensed-Bold", "DroidSansFallback-subset"


def cleaned(text: str) -> str:
    """Text without control characters, composed; line breaks stay, tabs are spaces."""
    if _is_simple(text):
        return text
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return unicodedata.normalize("NFC", CONTROL.sub(" ", text))


def _is_simple(text: str) -> bool:
    """True for ASCII letters alone, of which every face of ours has every one."""
    return text.isascii() and text.isprintable()


@cache
def _glyphs(face: str) -> frozenset[int]:
    """The characters of a face, which is read when it is first asked for."""
    pdfmetrics.registerFont(TTFont(face, str(Path(__file__).parent / "fonts" / f"{face}.ttf")))
    font: Any = pdfmetrics.getFont(face)
    return frozenset(font.face.charToGlyph)


@lru_cache(maxsize=20_000)
def _face_of(letter: str, *, bold: bool) -> str | None:
    faces = (BOLD if bold else PLAIN, PLAIN, EAST)
    return next((face for face in faces if ord(letter) in _glyphs(face)), None)


def runs(line: str, *, bold: bool = False) -> Iterator[tuple[str, str]]:
    """(face, letters) along the line; a letter that no face has is a box."""
    if _is_simple(line):
        if line:
            own = BOLD if bold else PLAIN
            _glyphs(own)
            yield own, line
        return
    face, start = "", 0
    letters = [letter if _face_of(letter, bold=bold) else BOX for letter in line]
    for at, letter in enumerate(letters):
        here = _face_of(letter, bold=bold) or PLAIN
        if here != face and at > start:
            yield face, "".join(letters[start:at])
            start = at
        face = here
    if letters:
        yield face, "".join(letters[start:])


def unprintable(texts: Iterable[str]) -> tuple[str, ...]:
    """The characters in these texts that no face has, each once, in order."""
    gone: dict[str, None] = {}
    for text in texts:
        if _is_simple(text):
            continue
        for letter in UNSEEN.sub("", cleaned(text)):
            if letter != "\n" and _face_of(letter, bold=False) is None:
                gone[letter] = None
    return tuple(gone)


def letter_name(letter: str) -> str:
    """A character's code and its name, for the list of what could not be printed."""
    return f"U+{ord(letter):04X} {unicodedata.name(letter, 'no name').lower()}"


@lru_cache(maxsize=20_000)
def width_of(line: str, size: float, *, bold: bool = False) -> float:
    """Width of one line in points."""
    return float(sum(pdfmetrics.stringWidth(part, face, size) for face, part in runs(line, bold=bold)))
