"""How long printing takes: ``python tests/benchmarks/paper.py`` prints seconds for sets of 100 reels.

Every sheet of 100 reels of 24 tracks: cards, box labels, filled track sheets, one transfer log a reel, and
the work orders of 20 evenings. Not collected by pytest.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

from core.chosen import FILL_IN
from core.clock import later
from core.paper.evening.orders import print_orders
from core.paper.evening.transfer_log import transfer_page
from core.paper.look.page import bind, origin
from core.paper.shelf.cards import box_labels, reel_cards
from core.paper.shelf.track_sheet import track_sheets
from core.plan import Item, Plan
from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.studio.studio import Capture, Chamber, Deck, HoursRow, Studio, Treatment

WHERE = ZoneInfo("Europe/Lisbon")
START = datetime(2026, 11, 30, 19, tzinfo=WHERE)


def a_shelf(count: int) -> Shelf:
    """So many reels of 24 tracks, each with a full track sheet."""
    one, ips = read_quantity("1 in", "length"), read_quantity("15 ips", "speed")
    reel = Reel(
        "", "box", "Contents of one reel", width=one, tracks=24, speed=ips, eq="NAB", stock="Ampex 456",
        level=read_quantity("250 nWb/m", "flux"), length=read_quantity("2500 ft", "length"),
        stage="identified",
    )  # fmt: skip
    reels = {f"R-{n:03}": replace(reel, key=f"R-{n:03}", location=f"A{n % 9}") for n in range(count)}
    sheets = tuple(
        SheetRow(f"T-{key}", track, key, part=f"part {track}", player="someone", take="2", notes="short")
        for key in reels
        for track in range(1, 25)
    )
    hour = read_quantity("8 h", "time")
    studio = Studio(
        "Bench", "Europe/Lisbon", (Deck("D1", (one,), 24, (ips,), read_quantity("180 ips", "speed")),),
        Capture(24, read_quantity("96 kHz", "frequency"), 24), (Chamber("C1", 6, ((one, 2),), hour, 10),),
        (Treatment(one, read_quantity("54 degC", "temperature"), hour, hour, Fraction(14)),),
        (HoursRow(("mon", "tue", "wed", "thu", "fri"), (), 19 * 60, 23 * 60, bench=True, home=True),),
    )  # fmt: skip
    return Shelf(studio, "bench", reels, sheets=sheets)


def a_plan(shelf: Shelf) -> Plan:
    """Five transfers an evening."""
    items = []
    for number, key in enumerate(shelf.reels):
        evening = START + timedelta(days=number // 5)
        start = later(evening, minutes=number % 5 * 45)
        items.append(Item("transfer", start, later(start, minutes=45), key, "D1", 1))
    return Plan("bench", START, START + timedelta(days=30), 0, "feasible", 1, 1, 0, tuple(items))


def timed(name: str, work: Callable[[], object]) -> None:
    """Prints how long one piece of work took."""
    began = time.perf_counter()
    work()
    print(f"{name:44} {time.perf_counter() - began:6.2f} s")


def main() -> None:
    """All sets, once each, fonts read before."""
    shelf = a_shelf(100)
    plan, reels, made = a_plan(shelf), list(shelf.reels.values()), START
    source = origin(shelf, plan, made)
    box_labels(shelf, reels[:1], made=made)
    timed("100 reel cards", lambda: reel_cards(shelf, plan, reels, made=made))
    timed("100 box labels", lambda: box_labels(shelf, reels, made=made))
    timed("100 track sheets of 24 tracks", lambda: track_sheets(shelf, reels, made=made))
    timed("100 transfer logs", lambda: bind([transfer_page(shelf, plan, one) for one in plan.items], source))
    with_all = shelf.choosing("fill in", list(FILL_IN))
    with tempfile.TemporaryDirectory() as folder:
        timed(
            "20 evenings with all their logs", lambda: print_orders(with_all, plan, Path(folder), made=made)
        )


if __name__ == "__main__":
    main()
