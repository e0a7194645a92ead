"""Level, treble, speed and spacing over the time of a capture, a panel each, under its tracks' strips."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log10
from statistics import median

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.findings import Strip
from core.paper.look.pictures.strips import LABEL
from core.paper.look.text import Type, draw_line
from core.values import dataclass

_PANEL, _BETWEEN = 34.0, 6.0
_MOST_POINTS = 240
_NOTHING = 255
_USUAL = 128

Point = tuple[float, float | None]
"""Seconds of the pass, and what is told there; none where nothing is."""


@dataclass(frozen=True, slots=True)
class Panel:
    """One course: its words, its points, and between which values it is drawn."""

    words: str
    points: tuple[Point, ...]
    low: float
    high: float


def panels(strip: Strip) -> tuple[Panel, ...]:
    """Those that tell anything, from the top down."""
    made = (
        Panel("level of all tracks, dBFS", tuple(_level(strip)), -60, 0),
        Panel(
            "treble, middle of all tracks, dB against what is usual of each", tuple(_treble(strip)), -12, 6
        ),
        _parts("speed, % off", [(at, speed) for at, speed, _ in strip.along], least=0.1, below=True),
        _parts(
            "spacing, \u00b5m against the first part", [(at, lost) for at, _, lost in strip.along], least=1.0
        ),
    )
    return tuple(one for one in made if sum(value is not None for _, value in one.points) > 1)


def _parts(words: str, points: Sequence[Point], *, least: float, below: bool = False) -> Panel:
    """A panel that holds all of its values, at least so much above nought, and as much below where told."""
    values = [value for _, value in points if value is not None]
    most = max(least, *(abs(value) for value in values)) if values else least
    low = -most if below else min(0.0, *values) if values else 0.0
    return Panel(words, tuple(points), low, most)


def _level(strip: Strip) -> Iterator[Point]:
    for at, column in _columns(strip, strip.rms):
        power = sum(10 ** (-byte / 20) for byte in column if byte != _NOTHING)
        yield at, 10 * log10(power / max(1, len(column))) if power > 0 else None


def _treble(strip: Strip) -> Iterator[Point]:
    for at, column in _columns(strip, strip.treble):
        told = [(byte - _USUAL) / 2 for byte in column if byte != _NOTHING]
        yield at, median(told) if told else None


def _columns(strip: Strip, rows: Sequence[bytes]) -> Iterator[tuple[float, bytes]]:
    """Seconds and the bytes of all rows, so many columns taken together as leave a point for each dot."""
    together = max(1, -(-strip.columns // _MOST_POINTS))
    for first in range(0, strip.columns if rows else 0, together):
        part = b"".join(row[first : first + together] for row in rows)
        yield (first + together / 2) / strip.columns * strip.seconds, part


class Courses(Flowable):
    """The panels on the time axis of the strips."""

    def __init__(self, strip: Strip, wide: float) -> None:
        super().__init__()
        self.strip, self.panels, self.width = strip, panels(strip), wide

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, len(self.panels) * (_PANEL + _BETWEEN) + 4

    def draw(self) -> None:
        """From the top down."""
        top = len(self.panels) * (_PANEL + _BETWEEN)
        for number, panel in enumerate(self.panels):
            self._panel(self.canv, panel, top - (number + 1) * (_PANEL + _BETWEEN) + _BETWEEN)

    def _panel(self, canvas: Canvas, panel: Panel, base: float) -> None:
        high = _PANEL - 9
        canvas.setLineWidth(0.3)
        canvas.setStrokeGray(0.6)
        for value in {panel.low, panel.high, min(max(0.0, panel.low), panel.high)}:
            height = base + (value - panel.low) / (panel.high - panel.low) * high
            canvas.line(LABEL, height, self.width, height)
            draw_line(canvas, LABEL - 3, height - 2, f"{value + 0:.3g}", Type(6, align="right"))
        canvas.setStrokeGray(0)
        draw_line(canvas, LABEL, base + high + 2, panel.words, Type(6.5))
        canvas.setLineWidth(0.8)
        for run in _unbroken(panel.points):
            path = canvas.beginPath()
            for number, (seconds, value) in enumerate(run):
                inside = min(max(value, panel.low), panel.high)
                height = base + (inside - panel.low) / (panel.high - panel.low) * high
                (path.lineTo if number else path.moveTo)(self._x(seconds), height)
            canvas.drawPath(path, stroke=1, fill=0)

    def _x(self, seconds: float) -> float:
        share = seconds / self.strip.seconds if self.strip.seconds > 0 else 0.0
        return LABEL + max(0.0, min(1.0, share)) * (self.width - LABEL)


def _unbroken(points: Sequence[Point]) -> Iterator[list[tuple[float, float]]]:
    """Runs of points that follow one another, of two and more."""
    run: list[tuple[float, float]] = []
    for seconds, value in (*points, (0.0, None)):
        if value is not None:
            run.append((seconds, value))
            continue
        if len(run) > 1:
            yield run
        run = []
