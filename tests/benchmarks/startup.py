"""How long the command line takes to start, against a bare ``python -c "import tinydb"`` on the same machine.

    python tests/benchmarks/startup.py

Prints the median of eleven interleaved runs in milliseconds, and each as a multiple of the bare import.
Aims: ``--help`` within 4 times, ``reels`` on 1,000 reels within 9 times.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from made_up_shelves import make_shelf

RUNS = 11
#: Compiled modules are kept, as they are after any installation.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def seconds(command: list[str]) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    subprocess.run(command, check=True, env=ENVIRONMENT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - start


def main() -> None:
    """Measures and prints."""
    with tempfile.TemporaryDirectory() as folder:
        shelf = str(make_shelf(Path(folder)).path)
        script = "import sys; from tui.cli import main; sys.exit(main())"
        commands = {
            "import tinydb": [sys.executable, "-c", "import tinydb"],
            "reelturn --help": [sys.executable, "-c", script, "--help"],
            "reelturn reels": [sys.executable, "-c", script, "--shelf", shelf, "reels"],
            "reelturn reels --json": [sys.executable, "-c", script, "--shelf", shelf, "reels", "--json"],
        }
        times: dict[str, list[float]] = {name: [] for name in commands}
        for command in commands.values():
            seconds(command)
        for _ in range(RUNS):
            for name, command in commands.items():
                times[name].append(seconds(command))
    bare = statistics.median(times["import tinydb"])
    for name, taken in times.items():
        median = statistics.median(taken)
        print(f"{name:<24} {median * 1000:7.1f} ms   {median / bare:5.2f} times")


if __name__ == "__main__":
    main()
