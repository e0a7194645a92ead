"""A second reading of what may be done with a tape, from the published sources alone: no code of the program.

Rows and where they are published:

- acetate, paper, PVC and an unknown base never into heat: ARSC Journal 39(2), 2008; ARSC list, December 2004.
- vinegar: Image Permanence Institute, user's guide for acid strips, 2001; mould: Abbey Newsletter 21-7.
- layers that adhere are unwound slowly, not warmed: AV Media Matters list, April 2001.
- loose oxide: disputed, ARSC list, July 2013; white powder is wiped off: gas and oven reports of lubricant.
- stocks that squeal and that cold playing helps (Sony PR-150, Scotch 175, Melody 169): ARSC list, Jan 2016;
  Restoration Tips & Notes, "Degrading tapes"; fast playing (Shamrock 031): the same page.
- stocks known to become sticky are treated before they are played: the recorder mailing list's table.
- a stock with mixed reports is tested first: ARSC list, December 2015.
"""

from __future__ import annotations

LISTED = ("Ampex 456", "3M 226", "Capitol Q15")
COLD = ("Sony PR-150", "Scotch 175", "Melody 169")
FAST = ("Shamrock 031",)
MIXED = ("Scotch 206", "Agfa PEM 468")
LIKE = ("Ampex 456 Grand Master", "3M Scotch 226", "Quantegy 499 Gold", "Agfa 468")
NO_STOCK = ("", "Harbour 12")
STOCKS = (*LISTED, *COLD, *FAST, *MIXED, *LIKE, *NO_STOCK)


def word_of(base: str, condition: frozenset[str], signs: frozenset[str], stock: str, playable: bool) -> str:
    """What may be done with a tape of which this is told; nothing is told of its year and its back coat."""
    seen = condition | signs
    made_of = base or ("polyester" if stock in LISTED else "unknown")
    sick = "sticky" in seen or stock in LISTED
    if seen & {"mould", "vinegar", "loose oxide"}:
        return "never"
    if seen & {"layers adhere", "white powder"}:
        return "other way"
    if stock in LIKE:
        return "which stock"
    if not condition:
        return "look first"
    if sick and not playable:
        return _sick(made_of, stock)
    if "squeal" in seen and not sick:
        return "cold" if stock in COLD else "other way" if stock in FAST else "find the cause"
    if sick or made_of in ("acetate", "paper", "pvc"):
        return "play"
    return "test first"


def _sick(made_of: str, stock: str) -> str:
    if made_of in ("acetate", "paper", "pvc"):
        return "never"
    if made_of == "unknown":
        return "look first"
    return "cold" if stock in COLD else "other way" if stock in FAST else "warm"


def heat(base: str, condition: frozenset[str], signs: frozenset[str], stock: str) -> str:
    """What a chamber's door says: ``yes``, ``reason`` (only with one), or ``no`` (whatever is said)."""
    made_of = base or ("polyester" if stock in LISTED else "unknown")
    word = word_of(base, condition, signs, stock, playable=False)
    if made_of != "polyester" or word in ("never", "cold", "other way", "find the cause", "which stock"):
        return "no"
    return "yes" if word == "warm" else "reason"
