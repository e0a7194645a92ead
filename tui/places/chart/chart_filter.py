"""Which reels the chart shows: ticks that combine."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from textual.widget import Widget

from core.reels.reel import STAGES
from tui.asking.asking import Question
from tui.asking.toggles import Tick, Toggles
from tui.board.rows import Board
from tui.places.chart.filters import Filter, widths_of

_DUE = {"due 24": "due within a day", "due 72": "due within three days", "due 168": "due within a week"}


class AskFilter(Question[Filter]):
    """Ticks for stage, blocked, due, width and song; a reel is shown if every kind that is ticked fits."""

    FOOT = "{ticks.tick} ticks   {ticks.none} lets all go   {ask.yes} shows   {ask.out} leaves it as it was"

    def __init__(self, now: Filter, board: Board) -> None:
        super().__init__("Show only some reels")
        self.now, self.board = now, board

    def answers(self) -> Iterable[Widget]:
        """The ticks, those of the filter that is on set."""
        ticks = [Tick("", "Stage"), *(Tick(f"stage {stage}", stage) for stage in STAGES)]
        ticks += [Tick("", "Waiting"), Tick("blocked yes", "blocked", "blocked")]
        ticks += [Tick("blocked no", "not blocked", "blocked"), Tick("", "Due")]
        ticks += [Tick(key, text, "due") for key, text in _DUE.items()]
        ticks.append(Tick("", "Width"))
        widths = widths_of(self.board.shelf.reels.values())
        ticks += [Tick(f"width {number}", text, "width") for number, text in widths.items()]
        if self.board.shelf.songs:
            ticks.append(Tick("", "Needed by"))
        for song in self.board.shelf.songs.values():
            ticks.append(Tick(f"song {song.key}", f"{song.key} {song.title}", "song"))
        yield Toggles(ticks, _ticks_of(self.now))

    def action_yes(self) -> None:
        """Answers with the filter that is ticked."""
        self.dismiss(filter_of(self.query_one(Toggles).ticked))


def _ticks_of(now: Filter) -> frozenset[str]:
    ticks = {f"stage {stage}" for stage in now.stages}
    if now.blocked is not None:
        ticks.add("blocked yes" if now.blocked else "blocked no")
    if now.due_hours is not None:
        ticks.add(f"due {now.due_hours}")
    if now.width is not None:
        ticks.add(f"width {now.width}")
    if now.song:
        ticks.add(f"song {now.song}")
    return frozenset(ticks)


def filter_of(ticks: Iterable[str]) -> Filter:
    """The filter that these ticks stand for."""
    parts: dict[str, list[str]] = {}
    for tick in ticks:
        kind, _, value = tick.partition(" ")
        parts.setdefault(kind, []).append(value)
    return Filter(
        stages=frozenset(parts.get("stage", ())),
        width=Fraction(parts["width"][0]) if "width" in parts else None,
        song=parts["song"][0] if "song" in parts else "",
        blocked=parts["blocked"][0] == "yes" if "blocked" in parts else None,
        due_hours=int(parts["due"][0]) if "due" in parts else None,
    )
