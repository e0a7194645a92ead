"""The capture report of one check: verdict, strip with findings, levels, files, timecode and speed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import PurePath

from reportlab.platypus.flowables import Flowable

from core.findings import ChannelMeasure, Check, Finding, Strip
from core.paper.kept.fixity import fixity
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.pictures.courses import Courses
from core.paper.look.pictures.strips import Strips
from core.paper.look.tell import facts
from core.paper.look.text import SMALL, STRONG, TINY, Text, Type
from core.paper.look.words import day_and_clock, size_of, whole_seconds
from core.reels.pass_tracks import ranges
from core.shelf import Shelf
from core.standing.kept_checks import MARKS, check_key, listened, place_key
from core.words import counted

_WEIGHTS = {"fail": "FAIL", "remark": "look", "note": "note"}
_VERDICTS = {"pass": "Pass", "remarks": "Remarks: look or listen", "fail": "Fail: capture again"}
_MOST, _MARKED = 200, 60


def capture_report(shelf: Shelf, check: Check, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of one check's report; the strip is printed where the check carries one."""
    return bind([report_sheet(shelf, check, size)], origin(shelf, None, made), size)


def capture_reports(shelf: Shelf, checks: Sequence[Check], *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of several checks, as of all passes of one reel."""
    return bind([report_sheet(shelf, check, size) for check in checks], origin(shelf, None, made), size)


def report_sheet(shelf: Shelf, check: Check, size: str = "A4") -> Sheet:
    """The report as a sheet of the set."""
    wide = column(size)
    reel = shelf.reels.get(check.reel)
    story: list[Flowable] = [Text(_verdict(check), Type(12, bold=True, before=3, after=2))]
    if reel is not None:
        story.append(Text(facts(shelf, reel), SMALL, 3))
    order = {"fail": 0, "remark": 1, "note": 2}
    found = sorted(check.findings, key=lambda one: (order[one.weight], one.start, one.track or 0))
    marks = [(number, one) for number, one in enumerate(found, start=1)]
    if check.strip is not None and check.strip.tracks:
        worth = check.listening_list(_MARKED)
        placed = [pair for pair in marks if pair[1].weight == "fail" or pair[1] in worth][:_MARKED]
        note = Text("Black: RMS; outline: peak; lanes from -60 to 0 dBFS. Numbers are findings.", TINY)
        story += section("Along the tape", Strips(check.strip, placed, wide, 430), note)
        story.append(Courses(check.strip, wide))
        story += _along(check.strip, wide)
    heard = _listened(shelf, check)
    story += section("Findings", _findings(marks, wide, heard) if marks else Text("None."))
    if len(marks) > _MOST:
        story.append(Text(f"and {len(marks) - _MOST} more, on the shelf", STRONG))
    story += _levels(check, wide)
    story += (
        section(
            "Files",
            table(
                ["file", "what", "length", "size", "state", "SHA-256"],
                list(_files(check)),
                [24, 17, 9, 10, 12, 28],
                column=wide,
                type_=SMALL,
            ),
        )
        if check.files
        else []
    )
    story += fixity(shelf, check)
    story += _timecode(check)
    story += [Blank("Listened to, by", height=24), Blank("Remarks", height=20)]
    story.append(figures_foot("capture report"))
    tracks = f", tracks {ranges(check.tracks)}" if check.tracks else ""
    when = f"checked {day_and_clock(check.at)}" if check.at else "not kept yet"
    return Sheet(
        f"Capture report, {said(check.reel)}",
        tuple(story),
        f"pass {check.pass_number}{tracks}, {whole_seconds(check.seconds)}; {when}",
    )


def _along(strip: Strip, wide: float) -> list[Flowable]:
    """Speed and spacing in equal parts of the pass; nothing where neither was told."""
    told = [("speed, %", strip.speeds, 2), ("spacing, \u00b5m", strip.spacings, 1)]
    rows: list[list[Cell]] = [
        [word, *(f"{values[at] + 0:+.{places}f}" if at in values else "-" for at, *_ in strip.along)]
        for word, values, places in told
        if values
    ]
    if not rows:
        return []
    head = ["", *(whole_seconds(at) for at, *_ in strip.along)]
    says = "Spacing: what treble stands for, against the first part. Music that changes shows too."
    shares = [14, *([8] * len(strip.along))]
    return [table(head, rows, shares, column=wide, type_=SMALL), Text(says, TINY)]


def _verdict(check: Check) -> str:
    words = _VERDICTS[check.verdict]
    if not check.measured:
        return "Fail: nothing could be measured"
    counts = [
        counted(number, word)
        for weight, word in (("fail", "fail"), ("remark", "remark"), ("note", "note"))
        if (number := sum(one.weight == weight for one in check.findings))
    ]
    return f"{words} ({', '.join(counts)})" if counts else words


def _listened(shelf: Shelf, check: Check) -> Mapping[str, str]:
    record = shelf.of_kind("check").get(check_key(check.reel, check.pass_number))
    return listened(shelf, record) if record is not None else {}


def _findings(marks: list[tuple[int, Finding]], wide: float, heard: Mapping[str, str]) -> Flowable:
    rows: list[list[Cell]] = []
    for number, one in marks[:_MOST]:
        track = f"{one.track} and {one.other}" if one.other else str(one.track or "all")
        feet = f" ({one.feet:.0f} ft)" if one.feet else ""
        place = f"{_seconds(one.start)} to {_seconds(one.end)}{feet}"
        says = one.says + (f" Noted: {'; '.join(one.notes)}." if one.notes else "")
        says += f" ({MARKS[mark]})" if (mark := heard.get(place_key(one))) in MARKS else ""
        rows.append(
            [
                str(number),
                Text(_WEIGHTS[one.weight], STRONG if one.weight == "fail" else SMALL),
                one.kind,
                track,
                place,
                Text(said(says), SMALL, 4),
            ]
        )
    head = ["", "weight", "kind", "track", "from the start", "says"]
    return table(head, rows, [5, 8, 13, 8, 22, 44], column=wide, type_=SMALL)


def _seconds(seconds: float) -> str:
    minutes, rest = divmod(max(0.0, seconds), 60)
    return f"{int(minutes)}:{rest:06.3f}"


def _level_row(one: ChannelMeasure) -> list[Cell]:
    levels = (one.peak_dbfs, one.true_peak_dbtp, one.rms_dbfs, one.noise_floor_dbfs)
    hiss = (one.hiss_dbfs, one.hiss_tilt_db)
    told = [_db(level) for level in (*levels, *hiss)]
    return [Text(str(one.track), STRONG), *told, f"{one.dc:+z.4%}", str(one.clipped_samples)]


def _levels(check: Check, wide: float) -> list[Flowable]:
    rows = [_level_row(one) for one in check.channels]
    head = ["track", "peak dBFS", "true peak dBTP", "RMS dBFS", "floor dBFS", "hiss dBFS", "its treble dB",
            "DC", "clipped samples"]  # fmt: skip
    shares = [7, 11, 12, 11, 11, 11, 11, 13, 13]
    return section("Levels", table(head, rows, shares, column=wide, type_=SMALL)) if rows else []


def _db(level: float | None) -> str:
    return "none" if level is None else f"{level:+.1f}"


def _files(check: Check) -> Iterator[list[Cell]]:
    for one in check.files:
        sound = f"{one.sample_rate / 1000:g} kHz, {counted(one.channels, 'channel')}"
        what = f"{one.container or 'not readable'} {one.encoding or ''} {sound}"
        sums = one.sha256 or "none"
        grouped = "\n".join(sums[at : at + 16] for at in range(0, len(sums), 16))
        name = Text(PurePath(one.path).name, SMALL, 3)
        yield [name, what, whole_seconds(one.seconds), size_of(one.bytes), one.state, Text(grouped, TINY)]


def _timecode(check: Check) -> list[Flowable]:
    lines = [
        f"Track {one.track}: {one.rate}, {one.direction}, {one.frames_read} frames read, "
        f"{one.frames_inferred} inferred; "
        + "; ".join(f"{run.first} to {run.last}" for run in one.runs[:6])
        + (f" and {len(one.runs) - 6} more runs" if len(one.runs) > 6 else "")
        for one in check.timecode
    ]
    speed = check.speed
    if speed.percent is not None:
        cents = f", {round(speed.cents, 1) + 0:+.1f} cents" if speed.cents is not None else ""
        lines.append(f"Speed {round(speed.percent, 3) + 0:+.3f} %{cents}, from {speed.source}.")
    else:
        lines.append("Speed: nothing to tell it by.")
    if speed.flutter_percent is not None:
        lines.append(f"Wow and flutter {speed.flutter_percent:.3f} %, {speed.flutter_weighting}.")
    return section("Timecode and speed", *(Text(line, SMALL) for line in lines))
