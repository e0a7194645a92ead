"""What verbs that read captures share: how far they have come, and what a look found as lines."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.capture.files.progress import Progress, Told
    from core.capture.kept.fixity import Looked


def told_on_terminal(word: str = "read", *, sized: bool = True) -> Told | None:
    """Tells how far reading has come where a person looks on; nobody is told elsewhere.

    ``sized`` is false where what is counted is not bytes.
    """
    if not sys.stderr.isatty():
        return None
    shown = -1

    def told(progress: Progress) -> None:
        nonlocal shown
        percent = int(100 * progress.share)
        if percent == shown:
            return
        shown = percent
        words = progress_words(progress, word, sized=sized)
        print(f"\r{words}  ", end="\n" if percent >= 100 else "", file=sys.stderr, flush=True)

    return told


def progress_words(progress: Progress, word: str = "read", *, sized: bool = True) -> str:
    """``43 % read, 212 MB/s, 0:08 left``."""
    left = progress.seconds_left
    minutes, seconds = divmod(round(left or 0), 60)
    ends = f", {minutes}:{seconds:02d} left" if left is not None and progress.share < 1 else ""
    speed = f", {progress.megabytes_per_second:.0f} MB/s" if sized else ""
    return f"{progress.share:4.0%} {word}{speed}{ends}"


def looked_lines(looks: Iterable[Looked]) -> Iterator[str]:
    """One line a pass, and one for every file that is not as it was."""
    for look in looks:
        word = {"unchanged": "equal", "changed": "not equal", "missing": "not whole"} if look.folder else {}
        count = f"{len(look.files)} file{'s' * (len(look.files) != 1)}"
        yield f"{look.reel} pass {look.pass_number}: {word.get(look.state, look.state)} ({count})"
        yield from (f"  {file.state}: {file.says}" for file in look.files if file.says)


def looked_json(looks: Iterable[Looked]) -> list[dict[str, object]]:
    """The same for other programs."""
    return [
        {
            "pass": look.pass_number,
            "state": look.state,
            **({"folder": look.folder, "same_disk": look.same_disk} if look.folder else {}),
            "files": [
                {"path": file.path, "state": file.state, "says": file.says, "sha256": file.sha256}
                for file in look.files
            ],
        }
        for look in looks
    ]
