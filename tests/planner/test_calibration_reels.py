"""Which calibration reel a line-up names, and what is done for it."""

from dataclasses import replace

import pytest

from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Step, make_draft
from core.planning.facts.reading import read_problem


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
