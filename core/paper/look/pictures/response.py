"""A deck's response as a picture: as found, as left, and between which lines it passes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.lineup.picture import Points, ResponsePicture
from core.paper.look.text import TINY, Type, draw_line

_LEFT, _FOOT, _HEAD = 26.0, 14.0, 14.0
_TOP_DB = 4.0


class Response(Flowable):
    """One track: dB off what was expected over frequency. Circles are as found, crosses as left.

    The dashed lines are the edges of what passes; what lies beyond 4 dB is drawn at the edge.
    """

    def __init__(self, picture: ResponsePicture, track: int, width: float, height: float = 120) -> None:
        super().__init__()
        self.picture, self.track = picture, track
        self.width, self.height = width, height
        tones = [hz for hz, _ in picture.low]
        self.low_hz, self.high_hz = min(tones, default=20.0) / 1.3, max(tones, default=20_000.0) * 1.3

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.height

    def draw(self) -> None:
        """Grid, edges, as found, as left, and what the marks mean."""
        canvas = self.canv
        self._grid(canvas)
        canvas.setLineWidth(0.7)
        canvas.setDash(3, 2)
        for edge in (self.picture.low, self.picture.high):
            self._line(canvas, sorted(edge))
        found = self.picture.before.get(self.track, ())
        left = self.picture.after.get(self.track, ())
        canvas.setDash(1, 2)
        self._line(canvas, found)
        canvas.setDash()
        canvas.setLineWidth(1.1)
        self._line(canvas, left)
        canvas.setLineWidth(0.9)
        for hz, db in found:
            canvas.circle(self._x(hz), self._y(db), 2.4, stroke=1, fill=0)
        for hz, db in left:
            x, y = self._x(hz), self._y(db)
            canvas.line(x - 2.4, y - 2.4, x + 2.4, y + 2.4)
            canvas.line(x - 2.4, y + 2.4, x + 2.4, y - 2.4)
        words = f"track {self.track}: dB off; o as found, x as left, dashed: edges of what passes"
        draw_line(canvas, _LEFT, self.height - 8, words, Type(8, bold=True), self.width - _LEFT)

    def _grid(self, canvas: Canvas) -> None:
        canvas.setLineWidth(0.3)
        for db in range(-int(_TOP_DB), int(_TOP_DB) + 1, 2):
            y = self._y(db)
            canvas.setLineWidth(0.9 if db == 0 else 0.3)
            canvas.line(_LEFT, y, self.width, y)
            draw_line(canvas, _LEFT - 4, y - 2.5, f"{db:+d}" if db else "0", Type(7, align="right"))
        for hz in _labelled([hz for hz, _ in self.picture.low]):
            shown = f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"
            draw_line(canvas, self._x(hz), 2, shown, Type(TINY.size, align="centre"))

    def _line(self, canvas: Canvas, points: Sequence[tuple[float, float]] | Points) -> None:
        if len(points) < 2:
            return
        path = canvas.beginPath()
        path.moveTo(self._x(points[0][0]), self._y(points[0][1]))
        for hz, db in points[1:]:
            path.lineTo(self._x(hz), self._y(db))
        canvas.drawPath(path)

    def _x(self, hz: float) -> float:
        share = math.log(hz / self.low_hz) / math.log(self.high_hz / self.low_hz)
        return _LEFT + share * (self.width - _LEFT)

    def _y(self, db: float) -> float:
        middle = (self.height - _HEAD + _FOOT) / 2
        half = (self.height - _HEAD - _FOOT) / 2
        return middle + max(-_TOP_DB, min(_TOP_DB, db)) / _TOP_DB * half


def _labelled(tones: Sequence[float]) -> list[float]:
    """Tones far enough apart to be named below the picture."""
    kept: list[float] = []
    for hz in sorted(tones):
        if not kept or hz / kept[-1] > 1.25:
            kept.append(hz)
    return kept
