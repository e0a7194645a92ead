"""No module reaches itself by what it imports: not at the top, not inside a function, not for types alone."""

import ast
from graphlib import TopologicalSorter
from pathlib import Path

ROOT = Path(__file__).parents[2]


def modules() -> dict[str, Path]:
    found = {}
    for room in ("core", "tui"):
        for path in (ROOT / room).rglob("*.py"):
            parts = path.relative_to(ROOT).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imported(path: Path, known: dict[str, Path]) -> set[str]:
    """The modules of the project that a file imports anywhere in it."""
    out: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            out |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & set(known)
            out |= inner or {node.module}
    return out & set(known)


def test_imports_run_in_no_circle() -> None:
    known = modules()
    graph = {name: imported(path, known) for name, path in known.items()}
    assert len(graph) > 600 and sum(map(len, graph.values())) > 3000
    TopologicalSorter(graph).prepare()  # CycleError names the circle
