"""Any script prints, in its own order; what cannot be printed is said. Orders as UAX #9 has them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.paper.look.letters import EAST, PLAIN, cleaned, runs, unprintable
from core.paper.look.line_order import BOX, in_line_order, reads_from_right, said
from core.paper.look.text import _CHUNK, broken, cut, width_of

HARD = st.text(
    st.one_of(
        st.sampled_from(
            "ab 12()[]./-+%א\u05d1\u0627\u0628\u0661潮歌파リ\u2066\u2067\u2068\u2069\u202e\u061c\u200f\u2500"
        ),
        st.characters(),
    ),
    max_size=30,
)


def test_hebrew_stands_from_right_to_left() -> None:
    assert in_line_order("קולות") == "תולוק"


def test_a_bracket_in_hebrew_is_mirrored() -> None:
    assert in_line_order("קולות (take 3)") == "(take 3) תולוק"


def test_numbers_after_a_hebrew_title_stay_where_our_sentence_has_them() -> None:
    assert in_line_order(f"Transfer {said('קולות 12')}, 33:20") == "Transfer 12 תולוק, 33:20"


def test_our_sentence_stays_on_the_left_whatever_it_names() -> None:
    assert not reads_from_right(f"{said('קולות')}, take it out")
    assert reads_from_right("קולות, take 3")
    assert reads_from_right(said("קולות"))


def test_a_title_broken_over_two_lines_keeps_its_order_on_both() -> None:
    lines = broken(f"Transfer {said('קולות הים')}, 33:20", 80, 9)
    assert len(lines) > 1
    assert [in_line_order(line) for line in lines] == ["Transfer תולוק", "םיה, 33:20"]


def test_arabic_letters_join() -> None:
    (line,) = broken("مرحبا", 500, 9)
    assert all("\ufe70" <= letter <= "\ufefc" for letter in line)


def test_a_direction_override_cannot_turn_our_words_round() -> None:
    assert in_line_order(f"load {said(chr(0x202E) + 'abc')} at 19:00") == "load abc at 19:00"


def test_eastern_letters_come_from_the_second_face() -> None:
    assert list(runs("A潮B")) == [(PLAIN, "A"), (EAST, "潮"), (PLAIN, "B")]
    assert unprintable(["潮騒の歌 파도 소리 漢字 汉字 Žluťoučký ♭ ☑"]) == ()


def test_what_no_face_has_is_a_box_and_is_named() -> None:
    assert "".join(part for _, part in runs("a\U0001f3b5b")) == f"a{BOX}b"
    assert unprintable(["a\U0001f3b5b", "\U0001f3b5"]) == ("\U0001f3b5",)


def test_control_characters_never_reach_the_page() -> None:
    assert cleaned("a\x00b\x1b[31mc\r\nd\te") == "a b [31mc\nd e"


@settings(max_examples=300, deadline=None)
@given(HARD)
def test_no_text_breaks_the_setting_and_no_line_leaves_its_column(text: str) -> None:
    for sentence in (text, f"Load {said(text)} at 19:00"):
        for line in broken(sentence, 60, 9):
            shown = in_line_order(line)
            assert width_of(shown, 9) <= 60.02 or len(shown.strip()) == 1
        assert width_of(in_line_order(cut(sentence, 60, 9)), 9) <= 60.01


@given(HARD)
def test_breaking_into_words_loses_no_letter(text: str) -> None:
    plain = cleaned(text)
    assert "".join(_CHUNK.findall(plain)) == plain


def test_a_word_that_is_wider_than_the_column_is_cut_not_lost() -> None:
    lines = broken("x" * 200, 60, 9)
    assert len(lines) > 1 and "".join(lines) == "x" * 200


@pytest.mark.parametrize("bold", [False, True])
def test_plain_letters_need_no_look_at_each_one(bold: bool) -> None:
    """What ASCII has is in either face, and comes out as it is: beside another letter and alone."""
    plain = "".join(letter for letter in map(chr, range(128)) if letter.isprintable())
    (own,) = {face for face, _ in runs("é", bold=bold)}
    assert list(runs("é" + plain, bold=bold)) == [(own, "é" + plain)]
    assert list(runs(plain, bold=bold)) == [(own, plain)]
    assert list(runs("", bold=bold)) == []
    assert cleaned(plain) == cleaned("é" + plain)[1:] == plain
    assert unprintable([plain, "é" + plain]) == ()
