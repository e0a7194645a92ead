"""Which calibration reel a line-up names, and what is done for it."""

from dataclasses import replace

import pytest

from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Step, ends_of, make_draft
from core.planning.by_lists import try_lists
from core.planning.facts.reading import read_problem
from core.planning.incumbent import Incumbent
from core.planning.time_left import Clock
from core.planning.wishes.wishes import Wishes
from core.quantities import read_quantity
from core.songs.song import Need, Song


@pytest.fixture
def problem(shelf, start):
    """Beside the calibration reel at hand one that suits R-3 better, and that nobody has identified."""
    alike = replace(shelf.reels["CAL"], key="CAL-2", stage="found", eq="NAB")
    return read_problem(shelf.with_reel(alike), start, 14)


def _evening(problem, look):
    """A line-up for R-3 and its transfer, behind an identify of the reel ``look`` names."""
    job = {one.key: one for one in problem.jobs}
    first, part = problem.windows[0].start, job["R-3"].parts[0]
    t = first + 10
    transfer = Step("transfer", t + 30, t + 30 + part.minutes[0], job["R-3"].index, 0)
    return make_draft(
        [
            Step("identify", first, t, job[look].index),
            Step("align", t, t + 30, -1, 0, 0, part.setup, True),
            transfer,
        ],
        [],
    )


def test_none_is_looked_at_for_likeness_alone(problem):
    draft = tidy(problem, _evening(problem, "CAL-2"))
    keys = [problem.jobs[step.job].key for step in draft.steps if step.kind == "identify"]
    (align,) = [step for step in draft.steps if step.kind == "align"]
    assert problem.jobs[align.calibration].key == "CAL"
    assert keys == []


def test_one_is_looked_at_where_none_else_is_fit(problem):
    calibration = next(job for job in problem.jobs if job.key == "CAL")
    away = replace(calibration, ready=problem.end)
    jobs = tuple(away if job is calibration else job for job in problem.jobs)
    draft = tidy(replace(problem, jobs=jobs), _evening(problem, "CAL-2"))
    (align,) = [step for step in draft.steps if step.kind == "align"]
    assert problem.jobs[align.calibration].key == "CAL-2"
    assert [step.kind for step in draft.steps] == ["identify", "align", "transfer"]


def test_no_calibration_reel_takes_the_only_load_from_what_matters_more(shelf, start, reel):
    """Two trays and one load: the song's two reels go in, not the calibration reel of a reel alone."""
    eight = read_quantity("8 h", "time")
    hot = {"hours": eight, "cool": eight}
    studio = shelf.studio
    hours = (studio.hours[0], replace(studio.hours[1], days=("sat",)))
    treatments = tuple(replace(one, **hot) for one in studio.treatments)
    slow = studio.decks[0].speeds[1]
    ours = {
        "A": reel("A", eq="NAB", speed=slow),
        "B": reel("B", condition=("sticky",)),
        "C": reel("C", condition=("sticky",)),
        "CAL": shelf.reels["CAL"],
        "SLOW": replace(shelf.reels["CAL"], key="SLOW", speed=slow, condition=("sticky",)),
    }
    songs = {"S": Song("S", "Tern", album="Low Water", priority=9, needs=(Need("B"), Need("C")))}
    small = replace(
        shelf, studio=replace(studio, hours=hours, treatments=treatments), reels=ours, songs=songs
    )
    so_far = Incumbent(small, start, 8, Wishes())
    so_far.clock = Clock(1.0, True, None)
    try_lists(so_far)
    assert {so_far.problem.jobs[job].key for job in ends_of(so_far.best)} == {"B", "C"}
