"""One evening's hours changed at a time: the helper comes or not, as far as the week's own hours go."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.errors import Refused
from core.store.studio.hours_words import with_rows
from core.studio.opening import rows_on
from core.studio.studio import Studio
from core.words import day_text


def helper_turned(studio: Studio, day: date) -> tuple[Studio, bool]:
    """The studio in which the helper comes on that date, or stays away where they would come; and which.

    They come for as long as somebody is at the bench. Refused where nobody is.
    """
    rows = [replace(row, days=(), dates=(day,)) for row in rows_on(studio, day)]
    if not any(row.bench for row in rows):
        raise Refused(f"{day_text(day)}: nobody is at the bench: give its hours first")
    comes = not any(row.helper for row in rows)
    if comes:
        turned = [replace(row, helper=row.helper or row.bench) for row in rows]
    else:
        turned = [replace(row, helper=False) for row in rows if row.bench or row.home]
    return with_rows(studio, day, turned), comes
