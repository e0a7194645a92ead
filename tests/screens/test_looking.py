"""Looking at a reel: one form on Space, a digit an answer, under twelve keys for an ordinary reel."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.evening.answers import stock_asked
from core.reels.reel import Reel


@pytest.fixture
def unseen(book_of: Any, shelf: Any) -> Any:
    """A shelf on which twenty boxes were written down and nobody looked at a tape yet."""
    wide = shelf.reels["R-001"].width
    reels = {f"B-{n:02}": Reel(f"B-{n:02}", f"box {n}", width=wide) for n in range(1, 21)}
    return book_of(replace(shelf, reels=reels, songs={}, sheets=(), history=()))


class Hands:
    """Counts the keys that are pressed."""

    def __init__(self, pilot: Any, until: Any) -> None:
        self.pilot, self.until, self.keys = pilot, until, 0

    async def press(self, *keys: str) -> None:
        for key in keys:
            await self.pilot.press(key)
            self.keys += 1

    async def look(self, *keys: str) -> None:
        """Space, the answers, and back on the chart."""
        await self.press("space")
        await self.until(self.pilot, lambda: bool(self.pilot.app.screen.query("OneAnswer")))
        await self.press(*keys)
        await self.until(self.pilot, lambda: bool(self.pilot.app.screen.query("ChartList")))


# ok; polyester, seen; no splices; tails; no stock written; 15 ips as the deck has it.
ORDINARY = ("1", "1", "1", "enter", "1", "enter", "right", "enter")
# Sticky, no other sign; polyester, seen; tails; a stock and a speed as they are written.
STICKY = ("2", "enter", "enter", "1", "1", "enter", "1", "4", "5", "6", "enter", "3", "0", "enter")


async def test_an_ordinary_reel_takes_under_twelve_keys_and_one_undo(
    unseen: Any, opened: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await hands.look(*ORDINARY)
        reel = unseen.shelf.reels["B-01"]
        assert reel.stage == "identified" and reel.tracks == 16 and reel.condition == ("ok",)
        assert (reel.base, reel.base_seen, reel.wind, str(reel.speed)) == (
            "polyester",
            "yes",
            "tails",
            "15 ips",
        )
        assert hands.keys < 12
        await pilot.press("u")
        await until(pilot, lambda: unseen.shelf.reels["B-01"] == Reel("B-01", "box 1", width=reel.width))


async def test_a_third_of_them_sticky_a_reel_takes_under_twelve_keys_on_the_whole(
    unseen: Any, opened: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        for number in range(7):
            await hands.look(*(STICKY if number % 3 == 2 else ORDINARY))
            await hands.press("down")
        looked = [reel.key for reel in unseen.shelf.reels.values() if reel.stage == "identified"]
        assert looked == [f"B-{number:02}" for number in range(1, 8)]
        sticky = [reel for reel in unseen.shelf.reels.values() if reel.condition == ("sticky",)]
        assert {(reel.stock, str(reel.speed)) for reel in sticky} == {("456", "30 ips")}
        assert hands.keys < 7 * 12


async def test_one_rhythm_of_the_hand_serves_an_ok_reel_too(unseen: Any, opened: Any, until: Any) -> None:
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await hands.look("1", "enter", "enter", "1", "1", "enter", "1", "pagedown", "enter")
        reel = unseen.shelf.reels["B-01"]
        assert (reel.condition, reel.base, reel.base_seen) == (("ok",), "polyester", "yes")
        assert reel.splices is None and reel.wind == "tails"
        await pilot.press("down")
        await hands.look("1", "enter", "enter", "enter", "enter", "enter", "2", "pagedown", "enter")
        assert (unseen.shelf.reels["B-02"].base, unseen.shelf.reels["B-02"].wind) == ("", "heads")


async def test_the_key_of_the_reel_stays_in_sight_under_long_words(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    unseen.shelving.set_fields(
        "B-01", {"box_label": "Quiet Furnace / Ferry Bell 38 cm/s NAB tails out, 16 track, Ampex 456"}
    )
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: any("What is B-01? Quiet Furnace" in line for line in seen(pilot.app)))
        await until(pilot, lambda: any("leaves" in line for line in seen(pilot.app)))


async def test_a_stock_on_the_box_stands_in_the_look_and_is_asked_about_where_it_is_emptied(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    """The advice about warmth rests on the stock: on what the box says, or on a plain no."""
    for key in ("B-01", "B-02"):
        unseen.shelving.set_fields(key, {"box_label": "Hill 15 ips NAB Ampex 456"})
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await hands.press("1", "pagedown", "enter")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].stage == "identified")
        told = unseen.shelf.reels["B-01"]
        assert (told.stock, str(told.speed), told.eq) == ("Ampex 456", "15 ips", "NAB")
        await pilot.press("down", "space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await hands.press("1", "pagedown", "up", "ctrl+u", "pagedown", "enter")
        await until(pilot, lambda: any("says Ampex 456: right arrow" in line for line in seen(pilot.app)))
        assert unseen.shelf.reels["B-02"].stage == "found"
        await hands.press("enter")
        await until(pilot, lambda: unseen.shelf.reels["B-02"].stage == "identified")
        assert unseen.shelf.reels["B-02"].stock == ""


async def test_a_key_that_says_calibration_makes_it_one_in_the_look(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    unseen.shelving.rename("B-01", "CAL-1")
    unseen.shelving.set_fields("CAL-1", {"box_label": "", "location": "K1"})
    async with opened(unseen) as pilot:
        await pilot.press("space")
        head = "What is CAL-1? no words on its box (place K1)"
        await until(pilot, lambda: any(head in line for line in seen(pilot.app)))
        role = next(line for line in pilot.app.screen.form.lines({}) if line.name == "role")
        assert (role.text, role.hint) == ("calibration", "as its key says; emptied where it is not so")
        await pilot.press("1", "pagedown", "enter")
        await until(pilot, lambda: unseen.shelf.reels["CAL-1"].calibration)


async def test_a_box_that_says_calibration_tape_makes_it_one_in_the_look(
    unseen: Any, opened: Any, until: Any
) -> None:
    """No deck is lined up as it stands while such a tape lies beside it as an ordinary one."""
    unseen.shelving.set_fields("B-01", {"box_label": "cal tape 250 nWb 30 ips NAB"})
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await hands.look("1", "pagedown", "enter")
        told = unseen.shelf.reels["B-01"]
        assert told.calibration and (str(told.speed), str(told.level), told.eq) == (
            "30 ips",
            "250 nWb/m",
            "NAB",
        )


@pytest.mark.parametrize(
    ("key", "stock", "asked"),
    [("1", "Ampex 456", False), ("2", "Ampex 456 GM", False), ("enter", "Ampex 456 GM", True)],
)
async def test_a_stock_that_is_only_written_like_one_is_asked_about_in_the_form(
    unseen: Any, opened: Any, seen: Any, until: Any, key: str, stock: str, asked: bool
) -> None:
    """One key answers; nobody can tell is an answer too, and the tape is barred until somebody can."""
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        page = pilot.app.screen
        await hands.press("2", "enter", "enter", "1", "1", "enter", "1")
        assert page.form.here.name == "stock"
        await hands.press(*"Ampex", "space", *"456", "space", *"GM", "enter")
        await until(pilot, lambda: any("written like Ampex 456: is it?" in line for line in seen(pilot.app)))
        assert page.form.here.name == "stock"
        await hands.press("5")  # no answer to that, and not put behind the text it is about
        assert any("1 yes, Ampex 456   2 no" in line for line in seen(pilot.app))
        await hands.press(key)
        assert page.form.here.name == "speed"
        await hands.press("3", "0", "enter")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].stage == "identified")
        assert unseen.shelf.reels["B-01"].stock == stock
        notes = unseen.shelf.reels["B-01"].notes
        assert notes == ("the box says: Ampex 456 GM" if key == "1" else "")  # nothing typed is lost
        assert (stock_asked(unseen.shelf, "B-01") is not None) == asked
        await pilot.press("u")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].stage == "found")
        assert not unseen.shelf.of_kind("stock")


async def test_a_stock_that_was_gone_past_is_asked_about_before_the_look_is_taken(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        at = [line.name for line in pilot.app.screen.form.lines({})].index("stock")
        await hands.press("1", "pageup", *["down"] * at)
        await hands.press(*"3M", "space", *"226", "space", *"Gold", "pagedown", "enter")
        await until(pilot, lambda: any("written like" in line and "226" in line for line in seen(pilot.app)))
        assert pilot.app.screen.form.here.name == "stock" and unseen.shelf.reels["B-01"].stage == "found"
        await hands.press("1", "pagedown", "enter")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].stage == "identified")
        assert stock_asked(unseen.shelf, "B-01") is None


async def test_typing_over_a_line_that_was_gone_on_from_replaces_it(
    unseen: Any, opened: Any, until: Any
) -> None:
    """Whoever put the text there; an arrow first, and it is changed."""
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        page = pilot.app.screen
        at = [line.name for line in page.form.lines(page.form.values)].index("tracks")
        await pilot.press("pageup", *["down"] * at)
        assert page.form.here.name == "tracks"
        await pilot.press("8", "enter", "up", "1", "6")
        assert page.form.values["tracks"] == "16"
        await pilot.press("enter", "up", "end", "backspace")
        assert page.form.values["tracks"] == "1"


async def test_tracks_that_no_head_has_are_told_in_the_look_refused_above_all_and_else_asked_once(
    unseen: Any, opened: Any, until: Any, seen: Any
) -> None:
    def says(words: str) -> Any:
        return lambda: any(words in line for line in seen(pilot.app))

    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        page = pilot.app.screen
        at = [line.name for line in page.form.lines(page.form.values)].index("tracks")
        await pilot.press("pageup", *["down"] * at, "4", "0")
        await until(pilot, says("cannot be: 1 in has 32 tracks"))
        await pilot.press("enter")
        assert page.form.here.name == "tracks"
        await pilot.press("backspace", "backspace", "1", "7", "enter", "1", "1", "1", "enter", "1")
        await pilot.press("pagedown", "enter")
        await until(pilot, says("tracks 17? 1 in has 1, 2, 4, 8, 16, 24 or 32"))
        assert unseen.shelf.reels["B-01"].stage == "found"
        await pilot.press("enter")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].tracks == 17)


async def test_several_troubles_are_ticked_by_digits(unseen: Any, opened: Any, until: Any) -> None:
    async with opened(unseen) as pilot:
        hands = Hands(pilot, until)
        await hands.look("2", "6", "enter", "enter", "1", "1", "4", "enter", "1", "pagedown", "enter")
        reel = unseen.shelf.reels["B-01"]
        assert set(reel.condition) == {"sticky", "splices"} and reel.splices == 4
        assert reel.stage == "identified"


async def test_what_gainsays_itself_is_told_and_not_taken(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await pilot.press("1", "up", "1", "pagedown", "enter")  # ok, and the sign of vinegar
        await until(pilot, lambda: any("is not so beside the sign" in line for line in seen(pilot.app)))
        assert unseen.shelf.reels["B-01"].stage == "found"


async def test_a_reel_that_is_half_known_is_written_down_and_stays_found(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await pilot.press("down", "down", "2", "pagedown", "enter")  # acetate, its condition not seen
        await until(pilot, lambda: any("not known yet: condition" in line for line in seen(pilot.app)))
        assert unseen.shelf.reels["B-01"].base == ""
        await pilot.press("enter")
        await until(pilot, lambda: unseen.shelf.reels["B-01"].base == "acetate")
        assert unseen.shelf.reels["B-01"].stage == "found"


async def test_mould_in_the_hand_says_at_once_where_the_tape_goes(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await pilot.press("5", "pagedown", "enter")
        told = "B-01: lay it apart from all tapes, in a closed bag, with gloves and a mask"
        for _ in range(3):  # what else is not known is asked about
            if not any(told in line for line in seen(pilot.app)):
                await pilot.press("enter")
        await until(pilot, lambda: any(told in line for line in seen(pilot.app)))


async def test_leaving_keeps_what_was_answered(unseen: Any, opened: Any, until: Any) -> None:
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        await pilot.press("2", "enter", "escape")
        await until(pilot, lambda: bool(pilot.app.screen.query("ChartList")))
        assert unseen.shelf.reels["B-01"].condition == ()
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        assert pilot.app.screen.form.values["condition"] == "sticky"


async def test_f1_tells_the_words_of_the_line_and_binds_no_key_while_one_types(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("down", "down", "down", "space")  # R-004, of which nothing is known
        await until(pilot, lambda: any("What is R-004?" in line for line in seen(pilot.app)))
        await pilot.press("2", "down", "f1")
        await until(pilot, lambda: any("layers adhere: A turn" in line for line in seen(pilot.app)))
        await pilot.press("escape")
        await until(pilot, lambda: any("condition         sticky" in line for line in seen(pilot.app)))
        await pilot.press("escape", "enter")
        await until(pilot, lambda: any("next:" in line for line in seen(pilot.app)))
        await pilot.press("enter", "f1")
        await until(pilot, lambda: any("What that means" in line for line in seen(pilot.app)))
        await pilot.press("a", "x", "escape", "escape", "escape")
        assert pilot.app.own_keys == {}


async def test_what_could_not_be_done_is_not_said_any_more_once_something_is(
    book: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(book) as pilot:
        await pilot.press("w", "k")
        await until(pilot, lambda: any("! not now" in line for line in seen(pilot.app)))
        await pilot.press("t", "w")
        await until(pilot, lambda: pilot.app.current_mode == "week")
        assert not any("! not now" in line for line in seen(pilot.app))


async def test_a_look_leaves_alone_what_another_program_wrote_meanwhile(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        other = type(unseen).open(unseen.path, unseen.now)
        other.shelving.set_fields("B-01", {"base": "acetate", "stock": "Scotch 111", "condition": "vinegar"})
        await pilot.press("2", "pagedown", "enter")  # sticky, and the rest as it stands in the form
        await until(
            pilot, lambda: any("wrote meanwhile: condition vinegar" in line for line in seen(pilot.app))
        )
        reel = unseen.shelf.reels["B-01"]
        assert (reel.base, reel.condition, reel.stage) == ("acetate", ("vinegar",), "found")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))  # asked again, with both
        told = "\n".join(seen(pilot.app))
        assert "acetate" in told and "sticky" in told
        await pilot.press("escape")
        await pilot.press("down", "space")  # another tape: what was changed is not what was answered
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        other.reload()
        other.shelving.set_fields("B-02", {"base": "acetate", "stock": "Scotch 111"})
        await pilot.press("2", "pagedown", "enter")
        await until(pilot, lambda: unseen.shelf.reels["B-02"].condition == ("sticky",))
        assert (unseen.shelf.reels["B-02"].base, unseen.shelf.reels["B-02"].stock) == (
            "acetate",
            "Scotch 111",
        )


async def test_a_low_terminal_shows_whose_look_it_is_and_goes_through_its_lines(
    unseen: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(unseen, size=(80, 18)) as pilot:
        await pilot.press("space")
        await until(pilot, lambda: bool(pilot.app.screen.query("OneAnswer")))
        told = "\n".join(seen(pilot.app))
        assert "What is B-01?" in told and "leaves" in told
        first = pilot.app.screen.form.here.name
        await pilot.press("down", "down")
        assert pilot.app.screen.form.here.name != first
        await pilot.press("pagedown")
        assert pilot.app.screen.form.here.name == "speed"
        assert "speed" in "\n".join(seen(pilot.app))
