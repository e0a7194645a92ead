"""The guide for whoever carries this on speaks of the house as it stands."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from core.workbook.papers import PRINTABLE
from tui.verbs import VERBS

ROOT = Path(__file__).resolve().parents[2]
CHECKER = (ROOT / "core/planning/rules/checker.py").read_text("utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
NAMED = re.findall(r"`((?:core|tui|tests|docs|demo)/[^`]*|\.ci/run)`", GUIDE)


def test_every_path_in_the_guide_is_there() -> None:
    assert len(NAMED) > 40
    gone = [name for name in NAMED if "<" not in name and not list(ROOT.glob(name.rstrip("/")))]
    assert gone == []


def test_every_room_of_core_is_in_the_guide() -> None:
    rooms = {f"core/{path.name}/" for path in (ROOT / "core").iterdir() if (path / "__init__.py").exists()}
    told = "\n".join(line for line in GUIDE.splitlines() if line.startswith("| `core/"))
    assert [room for room in sorted(rooms) if room.rstrip("/") not in told] == []


def test_every_place_that_a_rule_names_is_there_with_its_function() -> None:
    """A rule's file says where else it is kept: ``path: function``, from `core/planning/` or from the top."""
    places = ROOT / "core" / "planning"
    gone, silent = [], []
    for rule in sorted((places / "rules").glob("*.py")):
        told = ast.get_docstring(ast.parse(rule.read_text("utf-8"))) or ""
        named = re.findall(r"`([\w/]+\.py)(?::\s(\w+))?`", told)
        for path, name in named:
            file = (ROOT if path.startswith("core/") else places) / path
            text = file.read_text("utf-8") if file.exists() else ""
            if not text or (name and not re.search(rf"^ *(?:def|class) {name}\b", text, re.MULTILINE)):
                gone.append((rule.name, path, name))
        if rule.stem != "case" and f"rules.{rule.stem} import" in CHECKER and not named:
            silent.append(rule.name)
    assert gone == [] and silent == []


def test_every_verb_and_every_sheet_of_paper_has_its_row_on_the_page_of_commands() -> None:
    rows = [line for line in (ROOT / "docs/commands.md").read_text("utf-8").splitlines() if line[:1] == "|"]
    told = {word for row in rows for word in re.findall(r"`reelturn ([a-z]+)", row)}
    assert set(VERBS) - told == set()
    printed = next(row for row in rows if "`reelturn print" in row)
    assert [name for name in PRINTABLE if name not in printed] == []
