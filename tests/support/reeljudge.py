"""An independent judge of plans: reads a shelf folder and a plan's JSON, and says what breaks the rules.

    python tests/support/reeljudge.py SHELF_DIR plan.json

prints one violation a line and ends with 1, or ends with 0 where there is none. It shares no code with
the program, uses nothing but the standard library, and computes every length, moment, list and figure
anew. Sentences begin with the number of the rule (0: horizon, grid and form).

Where the rules leave something open it reads them so: a zero-minute touch overlaps nothing; a load under way
at `from` is a fact, so its home time, its pairwise touches and its touches after `until` are not judged; a
segment's wind runs over the segment's own length; a verify hears the whole reel, or all its segments; bench
time without an end has no slack; an end at 04:00 counts up to itself; how far two curves lie apart is not
weighed where no calibration reel has the set-up's own.
"""

import json
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import reeljudge_assumed
import reeljudge_calibration
import reeljudge_case
import reeljudge_rules
import reeljudge_score
from reeljudge_files import read_shelf
from reeljudge_shelf import Shelf


def judge(shelf: Shelf | Path | str, plan: dict[str, Any], slack: Fraction | None = None) -> list[str]:
    """Every violation of *plan* against *shelf* (a folder or one already read).

    *slack* is the share of every bench window that was asked for in place of the studio's.
    """
    known = shelf if isinstance(shelf, Shelf) else read_shelf(Path(shelf))
    for key in (
        "shelf",
        "from",
        "until",
        "made_in_seconds",
        "status",
        "score",
        "bound",
        "gap",
        "items",
        "left_over",
        "songs",
    ):
        if key not in plan:
            return [f"0: the plan has no {key!r}"]
    case = reeljudge_case.build(known, plan, slack)
    found = [f"0: {line}" for line in case.malformed]
    for rule in (
        *reeljudge_rules.ALL,
        *reeljudge_assumed.ALL,
        *reeljudge_calibration.ALL,
        *reeljudge_score.ALL,
    ):
        try:
            found += rule(case)
        except (KeyError, ValueError, TypeError) as error:
            found.append(f"0: {rule.__name__} could not be judged: {type(error).__name__} {error}")
    return found


def score(shelf: Shelf | Path | str, plan: dict[str, Any]) -> Fraction:
    """The exact score of *plan* by its items alone."""
    known = shelf if isinstance(shelf, Shelf) else read_shelf(Path(shelf))
    return reeljudge_score.score(reeljudge_case.build(known, plan))


def main(arguments: list[str]) -> int:
    """The command: prints violations; 0 without any, 1 with, 2 on a wrong command line."""
    if len(arguments) != 2:
        print("usage: reeljudge.py SHELF_DIR plan.json", file=sys.stderr)
        return 2
    plan = json.loads(Path(arguments[1]).read_text(encoding="utf-8"))
    violations = judge(Path(arguments[0]), plan)
    for line in violations:
        print(line)
    return 1 if violations else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
