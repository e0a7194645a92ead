"""A made-up studio and shelf, a workbook that lives in memory, and a quiet, frozen terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import screenwait

from core.clock import later
from core.plan import Item, LeftOver, Plan, SongReady
from core.quantities import Quantity, read_quantity
from core.reels.reel import Reel
from core.shelf import Event, Shelf
from core.songs.song import Need, SheetRow, Song
from core.store.book import Saying
from core.studio.studio import Capture, Chamber, Deck, HoursRow, Minutes, Studio, Treatment
from core.workbook.workbook import Workbook

ZONE = ZoneInfo("Europe/Lisbon")
EVENING = datetime(2026, 12, 1, 18, 52, tzinfo=ZONE)
NASTY = "[/] Blues [take 2] [b"


def q(text: str, kind: Any) -> Quantity:
    return read_quantity(text, kind)


ONE, HALF, QUARTER = (q(text, "length") for text in ("1 in", "1/2 in", "1/4 in"))
SEVEN, FIFTEEN, THIRTY = (q(text, "speed") for text in ("7.5 ips", "15 ips", "30 ips"))
LEVEL = q("250 nWb/m", "flux")
LONG = q("2500 ft", "length")


def a_studio() -> Studio:
    """One deck of each kind, one chamber, four evenings and a Saturday."""
    warm = q("54 degC", "temperature")
    weekdays = HoursRow(("mon", "tue", "wed", "thu"), (), 19 * 60, 22 * 60 + 30, True, True, False, 22 * 60)
    saturday = HoursRow(("sat",), (), 9 * 60, 21 * 60, True, True, True)
    return Studio(
        name="Harbour Lane",
        timezone="Europe/Lisbon",
        decks=(
            Deck("D1", (ONE,), 16, (FIFTEEN, THIRTY), q("180 ips", "speed"), True, 40, 15, True),
            Deck("D2", (QUARTER, HALF), 8, (SEVEN, FIFTEEN), q("120 ips", "speed"), False, 25, 10),
        ),
        capture=Capture(16, q("96 kHz", "frequency"), 24),
        chambers=(Chamber("C1", 6, ((ONE, 2), (HALF, 1), (QUARTER, 1)), q("2 h", "time"), 10),),
        treatments=(
            Treatment(ONE, warm, q("8 h", "time"), q("8 h", "time"), Fraction(14)),
            Treatment(HALF, warm, q("6 h", "time"), q("6 h", "time"), Fraction(14)),
            Treatment(QUARTER, warm, q("4 h", "time"), q("4 h", "time"), Fraction(14)),
        ),
        hours=(weekdays, saturday),
        minutes=Minutes(),
    )


def some_reels() -> tuple[Reel, ...]:
    """A dozen reels at every stage, with the usual troubles."""
    wide = Reel(
        "R-001",
        "Low Tide; Lanterns",
        width=ONE,
        tracks=16,
        speed=FIFTEEN,
        eq="NAB",
        level=LEVEL,
        length=LONG,
        condition=("ok",),
        base="polyester",
        location="A1",
    )
    mix = replace(wide, key="R-003", box_label="Mixes, side B", role="mix", width=QUARTER, tracks=2, eq="IEC")
    noon = datetime(2026, 11, 29, 12, 0, tzinfo=ZONE)
    return (
        replace(wide, condition=("sticky",), stage="conditioned", conditioned_at=noon),
        replace(
            wide,
            key="R-002",
            box_label="Marram (take 3)",
            condition=("sticky",),
            stage="identified",
            chamber="C1",
            loaded_at=datetime(2026, 12, 1, 17, 15, tzinfo=ZONE),
        ),
        replace(mix, stage="conditioned", speed=SEVEN, tried="clean"),
        Reel("R-004", width=HALF, location="A2"),
        replace(mix, key="R-005", box_label=NASTY, condition=("splices",), splices=4, stage="identified"),
        replace(mix, key="R-006", box_label="Café 夜の歌 Übung", stage="transferred"),
        replace(mix, key="R-007", box_label="Causeway", stage="verified"),
        replace(wide, key="R-008", box_label="Sluice Gate", condition=("sticky",), stage="identified"),
        replace(
            mix,
            key="R-009",
            box_label="Choir, old hall",
            condition=("sticky",),
            base="acetate",
            stage="identified",
        ),
        replace(mix, key="R-010", box_label="Rehearsal, spring", condition=("mould",)),
        replace(mix, key="R-011", box_label="Salt Road, takes 1-4", condition=(), stage="identified"),
        replace(mix, key="CAL-2", box_label="IEC 250", role="calibration", stage="conditioned"),
        replace(wide, key="CAL-1", box_label="15 ips NAB 250", role="calibration", stage="conditioned"),
    )


def a_shelf() -> Shelf:
    """The studio with its dozen reels, three songs and one track sheet."""
    songs = (
        Song(
            "S-01",
            "Low Tide",
            "The Ferrymen",
            "Salt Road",
            1,
            9,
            Fraction(252),
            (Need("R-001"), Need("R-003")),
        ),
        Song("S-02", "Lanterns", "The Ferrymen", "Salt Road", 2, 5, Fraction(201), (Need("R-007"),)),
        Song("S-03", "Choir", "", "", None, 3, None, (Need("R-009"),)),
    )
    sheet = tuple(
        SheetRow("T-1", track, "R-001", "S-01", "1978", part, player)
        for track, part, player in (
            (1, "kick", "Ines Moura"),
            (2, "snare", "Ines Moura"),
            (3, "bass [DI]", "Tam Odell"),
            (16, "timecode", ""),
        )
    )
    reels = {reel.key: reel for reel in some_reels()}
    noted = Event(EVENING, "reel", "R-011", "note", "", "", "smells of vinegar? no", "", 1)
    return Shelf(
        a_studio(),
        "harbour",
        reels,
        {song.key: song for song in songs},
        sheet,
        history=(noted,),
    )


class MovedClock(Workbook):
    """The real workbook, with a clock that a test moves by hand and a shelf that it lays out as it likes."""

    moment = EVENING

    @classmethod
    def laid_out(cls, path: Path, shelf: Shelf) -> MovedClock:
        book = cls.create(path, shelf.studio, lambda: EVENING)
        book._now = lambda: book.moment
        book.lay_out(shelf)
        return book

    def lay_out(self, shelf: Shelf) -> None:
        """The shelf as it is to stand on the disk; only history stays what it was where none is given."""
        told = () if self.shelf.history and self.shelf.history == shelf.history else shelf.history
        self.written(lambda kept: (replace(shelf, name=kept.shelf.name), Saying("lay out", events=told)))


@pytest.fixture
def evening() -> datetime:
    """The moment at which the tests' evening stands still."""
    return EVENING


@pytest.fixture
def nasty() -> str:
    """A title that markup readers choke on."""
    return NASTY


@pytest.fixture
def studio() -> Studio:
    """The made-up studio."""
    return a_studio()


@pytest.fixture
def shelf() -> Shelf:
    """The made-up shelf."""
    return a_shelf()


@pytest.fixture
def book(shelf: Shelf, book_of: Callable[[Shelf], MovedClock]) -> MovedClock:
    """A workbook on the made-up shelf, in a file of its own."""
    return book_of(shelf)


@pytest.fixture
def book_of(tmp_path: Path) -> Callable[[Shelf], MovedClock]:
    """To lay a shelf of one's own out in a file."""
    return lambda shelf: MovedClock.laid_out(tmp_path / "harbour.json", shelf)


@pytest.fixture
def on_disk(book: MovedClock) -> MovedClock:
    """The made-up shelf in a real file, as `book` is."""
    return book


@pytest.fixture
def long_shelf(shelf: Shelf) -> Shelf:
    """A thousand reels: the dozen over and over."""
    dozen = list(shelf.reels.values())
    reels = {f"R-{n:04}": replace(dozen[n % 11], key=f"R-{n:04}") for n in range(1000)}
    return replace(shelf, reels=reels)


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No blinking, no movement, no colour setting or look from the machine that runs the tests."""
    for name in ("NO_COLOR", "TEXTUAL_THEME", "REELTURN_SHELF"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setattr("textual.widgets._input.Input._toggle_cursor", lambda self: None)
    monkeypatch.setattr("tui.app.draws_signs", lambda: True)
    screenwait.wait_by_work(monkeypatch)
    screenwait.parse_each_style_once(monkeypatch)
    yield


def seen(app: Any) -> list[str]:
    """The lines of the screen as they stand, spaces at the right cut off."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


async def until(pilot: Any, condition: Callable[[], bool]) -> None:
    """Waits for a condition."""
    await screenwait.until(pilot, condition, lambda: "\n".join(seen(pilot.app)))


@pytest.fixture(name="seen")
def seen_fixture() -> Callable[[Any], list[str]]:
    """Reads the screen."""
    return seen


@pytest.fixture(name="until")
def until_fixture() -> Callable[..., Any]:
    """Waits for a condition."""
    return until


def is_full(line: str) -> bool:
    """True for a line that only a whole first picture has, whichever place or question it is."""
    return any(
        word in line for word in ("machine time", "no tape yet", "needs 60", "ring again", "reels shown")
    )


@pytest.fixture
def opened() -> Callable[..., Any]:
    """Opens the program on a workbook: ``async with opened(book) as pilot``."""
    from contextlib import asynccontextmanager

    from tui.app import ReelturnApp

    @asynccontextmanager
    async def open_on(book: Any, size: tuple[int, int] = (80, 24)) -> Any:
        app = ReelturnApp(book)
        async with app.run_test(size=size) as pilot:
            await until(pilot, lambda: any(is_full(line) for line in seen(app)))
            yield pilot

    return open_on


@pytest.fixture
def typed() -> Callable[..., Any]:
    """Types a text, key by key."""

    async def type_in(pilot: Any, text: str) -> None:
        for letter in text:
            await pilot.press({" ": "space"}.get(letter, letter))

    return type_in


@pytest.fixture
def plan(evening: Any) -> Plan:
    """A small plan of two evenings, written by hand."""
    seven = evening.replace(hour=19, minute=0)
    thursday = seven.replace(day=3)

    def item(kind: str, start: Any, minutes: int, **words: Any) -> Item:
        return Item(kind, start, later(start, minutes=minutes), **words)

    setup = (("speed", "7.5 ips"), ("eq", "IEC"), ("level", "250 nWb/m"), ("noise_reduction", ""))
    return Plan(
        shelf="harbour", start=seven, until=seven.replace(day=15), made_in_seconds=1.0, status="feasible",
        score=120.0, bound=100.0, gap=0.1667, made_at=evening, number=3,
        items=(
            item("align", seven, 25, deck="D2", setup=setup, calibration="CAL-2", full=True),
            item("transfer", later(seven, minutes=25), 80, deck="D2", reel="R-003", passes=1),
            item("verify", later(seven, minutes=105), 10, reel="R-006"),
            item("verify", thursday, 10, reel="R-003"),
        ),
        left_over=(LeftOver("R-009", "sticky on acetate: no heat, needs a specialist", "heat"),),
        songs=(SongReady("S-01", None, ("R-001",)), SongReady("S-02", seven)),
    )  # fmt: skip


@pytest.fixture
def planned(book: Any, plan: Plan) -> Any:
    """The workbook with that plan kept."""
    book.lay_out(book.shelf.with_record("plan", "kept", plan.to_json()))
    return book
