"""A key as a QR code on the page (ISO/IEC 18004)."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_QUIET = 4  # modules of white round a code, as ISO/IEC 18004 asks for


def draw_code(canvas: Canvas, words: str, x: float, y: float, side: float) -> None:
    """A QR code (error correction M) with its white border, in a square of ``side`` points at x, y."""
    dark = _dark_modules(words)
    count = len(dark)
    module = side / (count + 2 * _QUIET)
    canvas.setFillGray(0)
    for row in range(count):
        start = 0
        while start < count:
            end = start
            while end < count and dark[row][end]:
                end += 1
            if end > start:
                left, top = x + (start + _QUIET) * module, y + side - (row + _QUIET) * module
                canvas.rect(left, top - module, (end - start) * module, module, stroke=0, fill=1)
            start = max(end, start + 1)


@lru_cache(maxsize=512)
def _dark_modules(words: str) -> tuple[tuple[bool, ...], ...]:
    """The code of these words, row by row from the top: True where it is dark."""
    code: Any = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(words.encode("utf-8")))
    code.make()
    count = code.getModuleCount()
    return tuple(tuple(bool(code.isDark(row, column)) for column in range(count)) for row in range(count))
