"""The search for unused memory is kept out of the moments in which a person waits for the screen."""

from __future__ import annotations

import gc

#: New values that may pile up before the young ones are looked through: more than one key makes.
YOUNG = 20_000


def hold() -> None:
    """No search while the shelf is read and the first picture is made: all that is made then stays."""
    gc.disable()


def settle() -> None:
    """From now on; what is there is set aside for good, so that a search costs what was made since.

    A thousand reels and all loaded modules need not be walked through in the middle of a key. Values that
    are set aside are still given back when nothing names them any more.
    """
    gc.freeze()
    gc.set_threshold(YOUNG, 10, 10)
    gc.enable()
