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
    assert found == {
        "tui/library/inside.py": {
            "_disable_notifications",
            "_disable_tooltips",
            "_dispatch_message",
            "_handle_exception",
            "_init_mode",
        }
    }


def _bases() -> dict[tuple[str, str], list[tuple[str, str]]]:
    """Each class of the screen by module and name, with those of its bases that are ours too."""
    trees = {_module(path): ast.parse(text) for path, text in OWN.items() if path.parts[0] == "tui"}
    ours = {
        (module, node.name): node.bases
        for module, tree in trees.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
    }
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for (module, name), bases in ours.items():
        named = {
            one.asname or one.name: (node.module, one.name)
            for node in ast.walk(trees[module])
            if isinstance(node, ast.ImportFrom) and node.module
            for one in node.names
        }
        plain = [base.value if isinstance(base, ast.Subscript) else base for base in bases]
        names = [base.id for base in plain if isinstance(base, ast.Name)]
        wanted = [named.get(one, (module, one)) for one in names]
        found[module, name] = [one for one in wanted if one in ours]
    return found


def _module(path: Path) -> str:
    return ".".join(path.with_suffix("").parts)


def test_a_class_of_the_screen_has_one_of_ours_above_it_at_most() -> None:
    """What a place does is held by it, not inherited: the base and the place are two levels."""
    bases = _bases()
    assert ("tui.frame.place", "Place") in bases["tui.places.tonight.tonight", "TonightScreen"]

    def levels(one: tuple[str, str]) -> int:
        return 1 + max((levels(base) for base in bases[one]), default=0)

    deep = {f"{module}: {name}": levels((module, name)) for module, name in bases}
    assert len(deep) > 150
    assert {name: count for name, count in deep.items() if count > 2} == {}
