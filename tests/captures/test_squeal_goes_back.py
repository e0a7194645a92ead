"""A squeal that is sure sends the tape back from before it began; one that may be a note does not."""

import pytest

from core.findings import Check, Finding
from core.standing.back_to_tape import again_from, of_the_tape


@pytest.mark.parametrize(("weight", "since"), [("remark", "2:10"), ("note", "")])
def test_a_squeal_is_told_of_the_tape_with_the_minute(weight: str, since: str) -> None:
    squeal = Finding("squeal", None, 140.0, 300.0, weight, "The tape sticks and slips.")
    check = Check("R-1", (), (), (squeal,))
    assert again_from(check) == since
    assert (of_the_tape(check) == squeal.says) == bool(since)
