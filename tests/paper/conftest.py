"""A made-up shelf and a hand-made plan of one week, for everything that is printed."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from core.chosen import FILL_IN
from core.clock import later
from core.plan import Item, LeftOver, Member, Plan, SongReady, Touch
from core.quantities import Quantity, read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import Need, SheetRow, Song
from core.studio.setup import Setup
from core.studio.studio import Capture, Chamber, Deck, HoursRow, Minutes, Studio, Treatment

LISBON = ZoneInfo("Europe/Lisbon")


def inches(text: str) -> Quantity:
    return read_quantity(text, "length")


def ips(text: str) -> Quantity:
    return read_quantity(text, "speed")


def flux(text: str) -> Quantity:
    return read_quantity(text, "flux")


def warm(text: str) -> Quantity:
    return read_quantity(text, "time")


def at(day: int, clock: str = "19:00", month: int = 12) -> datetime:
    hour, minute = clock.split(":")
    return datetime(2026, month, day, int(hour), int(minute), tzinfo=LISBON)


def a_studio() -> Studio:
    one, quarter = inches("1 in"), inches("1/4 in")
    week = ("mon", "tue", "wed", "thu")
    return Studio(
        name="Kelp Quay",
        timezone="Europe/Lisbon",
        decks=(
            Deck(
                "D1",
                (one,),
                24,
                (ips("15 ips"), ips("30 ips")),
                ips("180 ips"),
                loud=True,
                setup_minutes=40,
                touch_up_minutes=15,
                setup_needs_helper=True,
                lined_up=Setup(ips("15 ips"), "NAB", flux("250 nWb/m")),
            ),
            Deck(
                "D2",
                (quarter,),
                2,
                (ips("7.5 ips"), ips("15 ips")),
                ips("200 ips"),
                setup_minutes=25,
                touch_up_minutes=10,
            ),
        ),
        capture=Capture(16, read_quantity("96 kHz", "frequency"), 24, 1),
        chambers=(Chamber("C1", 6, ((one, 2), (quarter, 1)), warm("2 h"), 10),),
        treatments=(
            Treatment(one, read_quantity("54 degC", "temperature"), warm("8 h"), warm("8 h"), Fraction(14)),
            Treatment(
                quarter, read_quantity("54 degC", "temperature"), warm("4 h"), warm("4 h"), Fraction(14)
            ),
        ),
        hours=(
            HoursRow(week, (), 19 * 60, 22 * 60 + 30, bench=True, home=True, loud_until_minutes=22 * 60),
            HoursRow(("tue",), (), 19 * 60, 22 * 60, helper=True),
            HoursRow(("sat",), (), 9 * 60, 21 * 60, bench=True, home=True),
        ),
        minutes=Minutes(),
        assume_length=inches("2500 ft"),
    )


def a_multitrack(key: str, **named: object) -> Reel:
    plain = Reel(
        key,
        box_label=f"Box of {key}",
        contents="Salt Stair; Gannet",
        width=inches("1 in"),
        tracks=16,
        speed=ips("15 ips"),
        eq="NAB",
        level=flux("250 nWb/m"),
        stock="Ampex 456",
        thickness=inches("2 mil"),
        length=inches("2500 ft"),
        condition=("sticky",),
        stage="identified",
        location="Shelf A2",
    )
    return replace(plain, **named)  # type: ignore[arg-type]


def a_mix(key: str, **named: object) -> Reel:
    quarter = {"role": "mix", "width": inches("1/4 in"), "tracks": 2, "length": inches("1200 ft")}
    return a_multitrack(key, **{**quarter, **named})


def a_shelf() -> Shelf:
    reels = [
        a_multitrack(
            "R-001",
            contents="Low Light; Lantern Room",
            stage="conditioned",
            conditioned_at=at(29, "19:00", 11),
        ),
        a_multitrack("R-002", box_label="קולות הים", contents="קולות הים (take 3)", location="A2 מדף"),
        a_mix(
            "R-003",
            box_label="潮騒の歌",
            contents="潮騒の歌 / 파도 소리 / مرحبا بالعالم",
            splices=3,
            condition=("sticky", "splices"),
            notes="leader joint is dry\nlabel in two hands",
        ),
        a_mix(
            "R-004",
            box_label="<b>unclosed & <img src='/etc/passwd'/> {{x}} %s \\N",
            contents="=1+1",
            stage="found",
            condition=(),
            stock="",
        ),
        a_multitrack(
            "R-005",
            tracks=24,
            contents="A very long title that runs on and on " * 6,
            stage="conditioned",
            conditioned_at=at(29, "19:00", 11),
        ),
        a_mix("R-006", base="acetate", stock="", location="C1"),
        Reel("R-007"),
        a_multitrack(
            "CAL-1",
            role="calibration",
            condition=("ok",),
            stock="",
            base="polyester",
            stage="identified",
            location="D1",
            contents="Full-width tones",
        ),
    ]
    songs = [
        Song(
            "S-01", "Low Light", "The Wharf Choir", "Salt Stair", 1, 7, needs=(Need("R-001"), Need("R-003"))
        ),
        Song("S-02", "Lantern Room", "", "Salt Stair", 2, 4, needs=(Need("R-007"),)),
    ]
    rows = [
        SheetRow("TS-1", track, "R-001", "S-01", "May 1979", part, player, "3", copied, note)
        for track, part, player, copied, note in (
            (1, "kick", "Odd", "", ""),
            (2, "snare", "Odd", "", "gated"),
            (3, "bass DI", "Marte Ås", "R-005:3-8", ""),
            (4, "vocal <i>dry</i> & double", "歌手", "", "three drop-ins, the last one late " * 3),
            (16, "timecode", "", "", ""),
        )
    ]
    return Shelf(
        a_studio(),
        "quay",
        {reel.key: reel for reel in reels},
        {song.key: song for song in songs},
        tuple(rows),
        revision=41,
    )


def a_load(start: datetime) -> Item:
    out4, out8 = later(start, hours=4), later(start, hours=8)
    turns = [later(start, hours=hours) for hours in (2, 4, 6, 8)]
    dos = ["turn", "take out", "turn", "take out"]
    touches = (
        Touch("load", start, later(start, minutes=10)),
        *(Touch(do, moment, later(moment, minutes=10)) for do, moment in zip(dos, turns, strict=True)),
    )
    members = (
        Member("R-002", out8, later(out8, hours=8), later(out8, hours=14 * 24)),
        Member("R-003", out4, later(out4, hours=4), later(out4, hours=14 * 24)),
    )
    return Item(
        "condition",
        start,
        later(out8, minutes=10),
        chamber="C1",
        temperature="54 degC",
        members=members,
        touches=touches,
    )


def an_align(
    deck: str, start: datetime, minutes: int, full: bool, speed: str = "15 ips", tape: str = "CAL-1"
) -> Item:
    setup = (("speed", speed), ("eq", "NAB"), ("level", "250 nWb/m"), ("noise_reduction", ""))
    return Item(
        "align", start, later(start, minutes=minutes), deck=deck, setup=setup, calibration=tape, full=full
    )


def a_plan() -> Plan:
    items = (
        Item("identify", at(1, "19:00"), at(1, "19:10"), "R-004"),
        an_align("D1", at(1, "19:10"), 15, False),
        Item("transfer", at(1, "19:25"), at(1, "20:15"), "R-001", "D1", 1),
        Item("verify", at(1, "20:15"), at(1, "20:25"), "R-001"),
        a_load(at(5, "09:00")),
        Item("repair", at(7, "19:00"), at(7, "19:10"), "R-003"),
        an_align("D2", at(7, "19:10"), 25, True, tape=""),
        Item("transfer", at(7, "19:40"), at(7, "20:15"), "R-003", "D2", 1),
        an_align("D1", at(8, "19:00"), 40, True, "30 ips"),
        Item("transfer", at(8, "19:40"), at(8, "21:30"), "R-005", "D1", 2),
        Item("verify", at(8, "21:30"), at(8, "21:40"), "R-003"),
    )
    return Plan(
        "quay",
        at(1, "18:45"),
        at(15, "18:45"),
        1.8,
        "feasible",
        1234.5,
        1230.0,
        0.0036,
        items,
        (
            LeftOver("R-006", "sticky on acetate: no heat, needs a specialist", "base"),
            LeftOver("R-007", "not known: width, tracks, speed", "facts"),
            LeftOver("R-002", "no evening left"),
        ),
        (SongReady("S-01", at(8, "21:40")), SongReady("S-02", None, ("R-007",))),
        number=12,
        made_at=at(1, "18:40"),
    )


def a_shelf_with_every_sheet() -> Shelf:
    return a_shelf().choosing("fill in", list(FILL_IN))


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    """A shelf with every trouble that paper can meet, and every sheet to fill in chosen."""
    return a_shelf_with_every_sheet()


@pytest.fixture(scope="session")
def plan() -> Plan:
    """Four evenings and a Saturday, with one load."""
    return a_plan()


@pytest.fixture(scope="session")
def made() -> datetime:
    """The moment of printing."""
    return at(1, "18:52")


@pytest.fixture(scope="session")
def empty() -> tuple[Shelf, Plan]:
    """Nothing at all on the shelf and nothing planned."""
    shelf = Shelf(Studio("", "UTC"))
    return shelf, Plan("", at(1), at(15), 0.0, "nothing to do", 0.0, 0.0, 0.0)


def text_of(pdf: bytes) -> str:
    """All text of a PDF, as an independent reader finds it."""
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)


@pytest.fixture(scope="session")
def words() -> object:
    """Reads a PDF's text back."""
    return text_of
