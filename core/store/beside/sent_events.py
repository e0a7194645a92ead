"""The events of the calendar that was written last: a small file by the shelf, so that the next one can take
them back.

It is a help to memory and no part of the shelf: where it cannot be written or read, the plan before is all
that is known of what was sent.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path


def _beside(shelf: Path) -> Path:
    return shelf.with_name(f".{shelf.name}.sent")


def sent(shelf: Path, events: Mapping[str, Sequence[str]]) -> None:
    """Writes down what was sent: by UID the start, as ISO 8601, and the summary."""
    with suppress(OSError):
        _beside(shelf).write_text(json.dumps({key: list(one) for key, one in events.items()}), "utf-8")


def last_sent(shelf: Path) -> dict[str, tuple[str, str]]:
    """What was sent last; nothing where nobody wrote it down."""
    try:
        told = json.loads(_beside(shelf).read_text("utf-8"))
        return {str(key): (str(start), str(summary)) for key, (start, summary) in told.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}
