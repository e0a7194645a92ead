"""Sides against every possible split; codes against the examples that their registries give."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from core.release.carriers import carriers, fit, side_length
from core.release.codes import isrc_trouble, iswc_trouble
from core.release.sides import in_order, shortest_longer


def longer(lengths: list[Fraction], gap: Fraction, split: tuple[tuple[int, ...], ...]) -> Fraction:
    return max(side_length([lengths[n] for n in side], gap) for side in split)


@pytest.mark.parametrize("seed", range(40))
def test_the_longer_side_is_as_short_as_any_split_has_it(seed: int) -> None:
    rng = random.Random(seed)
    lengths = [Fraction(rng.randint(3000, 40000), 100) for _ in range(rng.randint(1, 9))]
    gap = Fraction(rng.choice((0, 2, 3)))
    numbers = range(len(lengths))
    every = (
        (tuple(n for n in numbers if bits >> n & 1), tuple(n for n in numbers if not bits >> n & 1))
        for bits in range(1 << len(lengths))
    )
    free = shortest_longer(lengths, gap)
    assert sorted(free[0] + free[1]) == list(numbers)
    assert longer(lengths, gap, free) == min(longer(lengths, gap, split) for split in every)
    cuts = ((tuple(numbers[:at]), tuple(numbers[at:])) for at in range(len(lengths) + 1))
    assert longer(lengths, gap, in_order(lengths, gap)) == min(longer(lengths, gap, cut) for cut in cuts)


@pytest.mark.parametrize(
    ("minutes", "seconds", "fits", "says"),
    [
        (19, 30, True, "to spare"),  # recommended maximum of a presser (table carriers, record-side-lengths)
        (21, 0, True, "1:30 over the safe 19:30"),  # within 10 %
        (21, 27, True, "over the safe"),
        (22, 0, False, "0:33 over 21:27"),
    ],
)
def test_a_record_side(minutes: int, seconds: int, fits: bool, says: str) -> None:
    record = next(one for one in carriers() if one.key == "twelve-inch-33")
    side = Fraction(60 * minutes + seconds)
    found = fit(record, [("A", side), ("B", Fraction(60))], Fraction(2))
    assert found.fits is fits and says in found.says


def test_a_disc_counts_its_tracks_and_their_least_length() -> None:
    disc = next(one for one in carriers() if one.key == "compact-disc")
    assert fit(disc, [("A", Fraction(4440))], Fraction(2)).fits
    assert fit(disc, [("A", Fraction(4788))], Fraction(2)).fits
    assert not fit(disc, [("A", Fraction(4789))], Fraction(2)).fits
    many = [(f"S{n}", Fraction(10)) for n in range(100)]
    assert "99 are the most" in fit(disc, many, Fraction(0)).says
    assert (
        "S1 is shorter than 4 s" in fit(disc, [("S1", Fraction(3)), ("S2", Fraction(60))], Fraction(2)).says
    )


# T-034.524.680-1 and T-000.000.001-0 are the examples usually given for ISO 15707 (from memory).
# AA-6Q7-20-00047 is the example of the registry of ISO 3901:2019: isrc.ifpi.org/isrc-standard/structure.
@pytest.mark.parametrize("code", ["T-034.524.680-1", "T0345246801", "T-000.000.001-0"])
def test_an_iswc_whose_check_digit_is_right(code: str) -> None:
    assert iswc_trouble(code) is None


@pytest.mark.parametrize("code", ["T-034.524.680-2", "T-034.524.608-1", "T-34.524.680-1", "034524680-1"])
def test_an_iswc_that_is_mistyped(code: str) -> None:
    assert iswc_trouble(code)


def test_the_form_of_an_isrc() -> None:
    assert isrc_trouble("AA-6Q7-20-00047") is None and isrc_trouble("aa6q72000047") is None
    for wrong in ("AA-6Q7-20-0047", "A1-6Q7-20-00047", "AA-6Q7-2X-00047", ""):
        assert isrc_trouble(wrong)


def test_what_is_wrong_is_said_before_what_is_not_known_yet() -> None:
    """A narrow screen shows no more than the beginning; without any length nothing is said to fit."""
    record = next(one for one in carriers() if one.sides == 2)
    over = Fraction(record.safe_seconds + 30)
    told = fit(record, [("S1", over), ("S2", Fraction(60))], Fraction(0), unknown=1).verdict
    assert told.startswith("so far fits, but side A is 0:30 over")
    assert told.endswith("without 1 song of unknown length")
    assert fit(record, [], Fraction(0), unknown=3).verdict == "not known: no song has a length yet"
