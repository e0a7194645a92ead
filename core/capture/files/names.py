"""Names of captured files held against the shelf's own rule, where it has one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

WORDS = {
    "reel": "the reel's key",
    "pass": "the pass's number",
    "track": "the track's number, where a file holds one",
    "piece": "the piece's number, from 1",
    "date": "a date such as 2026-12-01",
    "any": "anything",
}
"""What may stand in braces in a rule."""


class NotARule(ValueError):
    """A rule that cannot be read; the text says why in one line."""


@lru_cache(maxsize=8)
def parts_of(rule: str) -> tuple[tuple[bool, str], ...]:
    """The pieces of a rule in order, each with whether it is one of the words; raises NotARule."""
    parts = [(at % 2 == 1, part) for at, part in enumerate(re.split(r"\{([^{}]*)\}", rule)) if part or at % 2]
    wrong = next((part for word, part in parts if word and part not in WORDS), None)
    if wrong is not None:
        raise NotARule(f"{{{wrong}}} is no part of a file name's rule; there are {', '.join(WORDS)}")
    if any("{" in part or "}" in part for _, part in parts):
        raise NotARule(f"the rule {rule!r} opens or closes a brace too many")
    if not parts:
        raise NotARule("a rule for file names cannot be empty")
    return tuple(parts)


def named_by(rule: str, reel: str, pass_number: int, tracks: Sequence[int], day: str) -> str:
    """What a pass's file is called by the rule: ``R-001 2``; of files a track, the first and the last.

    Without a rule the reel's key and the pass's number; what no file name may hold becomes a hyphen. A word
    that only the person knows stays as it is. Raises NotARule.
    """
    parts = parts_of(rule or "{reel} {pass}")

    def name(track: int) -> str:
        words = {"reel": reel, "pass": str(pass_number), "track": f"{track:02}", "piece": "1", "date": day}
        text = "".join(words.get(part, "...") if word else part for word, part in parts)
        return re.sub(r'[\\/:*?"<>|\x00-\x1f]', "-", text)

    if (True, "track") not in parts or len(tracks) < 2:
        return name(tracks[0] if tracks else 1)
    return f"{name(tracks[0])} to {name(tracks[-1])}"


def fits_rule(name: str, rule: str, reel: str, pass_number: int, tracks: Sequence[int]) -> bool:
    """Whether a file's name, without its ending, is as the rule has it; letters' case does not count.

    Numbers may have zeros before them. `{reel}` must be this reel, `{pass}` this pass, `{track}` one of
    its tracks. Raises NotARule.
    """
    numbers = "|".join(f"0*{track}" for track in tracks) or r"\d+"
    patterns = {
        "reel": re.escape(reel), "pass": f"0*{pass_number}", "track": f"(?:{numbers})", "piece": r"\d+",
        "date": r"\d{4}-\d{2}-\d{2}", "any": r".+",
    }  # fmt: skip
    pattern = "".join(patterns[part] if word else re.escape(part) for word, part in parts_of(rule))
    return re.fullmatch(pattern, name, re.IGNORECASE) is not None


def misnamed(names: Sequence[str], rule: str, reel: str, pass_number: int,
             tracks: Sequence[int]) -> tuple[int, ...]:  # fmt: skip
    """Which of some names, without their endings, are not as the rule has them; none without a rule."""
    if not rule:
        return ()
    return tuple(at for at, name in enumerate(names) if not fits_rule(name, rule, reel, pass_number, tracks))
