"""What a command tells the person, beside what it prints."""

from __future__ import annotations

import sys


def say(text: str) -> None:
    """Tells the person something, a line at a time, on standard error."""
    for line in text.splitlines() or [""]:
        print(f"reelturn: {line}", file=sys.stderr)
