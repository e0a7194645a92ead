"""An evening in which the clocks go back: an item may end at an earlier hour on the wall than it began."""

from dataclasses import replace
from datetime import datetime

from core.planning.plan_evenings import plan_evenings
from core.planning.rules.checker import violations
from core.quantities import read_quantity
from core.songs.song import Need, Song
from core.studio.studio import HoursRow


def test_a_transfer_over_the_hour_that_comes_twice(shelf, reel):
    night = HoursRow(("sat",), (), 23 * 60, 28 * 60, bench=True, home=True)
    shelf = replace(shelf, studio=replace(shelf.studio, timezone="Europe/Lisbon", hours=(night,)))
    reels = {
        "R-1": reel("R-1", length=read_quantity("7500 ft", "length")),
        "R-2": reel("R-2", length=read_quantity("3375 ft", "length")),
        "CAL": shelf.reels["CAL"],
    }
    songs = {
        key: Song(key, key, album="Low Water", priority=priority, needs=(Need(needed),))
        for key, priority, needed in (("S-1", 9, "R-1"), ("S-2", 1, "R-2"))
    }
    shelf = replace(shelf, reels=reels, songs=songs)
    start = datetime(2026, 10, 24, 22, 0, tzinfo=shelf.studio.zone)
    plan = plan_evenings(shelf, start, 1, seconds=0)
    on_the_wall = [(i.start.replace(tzinfo=None), i.end.replace(tzinfo=None)) for i in plan.items]
    assert any(end < begun for begun, end in on_the_wall)
    assert plan.left_over == ()
    assert violations(shelf, plan) == ()
