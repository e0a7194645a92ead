"""A reel that has no place, or lost it, takes that of another; all else of the kept plan stays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from core.plan import Plan
from core.planning.at_no_cost.draw_back import moved_jobs
from core.planning.bench.draft import Draft, ends_of
from core.planning.exchanges import exchange
from core.planning.incumbent import Incumbent
from core.planning.plan_evenings import plan_evenings
from core.planning.replan import replan
from core.planning.time_left import Clock
from core.planning.wishes.wishes import Wishes
from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Need, Song
from core.studio.studio import HoursRow


@pytest.fixture
def full(shelf: Shelf, start: datetime, reel: Callable[..., Reel]) -> tuple[Shelf, Plan]:
    """A week of reels that no song needs, with its first evening full, and then one that a song needs."""
    reels = {f"R-{n:02}": reel(f"R-{n:02}") for n in range(12)} | {"CAL": shelf.reels["CAL"]}
    plain = replace(shelf, reels=reels, songs={})
    plan = plan_evenings(plain, start, 7, effort=0.5)
    song = Song("S-1", "Tern", album="Low Water", priority=9, needs=(Need("NEW"),))
    return replace(plain, reels=reels | {"NEW": reel("NEW")}, songs={"S-1": song}), plan


def test_an_important_reel_takes_the_place_of_one_other(full: tuple[Shelf, Plan], start: datetime) -> None:
    shelf, plan = full
    own = Incumbent(shelf, start, 7, Wishes(kept=plan))
    own.clock = Clock(2.0, True, None)
    assert own.kept is not None
    new = next(job.index for job in own.problem.work if job.key == "NEW")
    exchange(own, 2.0)
    assert ends_of(own.best)[new] <= own.problem.windows[0].end
    assert len(moved_jobs(own.kept, own.best)) == 1
    assert own.refused == []


def test_planned_again_in_little_time_one_reel_gives_way(full: tuple[Shelf, Plan], start: datetime) -> None:
    shelf, plan = full
    again = replan(shelf, plan, start, effort=0.3)
    played = {item.reel: item.start.date() for item in again.items if item.kind == "transfer"}
    assert played["NEW"] == start.date()
    gone = {move.reel for move in again.moves if move.was is not None}
    assert len(gone) == 1


def test_a_reel_whose_transfer_failed_takes_a_place_too(full: tuple[Shelf, Plan], start: datetime) -> None:
    """The kept plan has its transfer behind it: it was to end before, so now it ends late."""
    shelf, plan = full
    first = next(item for item in plan.items if item.kind == "transfer")
    song = Song("S-1", "Tern", album="Low Water", priority=9, needs=(Need(first.reel),))
    shelf = replace(shelf, songs={"S-1": song})
    noon = start + timedelta(hours=20)
    own = Incumbent(shelf, noon, 6, Wishes(kept=plan))
    own.clock = Clock(2.0, True, None)
    failed = next(job.index for job in own.problem.work if job.key == first.reel)
    exchange(own, 2.0)
    assert ends_of(own.best)[failed] <= own.problem.windows[0].end


def test_an_important_reel_takes_the_trays_of_a_whole_load(
    shelf: Shelf, start: datetime, reel: Callable[..., Reel]
) -> None:
    """Three trays a Saturday, a tape an evening; half-inch tape takes all three, and a song waits for it."""
    half = read_quantity("1/2 in", "length")
    studio, (deck,), (chamber,) = shelf.studio, shelf.studio.decks, shelf.studio.chambers
    days = ("mon", "tue", "wed", "thu")
    hours = (
        HoursRow(days, (), 19 * 60, 20 * 60 + 20, bench=True, home=True),
        HoursRow(("sat",), (), 9 * 60, 14 * 60, home=True),
    )
    treatments = (*studio.treatments, replace(studio.treatments[0], width=half))
    chamber = replace(chamber, trays=3, trays_taken=(*chamber.trays_taken, (half, 3)))
    deck = replace(deck, widths=(*deck.widths, half))
    wide = replace(studio, decks=(deck,), chambers=(chamber,), treatments=treatments, hours=hours)
    sticky = {f"R-{n}": reel(f"R-{n}", condition=("sticky",)) for n in range(6)}
    plain = replace(shelf, studio=wide, reels=sticky | {"CAL": shelf.reels["CAL"]}, songs={})
    plan = plan_evenings(plain, start, 21, effort=0.5)
    song = Song("S-1", "Tern", album="Low Water", priority=9, needs=(Need("NEW"),))
    new = reel("NEW", condition=("sticky",), width=half)
    own = Incumbent(replace(plain.with_reel(new), songs={"S-1": song}), start, 21, Wishes(kept=plan))
    own.clock = Clock(2.0, True, None)
    assert own.kept is not None and len(own.kept.loads[0].members) == 3
    job = next(job.index for job in own.problem.work if job.key == "NEW")
    exchange(own, 2.0)
    assert own.best.loads[0].members == (job,)
    assert own.refused == []


def test_what_was_taken_on_trust_and_breaks_a_rule_is_given_back(
    full: tuple[Shelf, Plan], start: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf, plan = full
    own = Incumbent(shelf, start, 7, Wishes(kept=plan))
    own.clock = Clock(2.0, True, None)
    before = own.best
    monkeypatch.setattr(Incumbent, "keeps_rules", lambda self, draft: False)
    exchange(own, 2.0)
    assert own.best is before


def test_the_first_move_costs_most_and_all_together_little(full: tuple[Shelf, Plan], start: datetime) -> None:
    shelf, plan = full
    own = Incumbent(shelf, start, 7, Wishes(kept=plan))
    assert own.kept is not None
    steps = [step for step in own.kept.steps if step.kind == "transfer"]
    prices = []
    for count in range(3):
        left = tuple(step for step in own.kept.steps if step not in steps[:count])
        bare = Draft(left, own.kept.loads)
        unpriced = Incumbent(shelf, start, 7, Wishes(kept=plan, price=0.0)).cost(bare)
        prices.append(own.cost(bare) - unpriced)
    assert prices[0] == 0 < prices[2] - prices[1] < prices[1]
    share = 6000 * own.price * own.items
    assert prices[1] > 2 * share / own.items  # of what an item costs on average
    every = Incumbent(shelf, start, 7, Wishes(kept=plan, price=0.0)).cost(Draft())
    assert own.cost(Draft()) - every == share
