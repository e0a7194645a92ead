"""The studio's file: what may be left out, what comes back, and what is refused with its path."""

from fractions import Fraction

import pytest

from core.errors import Unusable
from core.quantities import read_quantity
from core.store.studio.edits import added, edited
from core.store.studio.studio_toml import read_studio, text_tables
from core.store.studio.text import studio_text
from core.studio.studio import Comfort

LEAST = '[studio]\nname = "N"\ntimezone = "Europe/Lisbon"\n'


def read(text):
    return read_studio(text_tables(text, "studio.toml"), read_quantity)


def test_what_is_left_out_is_as_the_page_tells():
    studio = read(LEAST)
    assert studio.comfort == Comfort("evenings", Fraction(1, 10), Fraction(1, 2), Fraction(1, 10))
    assert (studio.assume_eq, studio.assume_level, studio.assume_condition) == ("", None, "ok")


def test_comfort_and_assumptions_come_back_as_they_were_given():
    studio = read(
        LEAST + 'assume_eq = "NAB"\nassume_level = "250 nWb/m"\nassume_condition = "Sticky"\n'
        '[comfort]\ncount = "hours"\nslack = "12,5%"\nline_up_hour = 0.75\ntied_hour = 2\n'
    )
    assert studio.comfort == Comfort("hours", Fraction(1, 8), Fraction(3, 4), Fraction(2))
    assert studio.assume_condition == "sticky"
    text = studio_text(studio)
    assert 'slack = "12.5 %"' in text
    assert read(text) == studio
    assert studio_text(read(text)) == text


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('slack = "100 %"', "comfort.slack: '100 %' is not a share in percent"),
        ("slack = 0.1", "comfort.slack: 0.1 is not a share in percent"),
        ('count = "nights"', "comfort.count: 'nights' is not evenings or hours"),
        ("tied_hour = -1", "comfort.tied_hour: -1 is not points of score, from 0"),
        ("line_up_hours = 1", "comfort.line_up_hours is not a key we know: did you mean line_up_hour?"),
    ],
)
def test_a_wrong_comfort_is_refused_with_its_path(line, told):
    with pytest.raises(Unusable) as refused:
        read(LEAST + "[comfort]\n" + line)
    assert str(refused.value).startswith(f"studio.toml: {told}")


def test_an_assumed_condition_is_ok_or_sticky():
    with pytest.raises(Unusable, match=r"studio\.assume_condition: 'mould' is not ok or sticky"):
        read(LEAST + 'assume_condition = "mould"\n')


def test_a_figure_with_a_point_for_thousands_is_refused_in_a_studio_too():
    with pytest.raises(Unusable) as refused:
        read(LEAST + 'assume_length = "1.200 ft"\n[capture]\nsample_rate = "96.000 Hz"\n')
    told = str(refused.value)
    assert "assume_length: '1.200 ft' is not a length that reads one way: 1200 ft or 1.2 ft" in told
    assert "sample_rate: '96.000 Hz' is not a sampling rate" in told


CHAMBER = (
    '[[chamber]]\nid = "C1"\ntrays = 6\ntrays_taken = { "1/4 in" = 1 }\nturn_every = "2 h"\n'
    "touch_minutes = 10\n"
)
DECK = (
    '[[deck]]\nid = "D1"\nwidths = ["1/4 in"]\ntracks = 2\nspeeds = ["15 ips"]\nwind_speed = "180 ips"\n'
    "setup_minutes = 40\ntouch_up_minutes = 15\n"
)


@pytest.mark.parametrize(
    ("table", "was", "slip", "told"),
    [
        (CHAMBER, "trays = 6", "trays = 1000", "chamber[1].trays: 1000 is not a number of trays"),
        (
            CHAMBER,
            '"1/4 in" = 1',
            '"1/4 in" = 400',
            "trays_taken.1/4 in: 400 is not trays that one reel takes",
        ),
        (CHAMBER, "touch_minutes = 10", "touch_minutes = 500", "touch_minutes: 500 is not whole minutes"),
        (CHAMBER, '"2 h"', '"200 h"', "turn_every: '200 h' is not a time after which tape is turned"),
        (DECK, '"180 ips"', '"0.18 ips"', "wind_speed: '0.18 ips' is not a speed at which a deck winds"),
        (DECK, "setup_minutes = 40", "setup_minutes = 4000", "setup_minutes: 4000 is not whole minutes"),
        ("[minutes]\nidentify = 10\n", "10", "1000", "minutes.identify: 1000 is not minutes"),
        ("[minutes]\nsplice = 3\n", "3", "300", "minutes.splice: 300 is not minutes that one joint takes"),
    ],
)
def test_a_slip_of_the_finger_in_a_studio_is_refused_and_what_a_shelf_has_kept_is_taken(
    table, was, slip, told
):
    """Bounds wide of every chamber, deck and desk; a shelf from before is read as it is and goes on."""
    read(LEAST + table)
    wrong = text_tables(LEAST + table.replace(was, slip), "studio.toml")
    with pytest.raises(Unusable) as refused:
        read_studio(wrong, read_quantity)
    assert told in str(refused.value)
    kept = read_studio(wrong, read_quantity, kept=True)
    assert edited(kept, "studio", 0, {"name": "Other"}).name == "Other"  # what stood there is in nobody's way
    with pytest.raises(Unusable, match="chamber"):
        added(kept, "chamber", {"id": "C9", "trays": 900, "trays_taken": {}, "turn_every": "2 h"})
