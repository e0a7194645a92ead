"""Renders the pictures in this folder from the demo: ``python docs/pages/render.py``. Needs ``pdftoppm``.

The demo's shelf is laid out in a temporary folder and planned; one reel is then set aside and the evenings
are planned again, for the change slip. The captured file that the report speaks of is made here: two minutes
of tones with a dropout and a stretch at full scale.
"""

from __future__ import annotations

import subprocess
import tempfile
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

from core.chosen import FILL_IN
from core.conditioning.loads.kept_loads import running_load
from core.conditioning.on_shelf import log_reading, log_turn, log_weights
from core.evening.playing.again import set_aside
from core.evening.warming.load import load
from core.lineup.on_shelf import keep, sheet_for
from core.lineup.record import LineupRecord, ToneReading
from core.paper.prints import print_changes, print_reels, print_report
from core.quantities import Quantity
from core.reels.reel import Reel
from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo"
NOW = datetime(2026, 12, 1, 18, 50, 1, tzinfo=ZoneInfo("Europe/Lisbon"))
CARDS = ["R-001", "R-003", "R-009", "R-014", "R-015", "R-017", "R-018", "CAL-1"]
DAYS, EFFORT = 21, 6.0  # as the demo is planned
DOTS_PER_INCH = 75


def picture(pdf: Path, page: int, name: str) -> None:
    """One page of a PDF as a PNG in this folder, in shades of grey."""
    pages = ["-f", str(page), "-l", str(page), "-singlefile"]
    options = ["-r", str(DOTS_PER_INCH), "-gray", "-png", *pages]
    subprocess.run(["pdftoppm", *options, str(pdf), str(HERE / name)], check=True)


def a_capture(path: Path) -> None:
    """Two minutes of two tones at 96 kHz, 24 bit, with a dropout on one and clipping on the other."""
    import numpy as np
    import soundfile

    seconds = np.arange(96_000 * 120) / 96_000
    swell = 0.25 + 0.15 * np.sin(2 * np.pi * seconds / 17)
    left = swell * np.sin(2 * np.pi * 220 * seconds)
    right = swell[::-1] * np.sin(2 * np.pi * 331 * seconds)
    left[96_000 * 47 : 96_000 * 47 + 9_600] *= 0.03
    right[96_000 * 90 : 96_000 * 91] = np.clip(30 * right[96_000 * 90 : 96_000 * 91], -1, 1)
    soundfile.write(path, np.column_stack([left, right]), 96_000, subtype="PCM_24")


def page_of(pdf: Path, words: str) -> int:
    """The first page whose text has these words, counted from 1."""
    from pypdf import PdfReader

    pages = PdfReader(pdf).pages
    return next(number for number, page in enumerate(pages, start=1) if words in page.extract_text())


def main() -> None:
    """Everything, in the order of the set."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = Workbook.create(
            folder / "marram-wharf.json", read_studio_file(DEMO / "studio.toml"), lambda: NOW
        )
        book.import_files([DEMO / f"{name}.csv" for name in ("reels", "songs", "sheets", "history")])
        book.plans.plan(days=DAYS, effort=EFFORT)
        plan = book.plans.needed_plan()
        book.papers.choose_fill_in(FILL_IN)
        orders = book.papers.orders(folder)
        bench = orders[0]
        picture(bench, 1, "work-order")
        picture(bench, page_of(bench, "Line-up,"), "line-up-sheet")
        picture(bench, page_of(bench, "Transfer log,"), "transfer-log")
        loaded = next(path for path in orders if any("Conditioning log" in text for text in texts(path)))
        picture(loaded, page_of(loaded, "Places count from the bottom"), "work-order-chamber")
        picture(loaded, page_of(loaded, "Conditioning log,"), "conditioning-log")
        picture(orders[-1], 1, "week")
        for path in print_reels(book.shelf, CARDS, folder, plan=plan, made=NOW):
            picture(path, 1, path.stem.removesuffix(f"-{len(CARDS)}-reels"))
        slips(book, folder)
        report(book, folder)
        kept_sheets(book, folder)


def kept_sheets(book: Workbook, folder: Path) -> None:
    """A load with readings, turns and weights, and a line-up as found and as left, as they were kept."""
    began = NOW - timedelta(hours=5)
    book.change(
        lambda shelf: load(shelf, "C1", ["R-002", "R-014"], began, "someone is there"), what="load C1"
    )
    key = running_load(book.shelf, "C1") or ""
    for minutes, celsius, place in (
        (70, 53.5, "top"),
        (120, 54.5, "top"),
        (121, 56.8, "bottom"),
        (240, 54.0, "top"),
    ):
        at = began + timedelta(minutes=minutes)
        book.change(lambda s, at=at, c=celsius, p=place: log_reading(s, key, at, c, p), what="temperature")
    book.change(lambda s: log_turn(s, key, began + timedelta(minutes=124)), what="turn")
    book.change(lambda s: log_weights(s, key, "R-014", before_g=612, after_g=609.5), what="weight")
    book.mark("R-014", "conditioned", began + timedelta(hours=4))
    picture(book.papers.logs(folder, loads=[key])[0], 1, "chamber-log")
    sheet = sheet_for(book.shelf, "D1", "R-008", "CAL-1")
    off = {"level-1000": 0.7, "treble-10000": 1.8, "treble-16000": -2.9}
    read = [
        ToneReading(line.key, track, round((line.expected or 0.0) + off.get(line.key, 0.2) * share, 1), when)
        for line in sheet.tones
        for track in range(1, 17)
        for when, share in (("before", (track % 5) / 4), ("after", 0.1))
    ]
    words, ticked = book.shelf.reel("R-008").setup.words(), frozenset({"clean", "demagnetise", "safe"})
    made = LineupRecord(NOW, "D1", words, "calibration tape", "CAL-1", ticked, tuple(read), "R-008")
    book.change(lambda shelf: keep(shelf, made), what="line up D1")
    kept = book.papers.lineups(folder)[0]
    picture(kept, page_of(kept, "Response"), "line-up-kept")


def texts(pdf: Path) -> list[str]:
    """The text of every page."""
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(pdf).pages]


def slips(book: Workbook, folder: Path) -> None:
    """One reel is set aside, the evenings are planned again, and the slips say what changed."""
    old = book.plans.needed_plan()
    book.change(lambda shelf: set_aside(shelf, "R-008", "a splice let go"), what="set aside R-008")
    book.plans.plan(start=old.start, days=DAYS, effort=EFFORT)
    pdf = print_changes(book.shelf, old, book.plans.needed_plan(), folder, made=NOW)
    picture(pdf, 1, "change-slip")


def report(book: Workbook, folder: Path) -> None:
    """The report of a capture that was made here."""
    inch, ips = Quantity("1/4 in", Fraction(1, 4)), Quantity("15 ips", Fraction(15))
    reel = Reel(
        "T-001",
        "Test tones",
        "Two tones, two minutes",
        role="mix",
        width=inch,
        tracks=2,
        speed=ips,
        eq="IEC1",
        length=Quantity("150 ft", Fraction(1800)),
        base="polyester",
        condition=("ok",),
        stage="transferred",
    )
    book.change(lambda shelf: shelf.with_reel(reel), what="a reel of tones")
    a_capture(folder / "T-001.wav")
    picture(
        print_report(book.shelf, book.captures.check("T-001", [folder / "T-001.wav"]), folder, made=NOW),
        1,
        "capture-report",
    )


if __name__ == "__main__":
    main()
