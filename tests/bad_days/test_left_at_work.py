"""The program ends while a solver is still at work: at once, with its status, and nothing said."""

from __future__ import annotations

import subprocess
import sys

AT_WORK = """
import atexit, time
from core.planning.bounds import whole_bound
whole_bound._solve = lambda *_: time.sleep(30)
whole_bound._solved(None, whole_bound.Allowed(None, stop=lambda: True), 0.0)
assert whole_bound.left_behind()
from tui import cli
atexit.register(print, "Python's own end")
cli.main = lambda: print("all is saved") or 3
cli.program()
"""


def test_a_program_with_a_solver_at_work_ends_at_once() -> None:
    ran = subprocess.run([sys.executable, "-c", AT_WORK], capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout, ran.stderr) == (3, "all is saved\n", "")


FAILS = """
from ortools.math_opt.python import mathopt
def solve(*_, **__):
    raise AttributeError("its own reader does not know its answer")
mathopt.solve = solve
from core.planning.bounds import whole_bound
print(whole_bound._solved(mathopt.Model(), whole_bound.Allowed(None, 20), 0.0))
"""


def test_a_solver_that_fails_brings_no_bound_and_says_nothing() -> None:
    ran = subprocess.run([sys.executable, "-c", FAILS], capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "None\n", "")
