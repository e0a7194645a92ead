"""The house is kept small: files, functions and folders stay within what the guide says."""

from __future__ import annotations

import ast
import inspect
import re
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FILES = [path for room in ("core", "tui") for path in sorted((ROOT / room).rglob("*.py"))]
OWN = {path.relative_to(ROOT): path.read_text("utf-8") for path in FILES if path.name != "__init__.py"}


def _functions() -> list[tuple[int, str]]:
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    return [
        (node.end_lineno - node.lineno + 1, f"{path}: {node.name}")
        for path, text in OWN.items()
        for node in ast.walk(ast.parse(text))
        if isinstance(node, kinds) and node.end_lineno is not None
    ]


def test_no_file_is_longer_than_400_lines_and_nine_of_ten_have_220() -> None:
    long = {str(path): text.count("\n") for path, text in OWN.items()}
    assert len(long) > 900
    assert {name: lines for name, lines in long.items() if lines > 400} == {}
    assert sum(lines > 220 for lines in long.values()) <= len(long) / 10


def test_no_function_is_longer_than_50_lines_and_nine_of_ten_have_18() -> None:
    lines = _functions()
    assert len(lines) > 7000
    assert [name for length, name in lines if length > 50] == []
    assert sum(length > 18 for length, _ in lines) <= len(lines) / 10


def test_no_folder_holds_more_than_15_files() -> None:
    held = Counter(str(path.parent) for path in OWN)
    assert {folder: files for folder, files in held.items() if files > 15} == {}


#: Names that both we and the library have, of different things.
OUR_OWN_TOO = {"_exit", "_name", "_print", "_ready", "_running"}


def test_one_module_alone_reaches_inside_the_screen_library() -> None:
    from textual import app, dom, message_pump, screen, scroll_view, widget
    from textual.widgets import _input

    private = set[str]()
    for module in (app, dom, message_pump, screen, scroll_view, widget, _input):
        private |= set(re.findall(r"(?:self\.|def )(_[a-z]\w*)", inspect.getsource(module)))
    assert {"_compositor", "_on_key", "_handle_exception"} <= private
    found: dict[str, set[str]] = {}
    for path, text in OWN.items():
        names = set(re.findall(r"(?:\.|def )(_[a-z]\w*)", text)) & private - OUR_OWN_TOO
        if names and path.parts[0] == "tui":
            found[path.as_posix()] = names
    assert list(found) == ["tui/library/inside.py"]
