"""Changes every row that sends a tape into heat, away from it or past a caution; tells what no test misses.

Run: nice python tests/benchmarks/changed_rows.py [decisions|stocks|heat|cautions|treatments|strips]...

Every decision row is taken away, given other words, set to bar or not to bar, and loses each of its
conditions in turn; every stock gets another stickiness, base, route and back coat; every figure of heat is a
tenth larger; every caution is taken away; every programme of warmth and every level of acid strips is taken
away, loses or shifts each of its figures, each of its widths. For each change the few test files that hold
those rows run in a process of their own and stop at the first that fails. What is printed are the changes
after which all of them pass: the survivors. The pages made from the tables are no judge here: they only
repeat what the tables say.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
import time
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent.parent
TESTS = {
    "decisions": (
        "conditioning/test_decided.py", "conditioning/test_advice.py", "conditioning/test_common_practice.py",
    ),
    "stocks": ("tape/test_stock_rows.py", "tape/test_stocks.py", "tape/test_written_like.py"),
    "heat": (
        "tape/test_treatments.py", "tape/test_limits_and_allowances.py", "conditioning/test_chamber_log.py",
        "conditioning/test_common_practice.py", "conditioning/test_load_state.py",
        "conditioning/test_load_broken.py",
    ),
    "cautions": ("tape/test_cautions.py",),
    "treatments": ("tape/test_treatments.py", "tape/test_programmes.py"),
    "strips": ("tape/test_programmes.py",),
}  # fmt: skip
Change = tuple[str, str, dict[str, Any]]
WORDS = ("play", "test first", "warm", "never")


def changes(name: str) -> Iterator[Change]:
    """Table, what is changed, and the whole table so changed."""
    from core.tape.table_files import read_toml

    told = read_toml("figures" if name == "heat" else name)
    by = {
        "decisions": _decisions,
        "stocks": _stocks,
        "heat": _heat,
        "cautions": _gone,
        "treatments": _figures,
        "strips": _figures,
    }[name]
    for what, changed in by(told):
        yield ("figures" if name == "heat" else name), what, changed


def _with(told: dict[str, Any], key: str, **values: Any) -> dict[str, Any]:
    changed = deepcopy(told)
    changed[key] |= values
    return changed


def _gone(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for key in told:
        yield f"{key} is gone", {name: row for name, row in told.items() if name != key}


def _decisions(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from _gone(told)
    for key, row in told.items():
        for word in WORDS:
            if word != row["word"]:
                yield f"{key}: word {word}", _with(told, key, word=word)
        yield f"{key}: bars {not row['bars']}", _with(told, key, bars=not row["bars"])
        for name in row["when"]:
            rest = {one: wanted for one, wanted in row["when"].items() if one != name}
            yield f"{key}: whatever {name}", _with(told, key, when=rest)
            for value in row["when"][name] if isinstance(row["when"][name], list) else ():
                less = [one for one in row["when"][name] if one != value]
                yield f"{key}: not for {name} {value}", _with(told, key, when=rest | {name: less})
        for name in ("now", "rest", "stop", "path"):
            if name in row:
                yield f"{key}: {name} says nothing", _with(told, key, **{name: "."})


def _stocks(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from _gone(told)
    other = {
        "sticky": ("yes", "no", "test first"), "base": ("polyester", "acetate", "unknown"),
        "route": ("heat", "cold", ""), "back_coat": ("yes", "no", "unknown"),
    }  # fmt: skip
    for key, row in told.items():
        for name, values in other.items():
            for value in values:
                if row.get(name, "unknown" if name in ("base", "back_coat") else "") != value:
                    yield f"{key}: {name} {value}", _with(told, key, **{name: value})
        for model in row["models"] if len(row["models"]) > 1 else ():
            left = [one for one in row["models"] if one != model]
            yield f"{key}: without {model}", _with(told, key, models=left)


def _heat(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for key, row in told.items():
        if key.startswith("heat.") and isinstance(row["value"], int | float):
            yield f"{key}: a tenth more", _with(told, key, value=row["value"] * 1.1)


def _figures(told: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from _gone(told)
    for key, row in told.items():
        for name, value in row.items():
            if name in ("source", "standing", "note", "who"):
                continue
            if isinstance(value, bool):
                yield f"{key}: {name} {not value}", _with(told, key, **{name: not value})
            elif isinstance(value, int | float):
                yield f"{key}: {name} a tenth more", _with(told, key, **{name: value * 1.1 + 0.01})
                without = {one: kept for one, kept in row.items() if one != name}
                yield f"{key}: no {name}", {**told, key: without}
            elif isinstance(value, str):
                yield f"{key}: {name} says nothing", _with(told, key, **{name: "."})
            else:
                yield f"{key}: {name} of every width", _with(told, key, **{name: [] if value else [0.25]})
                for one in value if len(value) > 1 else ():
                    less = [other for other in value if other != one]
                    yield f"{key}: {name} without {one}", _with(told, key, **{name: less})


def missed(name: str, table: str, changed: dict[str, Any]) -> bool:
    """Whether the tests of those rows miss that change, asked in a process of its own."""
    child = os.fork()
    if child == 0:
        import pytest

        import core.tape.table_files as files
        import core.tape.tables as tables

        read = files.read_toml

        def spoilt(one: str) -> dict[str, Any]:
            return changed if one == table else read(one)

        tables.read_toml = files.read_toml = spoilt
        there = [str(HERE / one) for one in TESTS[name] if (HERE / one).exists()]
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            status = pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *there])
        os._exit(0 if status == 0 else 1)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def main() -> None:
    """Prints the survivors and how many changes were tried."""
    import pytest  # noqa: F401  loaded once, before the processes part

    for name in sys.argv[1:] or list(TESTS):
        began, tried, left = time.monotonic(), 0, []
        for table, what, changed in changes(name):
            tried += 1
            if missed(name, table, changed):
                left.append(what)
                print(f"  survives: {name}, {what}", flush=True)
        print(f"{name}: {tried} changes, {len(left)} survive, {time.monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
