"""Writes the table of the studio's keys into docs/files.md: ``python docs/pages/studio_table.py``."""

from __future__ import annotations

from pathlib import Path

from core.store.studio.fields import ARRAYS, TABLES

PAGE = Path(__file__).resolve().parents[1] / "files.md"
HEAD = "| table | key | tells | default |\n|---|---|---|---|\n"


def studio_table() -> str:
    """The table as the page has it: a row a key, in the file's order."""
    rows = []
    for name, fields in TABLES.items():
        shown = f"`[[{name}]]`" if name in ARRAYS else f"`[{name}]`"
        for field in fields:
            rows.append(
                f"| {shown} | `{field.key}` | {field.says} | {field.default} |".replace("|  |", "| |")
            )
            shown = ""
    return HEAD + "\n".join(row.replace("|  |", "| |") for row in rows) + "\n"


def page_with_table(page: str) -> str:
    """The page with the table as it is now in place of the one that it has."""
    start = page.index(HEAD)
    end = page.index("\n\n", start) + 1
    return page[:start] + studio_table() + page[end:]


if __name__ == "__main__":
    PAGE.write_text(page_with_table(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
