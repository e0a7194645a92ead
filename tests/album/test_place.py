"""A place in time as a value: along its curve and back, one curve after another, and its JSON."""

import pytest

from core.album.place import NOWHERE, Curve, Place, SongClock


def test_a_line_goes_on_beyond_its_nodes() -> None:
    line = Curve.line(10.0, 0.0, 1.001, 100.0)
    assert line.song(10.0) == 0.0
    assert line.song(210.0) == pytest.approx(200.2)
    assert line.capture(line.song(-3.0)) == pytest.approx(-3.0)
    assert line.rate(50.0) == pytest.approx(1.001)


def test_a_curve_bends_at_its_nodes_and_goes_back_the_way_it_came() -> None:
    curve = Curve(((0, 5), (10, 15), (20, 26)))
    assert curve.song(15) == pytest.approx(20.5)
    assert curve.capture(20.5) == pytest.approx(15)
    assert curve.turned().song(20.5) == pytest.approx(15)
    assert curve.moved(-5).song(0) == 0


def test_one_curve_after_another_keeps_the_nodes_of_both() -> None:
    one = Curve(((0, 0), (10, 11), (20, 21)))
    two = Curve(((0, 100), (5, 105), (40, 141)))
    both = one.then(two)
    for at in (-2, 0, 3, 4.5454545, 10, 14, 25):
        assert both.song(at) == pytest.approx(two.song(one.song(at)), abs=1e-9)


@pytest.mark.parametrize("nodes", [((0, 0),), ((0, 0), (0, 1)), ((0, 0), (1, 0)), ((0, 0), (1, -1))])
def test_a_curve_that_does_not_rise_is_none(nodes) -> None:
    with pytest.raises(ValueError, match="curve"):
        Curve(nodes)


def test_a_place_without_a_curve_is_got_by_nothing() -> None:
    assert NOWHERE.to_json()["by"] == "nothing" and NOWHERE.to_json()["curve"] is None
    with pytest.raises(ValueError):
        Place("sound")
    with pytest.raises(ValueError):
        Place("ear", Curve.line(0, 0))
    place = Place("said", Curve.line(0, 1.5), 20.0)
    assert place.to_json()["curve"] == [[0, 1.5], [1, 2.5]]


def test_a_capture_that_nothing_ties_lies_nowhere() -> None:
    clock = SongClock("R-001", 40.0, {("R-001", 1): Place("timecode", Curve.line(40, 0), 0.01)})
    assert clock.place("R-001", 1).by == "timecode"
    assert clock.place("R-002", 1) is NOWHERE
    assert clock.zero == ("R-001", 40.0)
    assert SongClock().zero is None


def test_what_is_printed_is_one_line_within_a_millisecond_or_a_node_a_second() -> None:
    nearly = Curve(((0, 0), (50, 50.0009), (100, 100)))
    assert len(nearly.short().nodes) == 2 and abs(nearly.short().song(50) - 50.0009) <= 0.001
    bent = Curve(((0, 0), (50, 50.1), (100, 100))).short()
    assert max(u - x for (x, _), (u, _) in zip(bent.nodes, bent.nodes[1:], strict=False)) <= 1.0
    assert bent.song(25) == pytest.approx(25.05) and bent.song(75) == pytest.approx(75.05)
