"""A reel's own figures, each with where it is from."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.advisor import advice_of
from core.conditioning.reel_advice import programme_for
from core.conditioning.tell import advice_lines
from core.quantities import plain
from core.reels.estimate import estimate
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.cautions import DEFERS, STEPS, cautions
from core.tape.physics.equalisation import find_equalisation, possible_equalisations
from core.tape.stocks import find_stock
from core.tape.tables import Row, source_words, table
from core.tape.treatments import published
from core.tape.where import OwnFigures, source_of
from tui.text.sourced import Line, own_figures

#: The figures that lengths rest on, by how a length was got.
_LENGTH_KEYS = {
    "from a pack": ("length.pack_share",),
    "a full": ("length.reel_share", "length.over_percent"),
    "given": ("length.given_share",),
}


_STEP_OF = {"found": "identify", "identified": "condition", "conditioned": "repair", "repaired": "align",
            "aligned": "transfer", "transferred": "verify", "verified": "verify"}  # fmt: skip


def reel_lines(shelf: Shelf, key: str, at: datetime) -> tuple[Line, ...]:
    """What to do with a reel and why, and where each figure that is shown of it comes from."""
    reel = shelf.reel(key)
    own = own_figures(shelf)
    return (
        ("head", "What to do with it"),
        *(("word", text) for text in advice_lines(advice_of(shelf, shelf.reel(key), at), sources=True)),
        ("head", "The tape"),
        *_stock(shelf, reel),
        ("head", "Length, play time, machine time"),
        *_times(shelf, reel, own),
        ("head", "Treatment of its width"),
        *_treatment(shelf, reel, own),
        ("head", "Set-up"),
        *_setup(reel, own),
        ("head", "Handling, in minutes"),
        *_handling(shelf, own),
        ("head", "What may hurt at the next step"),
        *_cautions(reel),
    )


def _cited(row: Row) -> str:
    return f"({row.cited})"


def _figure(key: str, own: OwnFigures) -> Line:
    return ("dim", f"{key}: {source_of(key, own)}")


def _stock(shelf: Shelf, reel: Reel) -> Iterator[Line]:
    stock = find_stock(reel.stock, shelf.own_stocks())
    if stock is None:
        yield "word", f"Stock {reel.stock or 'not known'}: in no row of the table of stocks."
        return
    told = f"{stock.name}: becomes sticky: {stock.sticky}; base {stock.base}; back coat {stock.back_coat}"
    yield "word", f"{told}. {stock.note} Source: {source_words(stock.source, stock.standing)}."


def _times(shelf: Shelf, reel: Reel, own: OwnFigures) -> Iterator[Line]:
    told = estimate(reel, shelf.studio, shelf.own_stocks())
    how = dict(told.how)
    units = {"length_feet": "ft", "play_seconds": "s", "machine_minutes": "min", "capture_bytes": "bytes"}
    for name in ("length_feet", "play_seconds", "passes", "winds", "machine_minutes", "capture_bytes"):
        value = getattr(told, name)
        what = name.partition("_")[0] if name != "play_seconds" else "play time"
        shown = "not known" if value is None else f"{value:g} {units.get(name, '')}".strip()
        if name == "capture_bytes" and value is not None:
            shown = f"{value / 1e9:.2f} GB"
        yield "word", f"{what}: {shown} ({how.get(name) or 'not known'})"
    yield "word", f"How sure the length is: {told.sure}."
    for word, keys in _LENGTH_KEYS.items():
        if word in how["length_feet"]:
            yield from (_figure(one, own) for one in keys)


def _treatment(shelf: Shelf, reel: Reel, own: OwnFigures) -> Iterator[Line]:
    if reel.width is None:
        yield "word", "Its width is not known: no programme can be told."
        return
    try:
        chosen = programme_for(reel, shelf.studio)
    except ValueError as error:
        yield "bad", f"The studio's programme is refused: {error}"
        chosen = None
    if chosen is not None:
        yield (
            "word",
            (
                f"By studio.toml: {chosen.celsius:g} °C for {plain(chosen.hours)} h, cool "
                f"{plain(chosen.cool_hours)} h, playable {plain(chosen.playable_days)} days."
            ),
        )
    else:
        yield "word", f"studio.toml gives no programme for {reel.width}."
    for row in published(float(reel.width.number)):
        told = row.values
        low, high = told.get("low_c"), told.get("high_c")
        warm = "" if low is None else f"{low:g} °C" if low == high else f"{low:g} to {high:g} °C"
        hours = sorted({told[name] for name in ("hours_low", "hours_high") if name in told})
        span = " to ".join(f"{one:g}" for one in hours)
        figures = ", ".join(one for one in (warm, f"{span} h" if span else "") if one)
        yield "dim", f"{told.get('who') or row.key}: {figures} {_cited(row)}"
    yield from (_figure(key, own) for key in ("heat.hard_stop_c", "heat.turn_hours", "heat.playable_days"))


def _setup(reel: Reel, own: OwnFigures) -> Iterator[Line]:
    assumed = "heard" if reel.heard else "assumed until it was heard"
    yield "word", f"{reel.setup.told} ({assumed})."
    if reel.speed is not None:
        eq = find_equalisation(reel.eq, reel.speed.number) if reel.eq else None
        if eq is not None:
            low = f" and {eq.t_low_us:g}" if eq.t_low_us else ""
            row = table("equalisations")[eq.key]
            yield "dim", f"{eq.name}: {eq.t_high_us:g}{low} µs {_cited(row)}"
        else:
            names = ", ".join(one.name for one in possible_equalisations(reel.speed.number))
            said = f"No standard {reel.eq!r} at this speed" if reel.eq else "Its equalisation is not told"
            yield "dim", f"{said}; at this speed there are {names or 'none'}."
    if reel.level is not None:
        for row in table("fluxivities").values():
            if float(row.values["nwb_m"]) == float(reel.level.number):
                called = ", ".join(row.values["called"])
                yield "dim", f"{reel.level} is called {called} {_cited(row)}"
    keys = ("lineup.level_db", "lineup.balance_db", "lineup.middle_db", "lineup.phase_degrees")
    yield from (_figure(key, own) for key in keys)


def _handling(shelf: Shelf, own: OwnFigures) -> Iterator[Line]:
    minutes = shelf.studio.minutes
    for name in ("identify", "load", "clean", "splice", "verify", "listen_share"):
        here, usual = getattr(minutes, name), source_of(f"minutes.{name}", own)
        same = float(here) == float(usual.value)
        studio = "the studio's file says nothing else" if same else "as the studio's file says"
        yield "dim", f"{name.replace('_', ' ')} {plain(here)} ({studio}); minutes.{name}: {usual}"


def _cautions(reel: Reel) -> Iterator[Line]:
    kinds = [_STEP_OF.get(reel.stage, "identify")]
    kinds += [one for one in ("mould", "vinegar") if one in reel.condition and one in STEPS]
    for kind in kinds:
        for one in cautions(kind):
            yield "word", f"{one.hazard} {one.usual} Source: {source_words(one.source, one.standing)}."
    yield "dim", DEFERS
