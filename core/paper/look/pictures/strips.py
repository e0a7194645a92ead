"""The strip of a capture: level along every track, with what was found marked where it is."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.findings import Finding, Strip
from core.paper.look.text import Align, Type, draw_line
from core.paper.look.words import whole_seconds

LABEL = 26.0
"""Room for words left of what is drawn along the tape."""
_FLOOR_DB = -60.0


class Strips(Flowable):
    """A lane a track: black is the RMS level, a thin outline the peak, from -60 to 0 dBFS.

    ``marks`` are numbered findings; a number stands above the lane where the finding begins.
    """

    def __init__(self, strip: Strip, marks: Sequence[tuple[int, Finding]], wide: float, high: float) -> None:
        super().__init__()
        self.strip, self.marks = strip, marks
        self.width = wide
        self.lane = max(9.0, min(34.0, (high - 24) / max(1, len(strip.tracks))))

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.lane * len(self.strip.tracks) + 22

    def draw(self) -> None:
        """Tracks from the top down, then the clock below them."""
        top = self.lane * len(self.strip.tracks) + 20
        for number, track in enumerate(self.strip.tracks):
            base = top - (number + 1) * self.lane
            draw_line(
                self.canv, LABEL - 5, base + self.lane / 2 - 3, str(track), Type(8, bold=True, align="right")
            )
            self._lane(self.canv, number, base)
        self._marks(self.canv, top)
        self._clock(self.canv)

    def _x(self, seconds: float) -> float:
        share = seconds / self.strip.seconds if self.strip.seconds > 0 else 0.0
        return LABEL + max(0.0, min(1.0, share)) * (self.width - LABEL)

    def _lane(self, canvas: Canvas, number: int, base: float) -> None:
        high = self.lane - 3
        canvas.setLineWidth(0.4)
        canvas.line(LABEL, base + 1, self.width, base + 1)
        for row, outline in ((self.strip.peaks[number], True), (self.strip.rms[number], False)):
            path = canvas.beginPath()
            path.moveTo(LABEL, base + 1)
            for column, height in self._heights(row, high):
                path.lineTo(column, base + 1 + height)
            path.lineTo(self.width, base + 1)
            path.close()
            canvas.setFillGray(0)
            canvas.drawPath(path, stroke=1 if outline else 0, fill=0 if outline else 1)

    def _heights(self, row: bytes, high: float) -> list[tuple[float, float]]:
        """At most a point a column: the loudest of what falls on it."""
        levels = self.strip.levels(row)
        count = min(len(levels), int(self.width - LABEL)) or 1
        out = []
        for at in range(count):
            part = levels[
                at * len(levels) // count : max(
                    at * len(levels) // count + 1, (at + 1) * len(levels) // count
                )
            ]
            loudest = max((level for level in part if level is not None), default=_FLOOR_DB)
            x = LABEL + (at + 0.5) / count * (self.width - LABEL)
            out.append((x, max(0.0, (loudest - _FLOOR_DB) / -_FLOOR_DB) * high))
        return out

    def _marks(self, canvas: Canvas, top: float) -> None:
        lanes = {track: number for number, track in enumerate(self.strip.tracks)}
        for number, finding in self.marks:
            lane = lanes.get(finding.track) if finding.track is not None else None
            high = top if lane is None else top - lane * self.lane
            low = 20.0 if lane is None else high - self.lane
            x = self._x(finding.start)
            canvas.setStrokeGray(1)
            canvas.setLineWidth(3.2)
            canvas.line(x, low + 1, x, high)
            canvas.setStrokeGray(0)
            canvas.setLineWidth(1.2 if finding.weight == "fail" else 0.7)
            canvas.setDash(*((2, 2) if finding.weight == "note" else ()))
            canvas.line(x, low + 1, x, high)
            canvas.setDash()
            canvas.setFillGray(1)
            words = str(number)
            wide = 4.2 * len(words) + 2
            left = min(x + 1, self.width - wide)
            canvas.rect(left, high - 8, wide, 8, stroke=0, fill=1)
            canvas.setFillGray(0)
            draw_line(canvas, left + 1, high - 7, words, Type(6.5, bold=True))

    def _clock(self, canvas: Canvas) -> None:
        seconds = self.strip.seconds
        step = next((one for one in (10, 30, 60, 120, 300, 600, 1200, 3600) if seconds / one <= 10), 7200)
        at = 0
        while at <= seconds:
            canvas.setLineWidth(0.5)
            canvas.line(self._x(at), 14, self._x(at), 20)
            at_the_end = self.width - self._x(at) < 12
            align: Align = "left" if at == 0 else "right" if at_the_end else "centre"
            draw_line(canvas, self._x(at), 5, whole_seconds(at), Type(7, align=align))
            at += step
