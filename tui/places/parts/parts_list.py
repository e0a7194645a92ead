"""The parts of a song as a list: a line for each recording, below it what is not used and what is open."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from core.songs.parts import Part as SongPart
from core.songs.parts import SongParts
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit
from tui.text.songs.parts import copied_words

_ROLES = {
    "to hand": "good",
    "open": "next",
    "not captured": "dim",
    "only on paper": "bad",
    "only in a mix": "bad",
}

#: Widths of part, take, use, copied and state; the rest is beside it.
_PART, _TAKE, _USE, _COPIED, _STATE = 19, 5, 12, 7, 14


class PartsList(LineList):
    """Every recording with the tracks to use, how often copied, how it stands, and what is beside it."""

    NOTHING = (
        "",
        "No part of this song is known yet.",
        "",
        "Parts are what the tracks of its tapes carry: bass, voice, left hand.",
        "{reel.sheet} on a reel writes its track sheet, track by track, with the song's key",
    )

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[SongPart | tuple[str, str], ...] = ()
        self.wrong = ""

    def show_wrong(self, words: str) -> None:
        """Shows why there are no parts."""
        self.lines, self.wrong = (), words
        self.lay(0)

    def nothing(self) -> Sequence[str]:
        """Why there are no parts, in as many lines as it takes; else where parts come from."""
        if self.wrong:
            return ("", *wrap(self.wrong, max(20, self.size.width - 4)))
        return super().nothing()

    def show(self, found: SongParts) -> None:
        """Shows these parts; the cursor stays on its line."""
        self.wrong = ""
        more: list[tuple[str, str]] = []
        more += [("dim", f"not used: {line}") for line in found.not_used_lines()]
        more += [("next", f"open: {line}") for line in found.open]
        self.lines = (*found.parts, *((("head", ""),) if more else ()), *more)
        self.lay(len(self.lines))

    @property
    def part(self) -> SongPart | None:
        """The part under the cursor."""
        line = self.lines[self.cursor] if self.cursor < len(self.lines) else None
        return line if isinstance(line, SongPart) else None

    def skips(self, index: int) -> bool:
        """An empty line is passed over."""
        return self.lines[index] == ("head", "")

    def words(self, index: int) -> str:
        """The whole of a line, for the line that says."""
        line = self.lines[index]
        return f"{line.called}: {line.why}" if isinstance(line, SongPart) else line[1]

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line of the list."""
        line = self.lines[index]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        sign = signs.cursor if index == self.cursor else " "
        if not isinstance(line, SongPart):
            return [(fit(f"{sign} {line[1]}", width), line[0])]
        left = width - 2 - _PART - _TAKE - _USE - _COPIED - _STATE
        own = "*" if line.chosen else " "
        return [
            (f"{sign} " + fit(line.name, _PART - 1) + " ", "word"),
            (fit(line.take, _TAKE), "dim"),
            (fit(f"{line.labels}{own}", _USE - 1) + " ", "word"),
            (fit(copied_words(line), _COPIED), "dim"),
            (fit(line.state, _STATE), _ROLES[line.state]),
            (fit(line.beside or ("" if line.use else line.why), max(0, left)), "dim"),
        ]


def heads(width: int) -> str:
    """The heads of the columns."""
    named = (
        ("  part", _PART + 2),
        ("take", _TAKE),
        ("use", _USE),
        ("copied", _COPIED),
        ("stands at", _STATE),
    )
    return fit("".join(fit(word, wide) for word, wide in named) + "beside it", width)
