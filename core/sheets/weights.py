"""What each kind of evidence weighs, in nats of log-likelihood: right pair against any other pair.

The figures were set on made-up shelves of seeds 100 to 129 (``tests/benchmarks/papers.py --fit`` prints what
was counted there) and are judged on others. What is unknown counts nothing.
"""

from __future__ import annotations

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Weights:
    """Chances and figures; each field says what of."""

    written_sounds: float = 0.96
    """A track that the right sheet has written on sounds."""
    unwritten_sounds: float = 0.10
    """A track that the right sheet has nothing on sounds all the same."""
    length_spread: float = 5.0
    """Seconds by which a written length is off, beside two hundredths of it."""
    length_wild: float = 0.15
    """Chance that a written length means something else, another take or a mix."""
    song_length: float = 80.0
    """Spread of songs' lengths in seconds, about their mean of 220."""
    same_song: float = 5.0
    """The sheet names the song whose span or tape this is."""
    other_song: float = -2.5
    """It names a song that has this tape not among its needs, but others."""
    same_title: float = 2.8
    """A title on the sheet and the box's words are alike to a letter or two."""
    like_title: float = 1.8
    """They are alike, no more."""
    other_title: float = -0.8
    """The box has words of its own, and none is like the sheet's title."""
    same_date: float = 1.5
    near_date: float = 0.4
    """Within a month."""
    far_date: float = -2.0
    """More than a year apart."""
    wrong_date: float = -2.3
    """More than three years apart."""
    shared_player: float = 0.15
    """For each player that the tape's other sheets have too, two at the most."""
    no_player: float = -1.5
    """Players on both, and none in common."""
    wide: float = 0.2
    """The sheet's highest track is in the upper half of the tape's tracks, which are not captured."""
    narrow: float = -1.5
    """It is not."""
    in_box: float = 2.7
    other_box: float = -1.7
    sounds_so: float = 4.0
    """The stretch was heard to be a take of the song that the sheet names; a choice of ours: the made-up
    shelves have no sound."""
    sounds_otherwise: float = -2.5
    none: float = 0.12
    """Chance that a loose sheet is of no tape there is."""


USUAL = Weights()
