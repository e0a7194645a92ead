"""Warmed again, spliced, set aside: short acts that say what they do; and what evenings teach."""

import pytest

from core.clock import later, write_time
from core.conditioning.advisor import barred
from core.errors import Refused
from core.evening.learnt import learnt, take_in
from core.evening.playing.again import (
    alarm,
    assumed,
    condition_again,
    repaired,
    set_aside,
    splice_let_go,
    taken_up,
    treatments_had,
)
from core.evening.warming.load import load
from core.evening.warming.take_out import take_out
from core.quantities import read_quantity
from core.reels.needs import needs_conditioning


@pytest.fixture
def now(moment):
    return moment("2026-12-01T20:00")


def test_a_squealing_reel_waits_for_another_eight_hours(shelf_of, make_reel, studio, now):
    reel = make_reel(stage="aligned", condition=("ok",), conditioned_at=later(now, hours=-30))
    shelf = condition_again(shelf_of(reel), "R-001", read_quantity("8 h", "time"), now)
    again = shelf.reel("R-001")
    assert again.stage == "identified" and again.treatment_hours.number == 8
    assert needs_conditioning(again, studio, now)


def test_another_treatment_is_refused_for_acetate(shelf_of, make_reel, now):
    with pytest.raises(Refused, match="must never be warmed"):
        condition_again(shelf_of(make_reel(base="acetate")), "R-001", None, now)


def test_treatments_are_counted(shelf_of, make_reel, now):
    shelf = load(shelf_of(make_reel(condition=("sticky",))), "C1", ["R-001"], now, "we stay up")
    assert treatments_had(shelf, "R-001") == 0  # it is still inside
    out = take_out(shelf, "R-001", later(now, hours=8))
    assert treatments_had(out, "R-001") == 1


def test_a_joint_lets_go_and_is_remade(shelf_of, make_reel):
    gone = splice_let_go(shelf_of(make_reel(splices=1)), "R-001")
    assert gone.reel("R-001").splices == 2 and "splices" in gone.reel("R-001").condition
    assert repaired(gone, "R-001").reel("R-001").condition == ("ok",)


def test_a_reel_set_aside_is_barred_until_it_is_taken_up(shelf_of, make_reel, studio, now):
    shelf = set_aside(shelf_of(make_reel()), "R-001", "gone to a conservator")
    assert barred(shelf, shelf.reel("R-001"), now) == "set aside: gone to a conservator"
    assert barred(shelf, taken_up(shelf, "R-001").reel("R-001"), now) is None
    with pytest.raises(Refused, match="reason"):
        set_aside(shelf, "R-001", " ")


def test_a_tape_warmed_before_its_base_was_known_says_so(shelf_of, make_reel, now):
    assert "before its base was known" in alarm(
        *_with(shelf_of, make_reel(base="unknown", conditioned_at=now))
    )
    assert "acetate" in alarm(*_with(shelf_of, make_reel(base="acetate", conditioned_at=now)))
    assert alarm(*_with(shelf_of, make_reel(conditioned_at=now))) is None


def _with(shelf_of, reel):
    return shelf_of(reel), reel


def test_what_the_box_says_is_assumed_until_heard(make_reel, now):
    assert assumed(make_reel()) == ("speed", "eq", "level")
    assert assumed(make_reel(heard=now)) == ()


def test_one_bad_night_teaches_nothing(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel())
    for n, minutes in enumerate((12, 14, 13, 15, 13, 240)):
        start = later(now, hours=24 * n)
        shelf = shelf.with_record(
            "actual", str(n),
            {"kind": "identify", "subject": "R-001", "state": "done",
             "planned": [write_time(start), write_time(start)],
             "started": write_time(start), "finished": write_time(later(start, minutes=minutes))},
        )  # fmt: skip
    (one,) = learnt(shelf)
    assert (one.minutes, one.times, one.planned) == (13, 5, 10)
    assert take_in(shelf, one).studio.minutes.identify == 13


def test_too_few_evenings_are_not_taken_in(shelf_of, make_reel, now):
    shelf = shelf_of(make_reel()).with_record(
        "actual", "1",
        {"kind": "align", "subject": "D1", "full": True, "state": "done", "planned": [write_time(now)] * 2,
         "started": write_time(now), "finished": write_time(later(now, minutes=55))},
    )  # fmt: skip
    with pytest.raises(Refused, match="5 are wanted"):
        take_in(shelf, learnt(shelf)[0])
