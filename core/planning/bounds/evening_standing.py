"""What a deck stands on behind an evening, as rows: a full line-up to another set-up ends what it stood on.

For decks that are lined up in full only while the helper is there: where it can be done in any evening the
rows tell little, and cost more than they tell.
"""

from __future__ import annotations

from core.planning.bounds.evening_rows import Programme, Terms


def add_standing(programme: Programme, *, every: bool) -> None:
    """Rows for every deck and evening; of several evenings that are treated as one nothing is said.

    ``every``: also for decks that are lined up in full without the helper.
    """
    for deck, facts in enumerate(programme.problem.decks):
        for b, stretch in enumerate(programme.stretches):
            setups = [x for on, x, at in programme.aligns if (on, at) == (deck, b)]
            asked = every or facts.deck.setup_needs_helper
            if asked and len(stretch.windows) == 1 and setups:
                _evening(programme, deck, b, setups)


def _evening(programme: Programme, deck: int, b: int, setups: list[int]) -> None:
    """It stands on what it is lined up to last, or, where that is nothing new, on what it stood on before."""
    changed = programme.variable()
    kept: Terms = []
    lasts: Terms = []
    for setup in setups:
        full, _ = programme.aligns[deck, setup, b]
        before = programme.stands.get((deck, setup, b - 1))
        stood = float(b == 0 and programme.problem.decks[deck].stands_on == setup)
        keeps, last = programme.variable(), programme.variable()
        programme.last[deck, setup, b] = last
        kept.append((keeps, 1.0))
        lasts.append((last, 1.0))
        programme.at_most([(keeps, 1.0)] if before is None else [(keeps, 1.0), (before, -1.0)], stood)
        then = programme.stands[deck, setup, b]
        programme.at_most([(then, 1.0), (last, -1.0), (keeps, -1.0)], 0.0)
        programme.at_most([(last, 1.0), (full, -1.0)], 0.0)
        programme.at_most([(full, 1.0), (changed, -1.0)], 0.0)
    programme.at_most([*kept, (changed, 1.0)], 1.0)
    programme.at_most([*lasts, (changed, -1.0)], 0.0)
