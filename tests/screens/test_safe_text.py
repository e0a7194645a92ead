"""What a person typed is shown as it is, and is never markup."""

from __future__ import annotations

import pytest

from tui.safe_text import assemble, cells, clean, fit, plain


@pytest.mark.parametrize("text", ["[/] Blues [take 2] [b", "A [#3] x", "[bold]", "\\[x]", "100 % [/foo]"])
def test_brackets_stay(text: str) -> None:
    assert plain(text).plain == text
    assert assemble(text, ("!", "bold")).plain == text + "!"


def test_line_breaks_controls_and_direction_marks_do_nothing() -> None:
    assert clean("a\nb\tc\x1b[31m\u202ed\u200b") == "a b c[31md"


@pytest.mark.parametrize(
    ("text", "width"), [("Low Tide", 4), ("夜の歌", 5), ("Übung", 9), ("", 3), ("夜の歌", 6)]
)
def test_a_fitted_text_takes_exactly_its_columns(text: str, width: int) -> None:
    assert cells(fit(text, width)) == width
    assert cells(fit(text, width, right=True)) == width


def test_a_cut_text_says_so() -> None:
    assert fit("Low Tide; Lanterns", 8) == "Low Ti.."
