"""One glossary: every field, stage, condition and finding of the screen has its word, by any name."""

import pytest

from core.findings import KINDS
from core.reels.looked_at import LOOKED_AT
from core.reels.reel import BASES, CONDITIONS, ROLES, SIGNS, STAGES
from core.tape.told.glossary import entries, entry_of, nearest_word, words_of
from tui.board.fields import REEL_GROUPS
from tui.keys.key import PLACES

#: Fields whose names say all: words of one's own, and moments.
PLAIN = {"notes", "year", "conditioned_at", "loaded_at"}


@pytest.mark.parametrize(
    "words",
    [
        [name for _, names in REEL_GROUPS for name in names if name not in PLAIN],
        LOOKED_AT, STAGES, ROLES, BASES, CONDITIONS, SIGNS, KINDS,
    ],
)  # fmt: skip
def test_what_the_screen_names_has_its_word(words: list[str]) -> None:
    assert [word for word in words if entry_of(word) is None] == []


def test_a_word_is_found_by_any_of_its_names_and_in_any_case() -> None:
    for name in ("Tails Out", "tails-out", "wind", "heads"):
        assert entry_of(name) is entry_of("wind") is not None
    assert entry_of("splices") is entry_of("splice")
    assert entry_of("no such word") is None
    assert nearest_word("azimut") == "azimuth" and nearest_word("qqqq") == ""


def test_no_name_has_two_meanings() -> None:
    names: dict[str, str] = {}
    for one in entries():
        for name in {one.word, *one.also}:
            plain = name.casefold()
            assert names.setdefault(plain, one.word) == one.word, plain


def test_every_place_with_words_of_its_own_is_one_of_the_keys_page() -> None:
    assert {place for one in entries() for place in one.places} <= set(PLACES)
    for place in ("chart", "card", "tonight", "week", "songs", "chamber", "capture", "lineup", "album"):
        assert len(words_of((place,))) >= 5, place


def test_entries_are_short() -> None:
    assert [one.word for one in entries() if len(one.says) > 260] == []
