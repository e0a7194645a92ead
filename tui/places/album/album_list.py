"""The album's page as a list: each line's columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from core.clock import minutes_text
from core.release.album_song import AlbumSong
from core.release.people.credits import Credit
from core.words import date_text
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.text_page import broken
from tui.places.album.album_lines import LeftOutLine, Line, PlayerLine, RuleLine, SongLine, WordLine
from tui.safe_text import fit

_ROLES = {
    "nothing known": "bad",
    "waiting": "dim",
    "captured": "word",
    "in work": "next",
    "mixed": "next",
    "approved": "good",
}
#: Widths of the place, length, where it comes from, and state.
_PLACE, _LENGTH, _FROM, _STATE = 4, 6, 9, 14


class AlbumList(LineList):
    """Songs, sides, what is missing, players."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[Line, ...] = ()
        self.told: tuple[Line, ...] = ()
        self._broken_to = 0

    def show(self, lines: Sequence[Line]) -> None:
        """Shows these lines, long words broken; the cursor stays on its song or player."""
        here = _what(self.line)
        self.told = tuple(lines)
        self._broken_to = self.size.width or self.app.size.width
        self.lines = tuple(piece for line in lines for piece in _broken(line, self._broken_to - 5))
        there = [_what(line) for line in self.lines]
        self.lay(len(self.lines), there.index(here) if here and here in there else self.cursor)

    def on_resize(self) -> None:
        """Another width breaks long words anew."""
        if self.told and self.size.width != self._broken_to:
            self.show(self.told)
        super().on_resize()

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self.lines[self.cursor] if self.cursor < len(self.lines) else None

    def skips(self, index: int) -> bool:
        """The cursor stands on songs and players, and on what is missing so that it can be read."""
        line = self.lines[index]
        return isinstance(line, RuleLine) or (
            isinstance(line, WordLine) and (line.rest or line.role == "head")
        )

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line of the page."""
        line = self.lines[index]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        sign = signs.cursor if index == self.cursor else " "
        if isinstance(line, RuleLine):
            rule = f" {signs.rest * 4} {line.words} ".ljust(width, signs.rest)
            return [(fit(rule, width), "bad" if line.over else "dim")]
        if isinstance(line, SongLine):
            return _song(sign, line.place, line.one, width)
        if isinstance(line, LeftOutLine):
            title = line.song.title or line.song.key
            return [(fit(f"{sign}  -  {title}: left out, to see how it is without it", width), "dim")]
        if isinstance(line, PlayerLine):
            return _player(sign, line.credit, width)
        if line.role == "head":
            return [(fit(f" {line.words}", width), "head")]
        return [(fit(f"{sign}  {'  ' if line.rest else ''}{line.words}", width), line.role)]


def _song(sign: str, place: int, one: AlbumSong, width: int) -> list[Part]:
    fixed = 1 + _PLACE + 1 + _LENGTH + 2 + _FROM + _STATE
    title = max(14, min(32, (width - fixed) * 2 // 5))
    length = minutes_text(one.seconds) if one.seconds is not None else "?"
    source = "" if one.length_from == "nothing" else one.length_from
    return [
        (f"{sign}{fit(str(place), _PLACE, right=True)} ", "word"),
        (fit(one.name, title), "word"),
        (fit(length, _LENGTH, right=True) + "  ", "word" if one.seconds is not None else "bad"),
        (fit(source, _FROM), "dim"),
        (fit(one.state, _STATE), _ROLES[one.state]),
        (fit(_next(one), max(0, width - fixed - title)), "word" if one.next else "dim"),
    ]


def _next(one: AlbumSong) -> str:
    """The day that is wished for, and what comes next."""
    wish = f"for {date_text(one.wished)}" if one.wished else ""
    return "; ".join(part for part in (wish, one.next) if part)


def _broken(line: Line, width: int) -> Iterator[Line]:
    """A line of words that is too long goes on in the next."""
    if not isinstance(line, WordLine) or line.role == "head":
        yield line
        return
    for number, piece in enumerate(broken(line.words, width)):
        yield replace(line, words=piece.strip(), rest=number > 0)


def _player(sign: str, credit: Credit, width: int) -> list[Part]:
    name = min(30, width // 3)
    said = credit.says
    stands = min(34, width // 2 - 6)
    return [
        (f"{sign}  {fit(credit.name, name)}", "word"),
        (fit(said, stands), "next" if credit.open else "good"),
        (fit(credit.plays_words, max(0, width - 3 - name - stands)), "dim"),
    ]


def _what(line: Line | None) -> str:
    """What a line is about, so that the cursor finds it again."""
    if isinstance(line, SongLine):
        return f"song {line.one.song.key}"
    if isinstance(line, LeftOutLine):
        return f"song {line.song.key}"
    return f"player {line.credit.player}" if isinstance(line, PlayerLine) else ""


def heads(width: int) -> str:
    """The heads of the columns."""
    fixed = 1 + _PLACE + 1 + _LENGTH + 2 + _FROM + _STATE
    title = max(14, min(32, (width - fixed) * 2 // 5))
    lead = fit("", 2 + _PLACE) + fit("song", title) + fit("length", _LENGTH, right=True) + "  "
    return fit(lead + fit("from", _FROM) + fit("stands at", _STATE) + "next", width)
