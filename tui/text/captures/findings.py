"""What a check found as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from core.clock import clock_text
from core.findings import Check, Finding
from core.standing.back_to_tape import of_the_tape


def check_lines(check: Check) -> Iterator[str]:
    """The verdict, the files, and every finding with its place."""
    verdict = check.verdict if check.measured else "nothing could be measured"
    yield f"{check.reel} pass {check.pass_number}: {verdict}"
    for file in check.files:
        kind = f"{file.container or '?'} {file.encoding or '?'}"
        yield f"  {file.path}: {file.state}, {kind}, {clock_text(_ms(file.seconds))}"
    tape = of_the_tape(check)
    if tape:
        yield f"  of the tape itself: {tape}"
    for finding in check.findings:
        yield f"  {finding.weight:<7} {clock_text(_ms(finding.start)):>10}  {_of_its_track(finding)}"
    for code in check.timecode:
        for run in code.runs:
            yield f"  timecode on track {code.track}, {code.rate} {code.direction}: {run.first} to {run.last}"
    if check.strip is not None:
        yield from _along("speed in %", check.strip.speeds)
        yield from _along("treble as micrometres of spacing", check.strip.spacings)
    if check.speed.percent is not None:
        yield f"  speed {round(check.speed.percent, 3) + 0:+.3f} % by {check.speed.source}"


def _of_its_track(finding: Finding) -> str:
    """Its sentence, after the track's number where that does not begin it."""
    named = finding.track is None or finding.says.startswith(f"Track {finding.track}")
    return finding.says if named else f"track {finding.track}: {finding.says}"


def _along(what: str, told: Mapping[float, float]) -> Iterator[str]:
    if told:
        parts = ", ".join(f"{clock_text(round(at))} {value + 0:+.2f}" for at, value in told.items())
        yield f"  {what} along the pass: {parts}"


def _ms(seconds: float) -> Fraction:
    return Fraction(round(seconds * 1000), 1000)
