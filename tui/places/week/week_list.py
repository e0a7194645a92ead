"""The week drawn as lines: a line for each deck, desk and chamber of an evening, hours across."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from textwrap import wrap
from types import MappingProxyType

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from core.evening.tonight.provisional import SIGN, provisional_words, signed
from core.plan import Item, LeftOver
from core.values import dataclass
from core.words import day_text
from tui.board.evenings import Day, Row, Week, minute_of
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.places.week.crossed import CROSS, NOTHING_CROSSED, Crossed, crossed_bar
from tui.safe_text import clean, fit, plain

LABEL = 19  # columns for the day and for whose line it is
TOUCHES = {"load": "l", "turn": "t", "take out": "o"}
LETTERS = {
    "align": "A", "transfer": "", "verify": "v", "identify": "i", "repair": "r", "audition": "h",
    "condition": "",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class WeekLine:
    """One line of the picture: a day's row, a heading, a reel left over, more words on it, or a song."""

    day: Day | None = None
    row: Row | None = None
    first: bool = False
    words: str = ""
    left_over: LeftOver | None = None
    more: str = ""
    song: bool = False


def week_lines(
    week: Week,
    left_over: Sequence[LeftOver],
    width: int,
    songs: Sequence[str] = (),
    beside: Mapping[date, Sequence[str]] = MappingProxyType({}),
) -> list[WeekLine]:
    """The picture's lines, days without work as one line; then what is left over and the songs' dates.

    ``beside`` is what runs on a day without anybody's hands, under its lines.
    """
    lines: list[WeekLine] = []
    for day in week.days:
        if not day.rows:
            lines.append(WeekLine(day, None, True))
        lines += [WeekLine(day, row, number == 0) for number, row in enumerate(day.rows)]
        for words in beside.get(day.day, ()):
            lines += [WeekLine(more=f"  {one}") for one in wrap(clean(words), max(20, width - 4))]
    if left_over:
        lines.append(WeekLine(words="left over"))
        for one in left_over:
            first, *more = wrap(clean(f"{one.reel}: {one.why}"), max(20, width - 2), subsequent_indent="  ")
            lines.append(WeekLine(left_over=one, more=first))
            lines += [WeekLine(more=words) for words in more]
    if songs:
        lines.append(WeekLine(words="songs"))
        lines += [WeekLine(more=clean(words), song=True) for words in songs]
    return lines


class HourHeads(Widget):
    """The hours across."""

    week: reactive[Week] = reactive(Week())

    def render(self) -> RenderResult:
        """Each full hour above its column."""
        room = self.size.width - 1 - LABEL
        line = [" "] * room
        span = max(60, self.week.last_minute - self.week.first_minute)
        last = -3
        for minute in range(self.week.first_minute, self.week.last_minute, 60):
            column = (minute - self.week.first_minute) * room // span
            if column - last >= 3 and column + 2 <= room:
                line[column : column + 2] = f"{minute // 60 % 24:02}"
                last = column
        return plain(fit(" " * LABEL + "".join(line), self.size.width))


class WeekList(LineList):
    """The picture. The cursor stands on a line, and on one step of it."""

    NOTHING = (
        "",
        "No evening is planned yet.",
        "",
        "{any.plan} plans them: which tape is warmed, played and checked on which evening",
        "{week.hours} says on which days and hours you are there",
        "{week.wish} is a wish for the plan: a song by a date, an evening closed",
    )

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[WeekLine, ...] = ()
        self.week = Week()
        self.left: tuple[LeftOver, ...] = ()
        self.songs: tuple[str, ...] = ()
        self.beside: Mapping[date, Sequence[str]] = {}
        self.step = 0
        self.mark: Callable[[Item], str] = lambda item: ""
        self.crossed: Crossed = NOTHING_CROSSED

    def show(
        self,
        week: Week,
        left_over: Sequence[LeftOver],
        mark: Callable[[Item], str],
        songs: Sequence[str] = (),
        crossed: Crossed = NOTHING_CROSSED,
        beside: Mapping[date, Sequence[str]] = MappingProxyType({}),
    ) -> None:
        """Shows that week; ``mark`` gives a sign for steps that are held or kept off.

        Steps that must not be done any more are ``crossed``; ``beside`` is what runs without hands.
        """
        self.beside = beside
        self.week, self.mark, self.crossed = week, mark, crossed
        self.left, self.songs = tuple(left_over), tuple(songs)
        self.lines = tuple(week_lines(week, self.left, self.size.width, self.songs, beside))
        self.lay(len(self.lines))
        self.step = min(self.step, max(0, len(self._items()) - 1))

    def to_day(self, today: date) -> None:
        """Puts the cursor on the first evening that is not over; where it is, if there is none."""
        for number, line in enumerate(self.lines):
            if line.day is not None and line.day.day >= today and not self.skips(number):
                self.cursor, self.step = number, 0
                return

    def skips(self, index: int) -> bool:
        """Headings and words that go on are passed over."""
        line = self.lines[index]
        return bool(line.words) or (line.day is None and line.left_over is None and not line.song)

    def on_resize(self) -> None:
        """Another width wraps the words anew."""
        self.lines = tuple(week_lines(self.week, self.left, self.size.width, self.songs, self.beside))
        self.lay(len(self.lines))

    def _items(self, index: int | None = None) -> tuple[Item, ...]:
        at = self.cursor if index is None else index
        row = self.lines[at].row if 0 <= at < len(self.lines) else None
        return row.items if row is not None else ()

    @property
    def item(self) -> Item | None:
        """The step under the cursor."""
        items = self._items()
        return items[min(self.step, len(items) - 1)] if items else None

    @property
    def day(self) -> Day | None:
        """The day under the cursor."""
        return self.lines[self.cursor].day if self.cursor < len(self.lines) else None

    @property
    def left_over(self) -> LeftOver | None:
        """The reel left over under the cursor."""
        return self.lines[self.cursor].left_over if self.cursor < len(self.lines) else None

    def action_move(self, lines: int) -> None:
        """Another line: the step that lies nearest to the one left."""
        before = self.item
        super().action_move(lines)
        items = self._items()
        if before is not None and items:
            clock = before.start.hour * 60 + before.start.minute
            gaps = [abs(i.start.hour * 60 + i.start.minute - clock) for i in items]
            self.step = gaps.index(min(gaps))
        else:
            self.step = 0
        self.refresh_line(self.cursor)

    def along(self, step: int) -> None:
        """Another step of the line, or of the next line that has any."""
        wanted = self.step + step
        if 0 <= wanted < len(self._items()):
            self.step = wanted
            self.refresh_line(self.cursor)
            self.post_message(self.Moved())
            return
        at = self.cursor + step
        while 0 <= at < self.count and not self._items(at):
            at += step
        if 0 <= at < self.count:
            self.step = 0 if step > 0 else len(self._items(at)) - 1
            self.cursor = at

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """Day, whose line, and the hours with their steps."""
        line = self.lines[index]
        if line.words:
            return [(fit(f" {line.words}", width), "head")]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        here = index == self.cursor
        if line.day is None:
            barred = line.left_over is not None and line.left_over.barred_by
            role = "cursor" if here else "bad" if barred else "word" if line.song else "dim"
            return [(fit(f"{signs.cursor if here else ' '}{line.more}", width), role)]
        day = line.day
        assert day is not None
        name = f"{day_text(day.day)}{' *' if day.helper else ''}" if line.first else ""
        who = line.row.who if line.row is not None else ""
        label = f"{signs.cursor if here else ' '}{fit(name, 13)}{fit(who, LABEL - 15)} "
        return [(label, "word"), *self._hours(line, day, width - LABEL, here=here)]

    def _hours(self, line: WeekLine, day: Day, room: int, *, here: bool) -> list[Part]:
        span = max(60, self.week.last_minute - self.week.first_minute)

        def column(minute: int) -> int:
            return max(0, min(room, (minute - self.week.first_minute) * room // span))

        cells: list[tuple[str, str]] = [(" ", "dim")] * room
        for window in day.bench:
            first, last = column(minute_of(day.day, window.start)), column(minute_of(day.day, window.end))
            cells[first:last] = [("·" if self._dots() else ".", "dim")] * (last - first)
        for number, item in enumerate(line.row.items if line.row is not None else ()):
            first, last = column(minute_of(day.day, item.start)), column(minute_of(day.day, item.end))
            last = max(last, first + 1)
            chosen = here and number == min(self.step, len(line.row.items) - 1 if line.row else 0)
            gone = self.crossed.whole(item)
            role = "cursor" if chosen else "bad" if gone else _role(item)
            if gone:
                text = crossed_bar(item, last - first)
            elif item.kind == "condition":
                text = self._load(item, day, first, last, column)
            else:
                text = self._bar(item, last - first)
            cells[first:last] = [(one, role) for one in text][: max(0, room - first)]
        for touch in line.row.touches if line.row is not None else ():
            at = column(minute_of(day.day, touch.start))
            if touch.start.date() == day.day and 0 <= at < room:
                gone = self.crossed.touch(touch)
                cells[at] = (CROSS, "bad") if gone else (TOUCHES.get(touch.do, "t"), "next")
        return _joined(cells[:room])

    def _dots(self) -> bool:
        return not getattr(self.app, "plain_signs", False)

    def _bar(self, item: Item, width: int) -> str:
        mark = self.mark(item)
        name = (
            f"{mark}{LETTERS[item.kind]}{item.reel}"
            if item.kind != "align"
            else f"{mark}A{'*' if item.full else ''}"
        )
        sign = SIGN if provisional_words(item) else ""
        if width <= 1:
            return (mark or LETTERS[item.kind] or "T")[:1]
        short = name + sign
        if len(short) >= width:
            short = f"{mark}{item.reel}{sign}"[1 - width :] if item.reel else short[: width - 1]
        return "|" + short + "-" * (width - 1 - len(short))

    def _load(self, item: Item, day: Day, first: int, last: int, column: Callable[[int], int]) -> str:
        cells = ["="] * (last - first)
        mark = self.mark(item)
        for touch in item.touches:
            at = column(minute_of(day.day, touch.start)) - first
            if 0 <= at < len(cells):
                cells[at] = TOUCHES.get(touch.do, "t")
        out, names = self.crossed.reels(item), signed(item)
        guessed = names != item.reels
        pairs = zip(item.reels, names, strict=True)
        name = mark + " ".join(f"{CROSS}{name}" if reel in out else name for reel, name in pairs)
        first_of = f"{mark}{item.reels[0]}+{len(item.reels) - 1}{SIGN if guessed else ''}"
        for room in (f" {name} ", name, first_of):
            free = "".join(cells).find("=" * len(room))
            if free >= 0:
                cells[free : free + len(room)] = list(room)
                break
        return "".join(cells)


def _role(item: Item) -> str:
    return "next" if item.kind in ("transfer", "condition") else "word"


def _joined(cells: list[tuple[str, str]]) -> list[Part]:
    """Neighbouring cells of one role as one piece."""
    out: list[Part] = []
    for text, role in cells:
        if out and out[-1][1] == role:
            out[-1] = (out[-1][0] + text, role)
        else:
            out.append((text, role))
    return out
