"""What is looked at raw bears the names of the class that reads it whole."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from core.as_json import names_of
from core.findings import AudioFile, ChannelMeasure, Check, Finding, SpeedFound
from core.logbook.steps import StepTaken
from core.raw import RawChannel, RawCheck, RawFile, RawFinding, RawSpeed, RawStep

ROOT = Path(__file__).resolve().parents[2]


def names(raw: Any) -> set[str]:
    return set(raw.__annotations__)


def test_what_is_looked_at_raw_has_the_names_of_their_classes() -> None:
    assert names(RawStep) == set(names_of(StepTaken).values())
    assert names(RawFinding) == set(names_of(Finding).values())
    assert names(RawSpeed) == set(names_of(SpeedFound).values())
    assert names(RawFile) == set(names_of(AudioFile).values())
    assert names(RawChannel) == set(names_of(ChannelMeasure).values())


def test_a_check_has_the_names_under_which_it_is_kept() -> None:
    assert names(RawCheck) == set(Check("R-1", ()).to_json())


NAMES = {
    "actual": names(RawStep),
    "check": names(RawCheck) | names(RawFinding) | names(RawFile) | names(RawChannel) | names(RawSpeed),
}


def _texts(node: ast.AST) -> Iterator[str]:
    """The names under which anything is looked up in that function."""
    for one in ast.walk(node):
        asks = isinstance(one, ast.Call) and isinstance(one.func, ast.Attribute) and one.func.attr == "get"
        where = one.args[:1] if asks else [one.slice] if isinstance(one, ast.Subscript) else []
        yield from (
            str(key.value) for key in where if isinstance(key, ast.Constant) and type(key.value) is str
        )


def test_what_is_looked_up_in_a_raw_record_is_one_of_its_names() -> None:
    """mypy lets any name pass in ``.get``: a field renamed would be found no more, without a word."""
    looked = []
    for path in sorted((ROOT / "core").rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        for node in ast.walk(tree):
            if not isinstance(node, ast.FunctionDef):
                continue
            kinds = {  # one that is told by a name is another kind's
                one.args[0].value if isinstance(one.args[0], ast.Constant) else None
                for one in ast.walk(node)
                if isinstance(one, ast.Call)
                and isinstance(one.func, ast.Attribute)
                and one.func.attr == "of_kind"
            }
            if len(kinds) == 1 and (kind := kinds.pop()) in NAMES:
                looked += [(path.name, node.name, name) for name in _texts(node)]
                assert set(_texts(node)) <= NAMES[kind], (path.name, node.name)
    assert len(looked) > 30
