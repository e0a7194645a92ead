"""When a song is there, in the one wording that every face uses."""

from datetime import UTC, datetime

import pytest

from core.songs.readiness import Readiness, readiness
from core.songs.song import Song
from core.songs.when import song_date

NOW = datetime(2026, 12, 1, 18, 0, tzinfo=UTC)  # a Tuesday
THURSDAY = datetime(2026, 12, 3, 21, 40, tzinfo=UTC)
SUNDAY = datetime(2026, 12, 6, 14, 0, tzinfo=UTC)
WAITING = Readiness(Song("S-1", title="Eel Weir"), "waiting", ("R-1",))


@pytest.mark.parametrize(
    ("planned", "chance", "promised", "words"),
    [
        (THURSDAY, 0.24, SUNDAY, "planned Thu 3 Dec, 24 in 100; promised Sun 6 Dec"),
        (THURSDAY, 0.91, THURSDAY, "planned Thu 3 Dec, 91 in 100"),
        (THURSDAY, 0.24, None, "planned Thu 3 Dec, 24 in 100; nothing promised"),
        (THURSDAY, 0.7999, SUNDAY, "planned Thu 3 Dec, 79 in 100; promised Sun 6 Dec"),
        (THURSDAY, None, THURSDAY, "planned Thu 3 Dec"),
        (None, None, None, "not in this plan"),
    ],
)
def test_planned_chance_and_promised_in_words(planned, chance, promised, words) -> None:
    assert song_date(WAITING, planned, chance, promised, NOW).words == words


def test_work_after_midnight_belongs_to_the_evening_before() -> None:
    late = datetime(2026, 12, 4, 0, 30, tzinfo=UTC)
    assert song_date(WAITING, late, None, late, NOW).words == "planned Thu 3 Dec"


def test_a_date_in_the_past_is_never_ready() -> None:
    gone = datetime(2026, 11, 30, 21, 0, tzinfo=UTC)
    date = song_date(WAITING, gone, 0.95, gone, NOW)
    assert (date.state, date.words) == ("waiting", "was planned Mon 30 Nov")
    assert (date.chance, date.promised) == (0.0, None)
    # The evening on which it was planned is not over yet.
    tonight = datetime(2026, 12, 1, 17, 0, tzinfo=UTC)
    assert song_date(WAITING, tonight, 0.95, tonight, NOW).words == "planned Tue 1 Dec, 95 in 100"


def test_neither_what_is_there_nor_what_is_barred_has_a_date_to_come() -> None:
    ready, barred = Readiness(WAITING.song, "ready"), Readiness(WAITING.song, "barred", ("R-1",))
    there = song_date(ready, THURSDAY, 0.24, SUNDAY, NOW)
    assert (there.planned, there.chance, there.promised, there.words) == (None, None, None, "ready")
    assert song_date(barred, None, None, None, NOW).words == "barred"


def test_a_song_that_needs_no_reel_is_never_ready() -> None:
    told = readiness(Song("S-9", title="Humming"), {}, lambda reel: None)
    assert told.state == "no reels"
    assert song_date(told, None, None, None, NOW).words == "no reels"


def test_without_a_plan_nothing_is_planned_yet() -> None:
    assert song_date(WAITING, None, None, None, NOW, kept=False).words == "not planned yet"
