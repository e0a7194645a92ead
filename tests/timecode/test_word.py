"""The 80-bit word against libltc's bytes and counting."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.capture.timecode.labels import RATES, label_of
from core.capture.timecode.word import SYNC, Word, bits_of, pack, parity_bit, unpack


@pytest.mark.parametrize(
    ("word", "packed"),
    [
        # Bytes that libltc 1.3.2 makes of these labels.
        (Word(0, 0, 0, 0, 25), "0000000000000008fcbf"),
        (Word(1, 0, 0, 0, 25), "0000000000000100fcbf"),
        (Word(10, 20, 30, 15, 30), "0501000300020001fcbf"),
        (Word(10, 20, 30, 15, 30, drop=True), "0505000b00020001fcbf"),
        (Word(23, 59, 59, 29, 30, drop=True), "0906090509050302fcbf"),
        (Word(1, 2, 3, 4, 24), "0400030002000100fcbf"),
    ],
)
def test_words_are_packed_as_libltc_packs_them(word, packed):
    assert pack(word).hex() == packed


@pytest.mark.parametrize(
    ("name", "start"), [("24", 86300), ("25", 1499), ("29.97 DF", 0), ("29.97 DF", 107800), ("30", 107900)]
)
def test_words_count_on_as_libltc_counts(libltc, name, start):
    rate = RATES[name]

    def word(number):
        return pack(Word(*map(int, label_of(number, rate).split(":")), rate.count, rate.drop))

    for number, theirs in enumerate(libltc.counted_on(word(start), 4000, rate.count), start):
        assert theirs == word(number), label_of(number, rate)


words = st.builds(
    Word, st.integers(0, 23), st.integers(0, 59), st.integers(0, 59), st.integers(0, 23),
    st.sampled_from([24, 25, 30]), st.booleans(), st.booleans(), st.integers(0, 2**32 - 1), st.integers(0, 7),
)  # fmt: skip


@given(words)
def test_a_word_comes_back_and_its_zeros_are_even(word):
    bits = bits_of(word)
    assert bits[64:] == SYNC
    assert bits.count(0) % 2 == 0
    assert unpack(pack(word), word.count) == (word, True)


@given(words)
def test_a_wrong_polarity_bit_changes_nothing_but_the_remark(word):
    packed = bytearray(pack(word))
    place = parity_bit(word.count)
    packed[place // 8] ^= 1 << place % 8
    assert unpack(bytes(packed), word.count) == (word, False)


def test_user_bits_come_back_group_by_group():
    bits = bits_of(Word(0, 0, 0, 0, user=0x12345678))
    groups = [sum(bits[first + place] << place for place in range(4)) for first in range(4, 64, 8)]
    assert groups == [1, 2, 3, 4, 5, 6, 7, 8]


@given(st.binary(max_size=12))
def test_any_bytes_are_a_word_or_refused_in_one_sentence(packed):
    try:
        word, _ = unpack(packed)
    except ValueError as error:
        assert "\n" not in str(error)
    else:
        assert 0 <= word.hours < 24
