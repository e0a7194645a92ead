"""Measures the files of kept checks anew, by the thresholds of then, and tells what comes out otherwise."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import print_json, print_lines
from tui.commands.reading_files import told_on_terminal

if TYPE_CHECKING:
    from core.findings import Check
    from core.workbook.workbook import Workbook


def check_again(workbook: Workbook, given: argparse.Namespace) -> int:
    """0 where all comes out as it did, 1 where something differs, 2 where nothing could be measured."""
    if given.reel is None or given.files or given.pass_number is not None or given.tracks:
        raise Unusable("--again goes with one reel and nothing else: reelturn check REEL --again")
    pairs = list(workbook.captures.measured_again(given.reel, progress=told_on_terminal("measured")))
    lines = {new.pass_number: difference_lines(old, new) for old, new in pairs}
    if given.json:
        print_json(
            {
                "reel": given.reel,
                "passes": [{"then": old.to_json(), "now": new.to_json()} for old, new in pairs],
            }
        )
    else:
        for old, new in pairs:
            when = f", checked {old.at:%Y-%m-%d %H:%M}" if old.at else ""
            same = "comes out the same" if not lines[new.pass_number] else "comes out otherwise"
            print_lines([f"{new.reel} pass {new.pass_number}{when} with {old.program or '?'}: {same}"])
            print_lines(lines[new.pass_number])
    if not all(new.measured for _, new in pairs):
        return 2
    return int(any(lines.values()))


def difference_lines(old: Check, new: Check) -> list[str]:
    """What differs between a check as it was kept and the same files measured now."""
    lines = []
    if old.verdict != new.verdict:
        lines.append(f"  verdict: {old.verdict} then, {new.verdict} now")
    for then, now in zip(old.files, new.files, strict=False):
        if then.sha256 != now.sha256:
            lines.append(f"  {then.path}: other content than then")
    told = [
        {(f.kind, f.track, round(f.start, 2), f.weight): f.says for f in one.findings} for one in (old, new)
    ]
    lines += [f"  then only: {says}" for key, says in told[0].items() if key not in told[1]]
    lines += [f"  now only: {says}" for key, says in told[1].items() if key not in told[0]]
    return lines
