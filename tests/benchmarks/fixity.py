"""How fast checked files are looked at again, and laid out as a bag, per CPU-second.

Run: python tests/benchmarks/fixity.py [MEGABYTES]
Prints megabytes per CPU-second of `look_again` and of `write_bag` (a copy, hashed, and read again), and of
`sha256sum` on the same file where there is one.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from core.capture.kept.bagit import write_bag
from core.capture.kept.fixity import look_again, sha256_of
from core.findings import AudioFile


def measured(word: str, megabytes: float, work) -> None:  # type: ignore[no-untyped-def]
    """Runs it twice and prints the better one."""
    best = float("inf")
    for number in range(2):
        begun = time.process_time()
        work(number)
        best = min(best, time.process_time() - begun)
    print(f"{word:<12} {megabytes / best:6.0f} MB per CPU-second")


def main() -> None:
    """Measures on a file of random bytes in a temporary folder."""
    megabytes = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "capture.wav"
        with open(path, "wb") as file:
            for _ in range(megabytes):
                file.write(os.urandom(1_000_000))
        digest = sha256_of(path)
        kept = AudioFile(str(path), digest, path.stat().st_size, "WAV", "PCM_24", 96000, 16, 0, 0.0, "whole")
        measured("look again", megabytes, lambda number: look_again([kept]))
        measured(
            "bag", megabytes, lambda number: write_bag(Path(folder) / f"{number}", [(path, "c.wav")], {})
        )
        if shutil.which("sha256sum"):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run(["sha256sum", path], capture_output=True, check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            print(f"{'sha256sum':<12} {megabytes / used:6.0f} MB per CPU-second")


if __name__ == "__main__":
    main()
