"""Two sides of a record: songs split so that the longer side is as short as can be."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

STEPS_A_SECOND = 100
"""Lengths are taken to the hundredth of a second; the split is the best there is at that fineness."""

Split = tuple[tuple[int, ...], tuple[int, ...]]


def in_order(lengths: Sequence[Fraction], gap: Fraction) -> Split:
    """The given order cut once: numbers of the songs on either side; the earlier cut where two are alike.

    The first song is always on the first side.
    """
    whole = sum(lengths, Fraction(0))
    best, cut, before = None, 0, Fraction(0)
    for at in range(min(1, len(lengths)), len(lengths) + 1):
        before += lengths[at - 1] if at else 0
        one = before + gap * max(0, at - 1)
        two = whole - before + gap * max(0, len(lengths) - at - 1)
        if best is None or max(one, two) < best:
            best, cut = max(one, two), at
    return tuple(range(cut)), tuple(range(cut, len(lengths)))


def shortest_longer(lengths: Sequence[Fraction], gap: Fraction) -> Split:
    """object songs on either side, each side in the given order; the first song stays on the first side.

    Every sum that some of the songs can have is one bit of a whole number; the sum nearest to one half is
    found in it and led back to its songs.
    """
    steps = [round((length + gap) * STEPS_A_SECOND) for length in lengths]
    reach = [1]
    half = sum(steps) // 2
    mask = (1 << (half + 1)) - 1
    for one in steps:
        reach.append((reach[-1] | reach[-1] << one) & mask)
    at = reach[-1].bit_length() - 1
    chosen = set()
    for number in range(len(steps) - 1, -1, -1):
        if not reach[number] >> at & 1:
            chosen.add(number)
            at -= steps[number]
    first = chosen if 0 in chosen or not steps else set(range(len(steps))) - chosen
    return tuple(sorted(first)), tuple(n for n in range(len(steps)) if n not in first)
