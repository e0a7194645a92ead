"""What verbs about one thing share: a key with, or without, the word that says what it is."""

from __future__ import annotations

from collections.abc import Sequence

KINDS = ("reel", "song", "sheet")


def kind_and_rest(words: Sequence[str], least: int) -> tuple[str, list[str]]:
    """``reel R-001 ...`` as its kind and what follows; a key that is such a word itself stays one.

    ``least`` is how many words must be left.
    """
    if words and words[0].casefold() in KINDS and len(words) > least:
        return words[0].casefold(), list(words[1:])
    return "", list(words)
