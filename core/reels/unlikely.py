"""What the trade's tables do not have, an equalisation, a number of tracks: taken all the same, and told."""

from __future__ import annotations

from collections.abc import Iterable

from core.quantities import Quantity
from core.reels.needs import to_transfer
from core.reels.reel import Reel
from core.studio.setup import speed_key, width_key
from core.studio.studio import Studio
from core.tape.nominal import known_curve, tracks_there_were
from core.words import listed


def unlikely_eq(studio: Studio, reels: Iterable[Reel] = ()) -> tuple[str, ...]:
    """A line for each speed of the decks at which `assume_eq` names nothing that the table has there.

    It is taken all the same: the line says which reels are planned with it.
    """
    from core.tape.physics.equalisation import possible_equalisations

    if not studio.assume_eq:
        return ()
    silent = [one for one in reels if not one.eq.strip() and to_transfer(one) and not one.calibration]
    out = []
    for speed in _speeds(studio):
        names = [one.names[0] for one in possible_equalisations(speed.number)]
        if not names or known_curve(studio.assume_eq, speed.number):
            continue
        with_it = [one.key for one in silent if speed_key(one.speed) == speed_key(speed)]
        whom = f", and it is used for {listed(with_it)}" if with_it else ""
        out.append(
            f"assume_eq = {studio.assume_eq}: the table of the trade has none of that name at {speed}{whom}; "
            f"there it has {listed(names[:2])}: give the eq of such a reel, or leave assume_eq out"
        )
    return tuple(out)


def house_curve(eq: str) -> bool:
    """True of an equalisation that no standard of the table is called at any speed: its own, or a slip."""
    from core.tape.physics.equalisation import a_standard_called

    return bool(eq.strip()) and not a_standard_called(eq)


def house_curves_told(reels: Iterable[Reel]) -> tuple[str, ...]:
    """A line for each name that is none of the table's, with the reels that have it."""
    by_name: dict[str, list[str]] = {}
    for reel in reels:
        if house_curve(reel.eq):
            by_name.setdefault(reel.eq.strip(), []).append(reel.key)
    return tuple(
        f"eq {name} of {listed(keys)}: no standard of the table is called so (such as NAB, IEC1, AES); "
        "it is kept as a curve of its own, to which a deck is lined up apart"
        for name, keys in by_name.items()
    )


def heads_told(reel: Reel, studio: Studio) -> tuple[int, ...]:
    """Numbers of tracks on tape of that width, the table's and those of the decks; none if not known."""
    were = tracks_there_were(reel.width.number) if reel.width is not None else ()
    width = width_key(reel.width)
    own = {deck.tracks for deck in studio.decks if were and width in map(width_key, deck.widths)}
    return tuple(sorted({*were, *own}))


def heads_in_words(reel: Reel, studio: Studio) -> str:
    """``2, 4, 8 or 16``: the numbers of tracks on tape of that width."""
    *most, last = (str(one) for one in heads_told(reel, studio))
    return f"{', '.join(most)} or {last}" if most else last


def odd_tracks(reel: Reel, studio: Studio) -> str:
    """What to say of tracks that no head has on that width; empty where one has, or none is known."""
    were = heads_told(reel, studio)
    if not were or not reel.tracks or reel.tracks in were:
        return ""
    return f"{reel.width} has {heads_in_words(reel, studio)} tracks, where no deck of the studio has others"


def odd_tracks_told(studio: Studio, reels: Iterable[Reel]) -> tuple[str, ...]:
    """A line for each number of tracks that no head has on that width, with the reels that have it."""
    by_head: dict[tuple[str, int], list[str]] = {}
    for reel in reels:
        if (words := odd_tracks(reel, studio)) and reel.tracks is not None:
            by_head.setdefault((words, reel.tracks), []).append(reel.key)
    return tuple(
        f"tracks {tracks} of {listed(keys)}: {words}; kept as given: is it so?"
        for (words, tracks), keys in by_head.items()
    )


def _speeds(studio: Studio) -> tuple[Quantity, ...]:
    """Every speed that some deck runs at, once, in the order of the file."""
    found = {speed_key(speed): speed for deck in reversed(studio.decks) for speed in reversed(deck.speeds)}
    return tuple(reversed(found.values()))
