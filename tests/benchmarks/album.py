"""What the album costs: a mix measured, sides split, the page on the screen, and handing over.

    nice python tests/benchmarks/album.py [mix] [sides] [page] [bag] [--minutes 10]

``mix`` measures a made-up stereo mix at 96 kHz and 24 bits. ``sides`` splits twenty songs in a free order,
and tells beside it the best of all 524,288 splits. ``page`` opens the page of forty songs, from the key to
the last picture that it leads to, headless at 120x40. ``bag`` hands over a captured song of eight tracks,
and with the same reel's `bag` and its `lay` beside it. CPU seconds are those of this process; what is loaded
once (libraries, fonts) is loaded before. Every figure is the best of three, since a busy machine only adds.
"""

from __future__ import annotations

import argparse
import asyncio
import itertools
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import numpy as np
import soundfile

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from core.store.studio.studio_toml import read_studio_file  # noqa: E402
from core.workbook.workbook import Workbook  # noqa: E402

EVENING = datetime(2026, 12, 1, 19, tzinfo=UTC)
RATE = 96_000
SONG_SECONDS = 100


def best(work: Callable[[], object], times: int = 3) -> float:
    """CPU seconds of the quickest of some runs."""
    spent = []
    for _ in range(times):
        began = time.process_time()
        work()
        spent.append(time.process_time() - began)
    return min(spent)


def shelf_in(folder: Path, songs: str, reels: str = "", sheets: str = "") -> Workbook:
    """A shelf of the made-up studio with these rows."""
    book = Workbook.create(
        folder / "shelf.json", read_studio_file(ROOT / "demo" / "studio.toml"), lambda: EVENING
    )
    files = {"reels": reels, "songs": songs, "sheets": sheets}
    for name, rows in files.items():
        (folder / f"{name}.csv").write_text(rows)
    book.import_files([folder / f"{name}.csv" for name, rows in files.items() if rows])
    return book


def mix(folder: Path, minutes: float) -> None:
    """Bytes of a mix measured in a CPU second."""
    from core.capture.mix import measure_mix

    path, luck = folder / "mix.wav", np.random.default_rng(1)
    with soundfile.SoundFile(path, "w", RATE, 2, "PCM_24") as file:
        for _ in range(round(minutes * 60)):
            file.write(0.1 * luck.standard_normal((RATE, 2)).clip(-3, 3))
    spent, size = best(lambda: measure_mix(path)), path.stat().st_size / 1e6
    print(f"mix    {size:.0f} MB in {spent:.2f} CPU-s: {size / spent:.0f} MB a CPU-second")
    path.unlink()


def sides(folder: Path, minutes: float) -> None:
    """Twenty songs on two sides, freely; and every split there is."""
    from core.release.carriers import side_length
    from core.release.sides import shortest_longer

    luck, gap = np.random.default_rng(2), Fraction(2)
    off, spent = [], []
    for _ in range(5):
        steps = luck.integers(6000, 48000, 20)
        lengths = [Fraction(int(one), 100) for one in steps]
        began = time.process_time()
        split = shortest_longer(lengths, gap)
        spent.append(time.process_time() - began)
        sums = np.zeros(1)
        for step in steps[1:]:
            sums = np.concatenate([sums, sums + step + 200])
        one = sums + steps[0]
        two = (steps.sum() + 200 * 20) - (one + 200) - 200
        least = np.maximum(one, two).min() / 100
        off.append(float(max(side_length([lengths[n] for n in side], gap) for side in split)) - least)
    print(
        f"sides  20 songs freely in {max(spent) * 1000:.0f} ms; {max(off):.3f} s off the best of all splits"
    )


def page(folder: Path, minutes: float) -> None:
    """From the key to the last picture of an album of forty songs."""
    from tests.benchmarks.keys import Answer, Watched, answer, told
    from tui.workers.ahead import LATER, at_ease

    rows = "".join(
        f"S-{n:02},Song number {n},Long One,{n},3:0{n % 10},R-001@{n}:00-{n}:50\n" for n in range(40)
    )
    reels = (ROOT / "demo" / "reels.csv").read_text()
    parts = ("kick", "bass", "guitar", "voice")
    sheet = "".join(
        f"T-{n:02},R-001,S-{n:02},{track},{part},Player {n % 9}{track},1,\n"
        for n, (track, part) in itertools.product(range(40), enumerate(parts, 1))
    )
    book = shelf_in(folder, f"song,title,album,order,target_length,needs\n{rows}", reels,
                    f"sheet,reel,song,track,part,player,take,copied_from\n{sheet}")  # fmt: skip

    async def press() -> list[Answer]:
        app, took = Watched(book, once_open=lambda: at_ease(app)), []
        async with app.run_test(size=(120, 40)) as pilot:
            while LATER[-1] not in sys.modules:  # a person has looked at the first picture for some seconds
                await pilot.pause(0.1)
            await pilot.pause(1.5)
            for _ in range(16):
                took.append(await answer(app, "f11"))
                await answer(app, "escape")
        return took

    first, *took = asyncio.run(press())
    print(f"page   40 songs, key to picture: {told(took)}; the first time {first.spent:.0f} ms of it")


def bag(folder: Path, minutes: float) -> None:
    """A song of eight tracks as it was captured, handed over; and what is in it apart."""
    luck = np.random.default_rng(3)
    sound = (0.1 * luck.standard_normal((RATE * SONG_SECONDS, 8))).clip(-1, 1)
    soundfile.write(folder / "one.wav", sound, RATE, "PCM_24")
    rows = "".join(f"T-1,R-1,S-1,{n},part {n},1\n" for n in range(1, 9))
    book = shelf_in(
        folder, f"song,title,needs\nS-1,Low,R-1@0:00-1:{SONG_SECONDS - 60}\n",
        "reel,role,width,tracks,speed,base,condition,length\n"
        "R-1,multitrack,1/2 in,8,15 ips,polyester,ok,125 ft\n",
        f"sheet,reel,song,track,part,take\n{rows}",
    )  # fmt: skip
    book.captures.check("R-1", [folder / "one.wav"])
    size, out = (folder / "one.wav").stat().st_size / 1e6, folder / "out"

    def anew(work: Callable[[], object]) -> Callable[[], object]:
        def made() -> None:
            shutil.rmtree(out, ignore_errors=True)
            work()

        return made

    song = anew(lambda: book.parcel.hand_over(out, song="S-1"))
    song()  # libraries and fonts
    for name, work in (
        ("the song", song),
        ("its copies alone (lay)", anew(lambda: book.laying.lay("S-1", out))),
        ("its reel (bag R-1)", anew(lambda: book.handing_out.hand_over(["R-1"], out))),
    ):
        spent = best(work)
        print(f"bag    {name}: {size:.0f} MB in {spent:.2f} CPU-s: {size / spent:.0f} MB a CPU-second")


def main() -> None:
    """The rows that are asked for."""
    rows = {"mix": mix, "sides": sides, "page": page, "bag": bag}
    parser = argparse.ArgumentParser()
    parser.add_argument("rows", nargs="*", metavar="ROW", help=", ".join(rows))
    parser.add_argument("--minutes", type=float, default=10)
    given = parser.parse_args()
    for name in given.rows or rows:
        with tempfile.TemporaryDirectory() as folder:
            rows[name](Path(folder), given.minutes)


if __name__ == "__main__":
    main()
