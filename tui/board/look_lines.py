"""What a look at files tells, as lines: what is refused first, then what would come."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import PurePath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.store.intake.looking import Look


def own_columns(look: Look) -> tuple[str, ...]:
    """The columns of the files that are none of ours."""
    return tuple(dict.fromkeys(name for file in look.files for name in file.unknown))


def counts_told(look: Look) -> str:
    """How many rows of which kind are new or changed."""
    from core.store.intake.looking import rows_told

    parts = [f"{rows_told(n, kind)} new" for kind, n in look.new.items()]
    parts += [f"{rows_told(n, kind)} changed" for kind, n in look.changed.items()]
    return ", ".join(parts) or "nothing"


def look_lines(look: Look) -> list[tuple[str, str]]:
    """The look as lines of (role, text): what is refused first, then what would come."""
    out = [("bad", f"! {one}") for one in told_once(look.refused)]
    out += [("word", f"Note: {one}") for one in look.notes if "that we do not know" not in one]  # below
    out += [("word", line) for line in look.lines() if not line.startswith(("refused:", "nothing was taken"))]
    for file in look.files:  # which folder they lie in was typed a moment ago
        out = [(role, text.replace(file.file, PurePath(file.file).name)) for role, text in out]
    return out


def told_once(refused: Iterable[str]) -> list[str]:
    """What is refused, rows with the same fault on one line: ``x.csv rows 2, 7, 12 and 4 more, ...``."""
    rows: dict[tuple[str, str], list[str]] = {}
    for one in refused:
        match = re.fullmatch(r"(.*) row (\d+)(?: \([^)]*\))?(, column .*)", one)
        rows.setdefault((match[1], match[3]) if match else (one, ""), []).append(match[2] if match else "")
    out = []
    for (file, fault), numbers in rows.items():
        more = f" and {len(numbers) - 3} more" if len(numbers) > 3 else ""
        if len(numbers) == 1 or not fault:
            out.append(next(one for one in refused if one.startswith(file) and one.endswith(fault)))
        else:
            out.append(f"{file} rows {', '.join(numbers[:3])}{more}{fault}")
    return out
