"""Loose sheets and bare stretches as a list: a line for each, the evidence below it."""

from __future__ import annotations

from collections.abc import Sequence

from core.sheets.papers import Paper
from core.sheets.proposals import Papers, Proposal
from core.sheets.stretch import Stretch
from core.values import dataclass
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import fit
from tui.text.songs.papers import because_words, choice_words, stretch_words

_ROLES = {"sure": "good", "likely": "next", "open": "dim"}


@dataclass(frozen=True, slots=True)
class Decided:
    """A sheet that the owner decided about: the words for it."""

    sheet: str
    words: str


Line = Proposal | Stretch | Paper | Decided | tuple[str, str]


def lines_of(found: Papers) -> tuple[Line, ...]:
    """Every line of the list, in its order; evidence and headings as a role and words."""
    out: list[Line] = []
    for one in found.proposals:
        out += [one, ("dim", f"      {because_words(one.because)}")]
    out += [("next", f"open: {line}") for line in found.contradictions]
    sounding = [place for place in found.bare if place.heard]
    if sounding:
        out += [("head", "Stretches that sound without a sheet"), *sounding]
    if found.unspanned:
        out += [("head", "Stretches of which no song has its span"), *found.unspanned]
    if found.elsewhere:
        out.append(("head", "Of tapes that are not on the shelf"))
        out += [Decided(paper.key, f"{paper.words}: {reel}") for paper, reel in found.elsewhere]
    if found.placed or found.of_no_tape:
        out.append(("head", "Decided"))
        out += [
            *(Decided(one.sheet, one.words) for one in found.placed),
            *(Decided(paper.key, f"{paper.words}: of no tape we have") for paper in found.of_no_tape),
        ]
    return tuple(out)


def _about(line: object) -> str:
    """The sheet that a line is about: the cursor stays with it where it goes."""
    return line.paper.key if isinstance(line, Proposal) else getattr(line, "sheet", "")


class LooseList(LineList):
    """The lines; the cursor stands on sheets and stretches only."""

    NOTHING = (
        "",
        "No track sheet is loose: every one lies with its tape.",
        "",
        "A sheet whose box is not known comes from a file of sheets with its reel",
        "left empty: {any.chart}, then {chart.boxes} reads files.",
        "{reel.sheet} on a reel writes that reel's own.",
    )

    def __init__(self) -> None:
        super().__init__()
        self.lines: tuple[Line, ...] = ()
        self.known = False  # until the sheets are held against the tapes nothing is said of them

    def nothing(self) -> Sequence[str]:
        """What a loose sheet is, once it is known that there is none."""
        return super().nothing() if self.known else ()

    def show(self, lines: tuple[Line, ...]) -> None:
        """Shows these lines."""
        before = _about(self.line)
        self.lines, self.known = lines, True
        at = next((n for n, line in enumerate(lines) if before and _about(line) == before), None)
        self.lay(len(lines), at)

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self.lines[self.cursor] if self.cursor < len(self.lines) else None

    def skips(self, index: int) -> bool:
        """Evidence and headings are passed over."""
        return isinstance(self.lines[index], tuple)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line."""
        line = self.lines[index]
        signs = glyphs(plain=getattr(self.app, "plain_signs", False))
        sign = signs.cursor if index == self.cursor else " "
        if isinstance(line, Proposal):
            return self._sheet(line, sign, width)
        if isinstance(line, Stretch):
            likes = f"; {line.take}" if line.take else ""
            return [(fit(f"{sign} {stretch_words(line)}{likes}", width), "next" if likes else "word")]
        if isinstance(line, Decided):
            return [(fit(f"{sign} {line.sheet:<7}{line.words}", width), "dim")]
        if isinstance(line, Paper):
            return [(fit(f"{sign} {line.key:<7}{line.words}", width), "dim")]
        return [(fit(f" {line[1]}", width), line[0])]

    def _sheet(self, line: Proposal, sign: str, width: int) -> list[Part]:
        where = max(20, width * 3 // 10)
        says = width - 2 - 7 - where - 7
        return [
            (f"{sign} " + fit(line.paper.key, 6) + " ", "word"),
            (fit(line.paper.words, max(0, says - 1)) + " ", "word"),
            (fit(choice_words(line), where - 1) + " ", "word"),
            (fit(line.sure, 7), _ROLES[line.sure]),
        ]
