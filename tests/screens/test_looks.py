"""Looks: words that can be read, nothing told by colour alone, no colour at all where none is wanted."""

from __future__ import annotations

from typing import Any

import pytest
from textual.color import Color
from textual.css.stylesheet import Stylesheet

from tui.board.glyphs import PLAIN, SIGNS, WORDS
from tui.themes import CONTRAST, DARK, LIGHT, THEMES

PAIRS = [
    ("foreground", "background"),
    ("foreground", "panel"),
    ("dim-text", "background"),
    ("primary", "background"),
    ("primary", "panel"),
    ("secondary", "background"),
    ("success", "background"),
    ("error", "background"),
    ("line-cursor-text", "line-cursor"),
    ("background", "error"),
]


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.1: relative luminance of sRGB, 0.05 added for the room's light."""

    def luminance(text: str) -> float:
        parts = [part / 255 for part in Color.parse(text).rgb]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_reckoned_as_the_guideline_says() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21)  # WCAG 2.1, definition of contrast ratio
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", [DARK, LIGHT, CONTRAST], ids=lambda theme: theme.name)
@pytest.mark.parametrize(("words", "ground"), PAIRS)
def test_words_stand_out_from_their_ground(theme: Any, words: str, ground: str) -> None:
    """At least 4.5 to 1 (AA, WCAG 2.1 criterion 1.4.3); high contrast at least 7 to 1 (AAA, 1.4.6)."""
    colours = {**theme.variables, **{n: getattr(theme, n) for n in ("foreground", "background", "panel")}}
    colours |= {n: getattr(theme, n) for n in ("primary", "secondary", "success", "error")}
    assert contrast(colours[words], colours[ground]) >= (7 if theme is CONTRAST else 4.5)


def test_every_sign_has_a_plain_twin_and_they_differ_from_one_another() -> None:
    for signs in (SIGNS, PLAIN):
        told = [signs.state(name) for name in WORDS]
        assert len(set(told)) == len(told)
        assert all(len(one) == 1 for one in told)
    assert all(PLAIN.state(name).isascii() for name in WORDS)


async def test_without_colour_no_colour_is_sent_and_the_cursor_is_still_seen(
    book: Any, opened: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(book) as pilot:
        strips = pilot.app.screen._compositor.render_strips()
        for line_filter in pilot.app.get_line_filters():
            strips = [strip.apply_filter(line_filter, Color.parse("ansi_default")) for strip in strips]
        colours = {
            colour.name
            for strip in strips
            for segment in strip
            if segment.style is not None
            for colour in (segment.style.color, segment.style.bgcolor)
            if colour is not None
        }
        assert colours <= {"default"}
        cursor = [s for s in strips[2] if s.style is not None and s.style.reverse]
        assert "R-001" in "".join(s.text for s in cursor)


async def test_the_look_without_colour_shows_the_cursor_too(book: Any, opened: Any, until: Any) -> None:
    book.lay_out(book.shelf.choosing("look", "reelturn-no-colour"))
    async with opened(book) as pilot:
        strips = pilot.app.screen._compositor.render_strips()
        assert any(s.style is not None and s.style.reverse and "R-001" in s.text for s in strips[2])


async def test_the_looks_are_gone_through_with_one_key_and_kept(book: Any, opened: Any, until: Any) -> None:
    async with opened(book) as pilot:
        for theme in (*THEMES[1:], THEMES[0]):
            await pilot.press("f8")
            await until(pilot, lambda theme=theme: pilot.app.theme == theme.name)
        assert book.shelf.of_kind("setting")["look"] == THEMES[0].name


async def test_plain_letters_are_drawn_where_they_are_chosen(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("f7")
        await until(pilot, lambda: "* * * o . ." in seen(pilot.app)[2])
        ours = [line for line in seen(pilot.app) if "Café" not in line]
        assert all(line.isascii() for line in ours), [line for line in ours if not line.isascii()]


@pytest.mark.parametrize("size", [(59, 24), (80, 15), (40, 10)])
async def test_a_terminal_that_is_too_small_says_so_and_recovers(
    book: Any, opened: Any, seen: Any, until: Any, size: tuple[int, int]
) -> None:
    async with opened(book, size) as pilot:
        await until(pilot, lambda: any("Reelturn needs 60x16" in line for line in seen(pilot.app)))
        await pilot.resize_terminal(80, 24)
        await until(pilot, lambda: any("R-001" in line for line in seen(pilot.app)))


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (100, 30), (120, 40), (200, 60)])
async def test_no_line_is_wider_than_the_terminal_and_the_keys_are_there(
    book: Any, opened: Any, seen: Any, size: tuple[int, int]
) -> None:
    async with opened(book, size) as pilot:
        assert seen(pilot.app)[-1].endswith("? keys")
        assert any("next" in line for line in seen(pilot.app)[:2])


async def test_the_style_sheet_says_what_one_read_afresh_says_whatever_was_opened(
    book: Any, opened: Any, until: Any
) -> None:
    """It is read again only where its variables differ; held against a reading of all of it."""

    def rules(sheet: Any) -> list[tuple[str, Any]]:
        return [(rule.selectors, rule.styles.get_rules()) for rule in sheet.rules]

    async with opened(book) as pilot:
        for key, theme in (("f8", THEMES[1]), ("f8", THEMES[2]), ("w", THEMES[2]), ("c", THEMES[2])):
            await pilot.press(key)
            await until(pilot, lambda theme=theme: pilot.app.theme == theme.name)
            await pilot.pause()
            afresh = Stylesheet(variables=pilot.app.get_css_variables())
            afresh.source = dict(pilot.app.stylesheet.source)
            afresh.parse()
            assert rules(pilot.app.stylesheet) == rules(afresh)
