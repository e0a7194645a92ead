"""Every verb tells of itself with an example that it would take, and a shell can complete it."""

from __future__ import annotations

import shlex
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tui.commands.completion_ import SHELLS, whole_parser
from tui.commands.examples import EXAMPLES
from tui.verbs import VERBS

Run = Callable[..., Any]


def test_every_verb_has_an_example_and_no_other() -> None:
    assert list(EXAMPLES) == list(VERBS) or set(EXAMPLES) == set(VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_help_shows_an_example_that_the_verb_takes(run: Run, verb: str) -> None:
    told, by_verb = run("help", verb), run(verb, "--help")
    assert (
        told.status == 0
        and told.out == by_verb.out
        and f"Example: {EXAMPLES[verb]}\n" in told.out  # as it is typed, broken nowhere
    )
    words = shlex.split(EXAMPLES[verb].partition(" > ")[0])[1:]
    assert whole_parser().parse_args(words).verb == verb


ON_PAPER_ALONE = (
    "reels", "estimate", "mark", "load", "note", "set", "rename", "remove", "merge", "split", "hours", "wish",
    "songs", "stocks", "source", "closing", "export", "papers", "step",
)  # fmt: skip


@pytest.mark.parametrize("verb", ON_PAPER_ALONE)
def test_an_example_works_as_it_is_written(run: Run, shelf: Path, verb: str) -> None:
    """Those that need no captures, on the made-up shelf of which their keys are."""
    told = run(*shlex.split(EXAMPLES[verb])[1:])
    assert told.status == 0, told.err


def test_help_of_a_verb_that_there_is_not(run: Run) -> None:
    told = run("help", "plann")
    assert told.status == 2 and "did you mean plan?" in told.err
    assert run("help").out == run("--help").out


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_can_complete_every_verb(run: Run, tmp_path: Path, shell: str) -> None:
    told = run("completion", shell)
    assert told.status == 0 and not told.err
    assert all(verb in told.out for verb in VERBS)
    script = tmp_path / f"reelturn.{shell}"
    script.write_text(told.out, encoding="utf-8")
    if shutil.which(shell):
        assert subprocess.run([shell, "-n", str(script)], capture_output=True, text=True).returncode == 0


def test_bash_completes_a_verb_and_an_option(run: Run, tmp_path: Path) -> None:
    """Asked of bash itself, as its completion asks: words so far in, proposals out."""
    bash = shutil.which("bash")
    if bash is None:
        pytest.skip("bash is not installed")
    script = tmp_path / "reelturn.bash"
    script.write_text(run("completion", "bash").out, encoding="utf-8")
    asked = (
        f"source {script}; name=$(complete -p reelturn | sed 's/.*-F \\([^ ]*\\).*/\\1/'); "
        "COMP_WORDS=(reelturn {}); COMP_CWORD={}; $name; printf '%s\\n' \"${{COMPREPLY[@]}}\""
    )

    def proposals(words: str, number: int) -> list[str]:
        call = [bash, "--norc", "-c", asked.format(words, number)]
        return subprocess.run(call, capture_output=True, text=True, check=True).stdout.split()

    assert "rename" in proposals("ren", 1)
    assert "--update" in proposals("import --up", 2)
    assert "import" in proposals("help im", 2)
    assert {"tonight", "inspection", "labels"} <= set(proposals("print ''", 2))
    assert "verified" in proposals("mark R-001 v", 3)
