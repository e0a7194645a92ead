"""Advice in sentences, for a screen or a sheet."""

from core.conditioning.advice import Advice, QuickTest, Word
from core.quantities import plain
from core.tape.treatments import Programme, fahrenheit
from core.tape.where import source_of
from core.words import ended, often

_SAYS: dict[Word, str] = {
    "play": "Play it as it is",
    "warm": "Warm it",
    "test first": "Test it first",
    "cold": "Play it cold, do not warm it",
    "other way": "Another way than heat helps it",
    "never": "Never into heat",
    "find the cause": "Find the cause first",
    "look first": "Look at it first",
    "which stock": "Say which stock it is",
}


def advice_lines(advice: Advice, *, sources: bool = False) -> tuple[str, ...]:
    """What to do, how, why, what is not known, the test that would settle it; with `sources`, who says so."""
    lines = [f"{_SAYS[advice.word]}{': ' + advice.how if advice.how else ''}."]
    if advice.programme is not None:
        lines.append(programme_line(advice.programme, advice.had))
    if advice.proposed is not None:
        cited = source_of(advice.proposed.source).row.cited
        lines.append(f"Published for its width: {programme_line(advice.proposed)}. Source: {cited}.")
    if advice.splices != "none":
        lines.append(f"Joints are remade {advice.splices}.")
    for reason in advice.reasons:
        cited = f" Source: {source_of(reason.key).row.cited}." if sources else ""
        lines.append(f"Because: {ended(reason.says)}{cited}")
    if advice.unknown:
        lines.append(f"Not known: {', '.join(advice.unknown)}.")
    if advice.test is not None:
        lines.append(quick_test_line(advice.test))
    if advice.barred_by:
        lines.append(f"Left out of the plan: {ended(advice.barred_by)}")
    return tuple(lines)


def test_words(advice: Advice) -> str:
    """That a tape is to be tried by hand before it runs, with the reason; empty for any other."""
    if advice.word != "test first":
        return ""
    return f"test first, {advice.because}: play the outermost turns by hand, then look at the heads"


#: How the outermost turns ran by hand, as `tried` keeps it, and what that means.
HOW_IT_RAN = (
    ("clean", "clean heads: it may be played"),
    ("residue", "residue or cling: it is sticky"),
    ("gum", "brown gum on a dry swab: a sick binder"),
)


def programme_line(programme: Programme, had: int = 0) -> str:
    """A programme in one sentence, and how often this tape had one already."""
    degrees = f"{programme.celsius:g} °C ({fahrenheit(programme.celsius):.0f} °F)"
    before = "" if not had else f" It was treated {often(had)} before."
    return (
        f"{degrees} for {plain(programme.hours)} h, turned every {plain(programme.turn_hours)} h; "
        f"cool {plain(programme.cool_hours)} h, then playable {plain(programme.playable_days)} days.{before}"
    )


def quick_test_line(test: QuickTest) -> str:
    """A test in one sentence."""
    return f"Cheapest test ({_span(test.minutes)}): {test.what.lower()}. {test.how} It tells: {test.tells}."


def _span(minutes: int) -> str:
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h"
