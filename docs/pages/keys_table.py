"""Writes the tables of keys into docs/keys.md: ``python docs/pages/keys_table.py``."""

from __future__ import annotations

from pathlib import Path

from tui.keys.keys import key_table

PAGE = Path(__file__).resolve().parents[1] / "keys.md"


def page_with_tables(page: str) -> str:
    """The page with the tables as the keys are now: all from its first table's heading on."""
    tables = key_table()
    start = page.index(tables[: tables.index("\n")])
    return page[:start] + tables.rstrip("\n") + "\n"


if __name__ == "__main__":
    PAGE.write_text(page_with_tables(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
