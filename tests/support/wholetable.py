"""A table is asked as a whole: every row of it, and those that fail are told together, each by its name."""

from collections.abc import Callable, Iterable
from typing import TypeVar

Row = TypeVar("Row")


def each_holds(rows: Iterable[Row], holds: Callable[[Row], object], name: Callable[[Row], str] = str) -> None:
    """Asks every row, and fails with the name of each that does not hold, and with what was wrong in it.

    One test a table: thousands of tests of a few lines cost more in being counted than in what they ask.
    """
    wrong, asked = [], 0
    for row in rows:
        asked += 1
        try:
            holds(row)
        except Exception as fault:
            wrong.append(f"{name(row)}: {fault or type(fault).__name__}")
    assert asked, "the table is empty"
    assert not wrong, f"{len(wrong)} of {asked} do not hold:\n" + "\n".join(wrong)
