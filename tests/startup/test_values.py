"""A frozen value compares, hashes and is shown as the standard library's own would be."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, field, replace
from typing import Any

import pytest

from core.values import dataclass


def _kinds(maker: Any) -> Any:
    """The same classes, once made here and once by the library."""

    @maker(frozen=True, slots=True)
    class Pass:
        deck: str
        minutes: int = 0
        aside: str = field(default="", compare=False, repr=False)

    @maker(frozen=True, slots=True)
    class Longer(Pass):
        tape: tuple[str, ...] = ()

    @maker(frozen=True, slots=True)
    class ByHand:
        number: int

        def __eq__(self, other: object) -> bool:
            return isinstance(other, ByHand) and self.number % 10 == other.number % 10

        def __hash__(self) -> int:
            return self.number % 10

        def __repr__(self) -> str:
            return f"hand {self.number}"

    @maker(frozen=True, slots=True)
    class Nothing:
        pass

    @maker(frozen=True, slots=True)
    class Evening:
        _deck: str
        steps: list[str] = field(default_factory=list)
        held: int = field(init=False)
        rows: dict[str, int] = field(init=False, default_factory=dict)
        kind: str = field(init=False, default="bench")
        hours: int = 3

        def __post_init__(self) -> None:
            object.__setattr__(self, "held", len(self.steps) * self.hours)

    @maker(frozen=True)
    class Loose:
        deck: str = "D1"

    return Pass, Longer, ByHand, Nothing, Evening, Loose


OURS, THEIRS = _kinds(dataclass), _kinds(dataclasses.dataclass)


def _made(kinds: Any) -> list[Any]:
    run, longer, by_hand, nothing, _, loose = kinds
    return [
        run("D1"), run("D1", 5), run("D1", 5, "later"), run("D2", 5),
        longer("D1", 5), longer("D1", 5, "", ("a",)), by_hand(3),
        by_hand(13), by_hand(4), nothing(), nothing(),
        loose(), loose("D2"),
    ]  # fmt: skip


def test_every_pair_compares_as_the_librarys_do() -> None:
    ours, theirs = _made(OURS), _made(THEIRS)
    for one, of_theirs in zip(ours, theirs, strict=True):
        for other, other_of_theirs in zip(ours, theirs, strict=True):
            assert (one == other) is (of_theirs == other_of_theirs), (one, other)
            assert (one != other) is (of_theirs != other_of_theirs), (one, other)
            assert one != "D1"
    assert [hash(one) for one in ours] == [hash(one) for one in theirs]
    assert len(set(ours)) == len(set(theirs)) == 10


def test_they_are_shown_as_the_librarys_are() -> None:
    assert [repr(one) for one in _made(OURS)] == [repr(one) for one in _made(THEIRS)]


def test_they_stay_frozen_and_are_replaced_and_copied() -> None:
    one = OURS[0]("D1", 5)
    with pytest.raises(FrozenInstanceError):
        one.deck = "D2"
    with pytest.raises(FrozenInstanceError):
        del one.deck
    with pytest.raises(FrozenInstanceError):
        OURS[1]("D1", 5).tape = ()
    assert replace(one, minutes=6) == OURS[0]("D1", 6) != one
    assert copy.copy(one) == one
    assert dataclasses.asdict(one) == {"deck": "D1", "minutes": 5, "aside": ""}


@pytest.mark.parametrize("kinds", [OURS, THEIRS], ids=["ours", "theirs"])
def test_they_are_filled_as_the_librarys_are(kinds: Any) -> None:
    evening = kinds[4]
    one, other = evening("a", ["x", "y"], hours=2), evening(_deck="a")
    assert (one.steps, one.held, one.rows, one.kind, one.hours) == (["x", "y"], 4, {}, "bench", 2)
    assert (other.steps, other.held, other.hours) == ([], 0, 3)
    assert other.steps is not evening("a").steps and other.rows is not evening("a").rows
    assert replace(one, hours=3).held == 6
    for args, named in (((), {}), (("a", [], 2, 9), {}), (("a",), {"held": 2}), (("a",), {"_deck": "b"})):
        with pytest.raises(TypeError):
            evening(*args, **named)


def test_what_nobody_makes_is_never_written_out() -> None:
    @dataclass(frozen=True, slots=True)
    class Pass:
        deck: str

    put_off = Pass.__init__
    first = Pass("D1")
    written = Pass.__init__
    assert put_off is not written and Pass("D1") == first and Pass.__init__ is written
    put_off(first, "D2")  # whoever held it fills by the one that was written
    assert first.deck == "D2"


def test_a_value_that_travels_to_another_process_is_the_same() -> None:
    assert pickle.loads(pickle.dumps(_Sent("a", 3))) == _Sent("a", 3)


def test_what_has_an_order_or_is_compared_by_identity_keeps_it() -> None:
    @dataclass(frozen=True, slots=True, order=True)
    class At:
        minute: int

    @dataclass(frozen=True, slots=True, eq=False)
    class Itself:
        minute: int

    assert At(1) < At(2)
    assert Itself(1) != Itself(1)


@dataclass(frozen=True, slots=True)
class _Sent:
    name: str
    count: int
