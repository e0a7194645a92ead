"""Figures with their sources, and what a reel's own figures rest on: as lines of (role, text)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from core.conditioning.advisor import advice_of
from core.conditioning.loads.what_worked import Worked
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
from core.tape.told.glossary import TABLE, Entry
from core.tape.treatments import published
from core.tape.where import FOLLOWED, OwnFigures, Sourced, all_keys, source_of

Line = tuple[str, str]  # role ("head", "word", "dim", "bad"), text

#: The figures that lengths rest on, by how a length was got.
_LENGTH_KEYS = {
    "from a pack": ("length.pack_share",),
    "a full": ("length.reel_share", "length.over_percent"),
    "given": ("length.given_share",),
}
_STEP_OF = {"found": "identify", "identified": "condition", "conditioned": "repair", "repaired": "align",
            "aligned": "transfer", "transferred": "verify", "verified": "verify"}  # fmt: skip


#: No letter and no digit stands before a word, and none behind it.
_BEGINS, _ENDS = r"(?<![^\W_])", r"(?![^\W_])"


def own_figures(shelf: Shelf) -> OwnFigures:
    """The owner's figures that are followed in place of the tables'; any other one counts for nothing."""
    return {k: v for k, v in shelf.chosen.figures.items() if k in FOLLOWED}


def found_keys(words: str) -> tuple[str, ...]:
    """Keys of figures and rows that answer to the words: in the key, in what it says, in its values.

    First those in which each stands whole, then those in which each begins a word; one that
    merely lies inside another, as eel in reel, is no answer.
    """
    wanted = words.casefold().split()
    whole = [re.compile(rf"{_BEGINS}{re.escape(word)}{_ENDS}") for word in wanted]
    begun = [re.compile(rf"{_BEGINS}{re.escape(word)}") for word in wanted]
    searched = {key: _searched(key) for key in all_keys()}
    found = [key for key, text in searched.items() if all(one.search(text) for one in begun)]
    return tuple(sorted(found, key=lambda key: not all(one.search(searched[key]) for one in whole)))


def _searched(key: str) -> str:
    one = source_of(key)
    return f"{key} {one.says} {one.value} {one.row.note}".casefold()


def sourced_json(one: Sourced) -> dict[str, object]:
    """A figure as other programs read it."""
    return {
        "key": one.key,
        "value": one.value,
        "unit": one.unit,
        "says": one.says,
        "standing": one.row.standing,
        "source": [{"key": s.key, "title": s.title, "where": s.where} for s in one.row.source],
        "note": one.row.note,
    }


def sourced_lines(one: Sourced) -> tuple[str, ...]:
    """A figure or row with everything that is told of it."""
    lines = [f"{one.key}{': ' + one.says if one.says else ''}"]
    if isinstance(one.value, Mapping):
        lines += [f"  {name.replace('_', ' ')}: {_word(value)}" for name, value in one.value.items()]
    else:
        lines.append(f"  {_word(one.value)} {one.unit}".rstrip())
    if one.row.note:
        lines.append(f"  note: {one.row.note}")
    lines.append(f"  standing: {one.row.standing}")
    instead = "in place of: " if one.row.standing == "the owner's own" else "source: "
    return (*lines, *(f"  {instead}{cited}" for cited in one.row.source))


def word_lines(one: Entry) -> tuple[str, ...]:
    """A word of the glossary with what else is said for it and its source."""
    also = (f"  also: {', '.join(one.also)}",) if one.also else ()
    cited = "; ".join(str(source) for source in one.row.source)
    return (f"{one.word}: {one.says}", *also, f"  source: {cited}")


def sourced_line(one: Sourced) -> str:
    """A figure in one line, for a list."""
    if one.key.startswith(f"{TABLE}."):
        return f"{one.key:<34} {one.value['says']} ({one.row.standing})"
    what = one.says or "; ".join(f"{name} {_word(v)}" for name, v in one.value.items() if v not in ("", []))
    shown = "" if isinstance(one.value, Mapping) else f"{_word(one.value)} {one.unit}".strip() + "  "
    return f"{one.key:<34} {shown}{what} ({one.row.standing})"


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_word(one) for one in value)
    if isinstance(value, Mapping):
        return "; ".join(f"{name} {_word(one)}" for name, one in value.items())
    return str(value)


#: How a tape ran: the word that is kept, and what it means.
BEHAVED_CHOICES = (
    ("clean heads", "clean heads: nothing came off"),
    ("some shed", "some shed: it played, and left something on the heads"),
    ("stopped", "stopped: it could not be played through"),
)


def worked_words(rows: Sequence[Worked]) -> str:
    """Which programme worked on which stock of this shelf, a line each."""
    if not rows:
        return "Nothing is written down yet of how treated reels ran."
    lines = ["Which programme worked on which stock, here:"]
    for row in rows:
        warm = f"{row.celsius:g} °C" if row.celsius is not None else "?"
        hours = f"{plain(row.hours)} h" if row.hours is not None else "?"
        lines.append(
            f"{row.stock}, {warm} for {hours}: {row.clean_heads} clean heads, {row.some_shed} some shed, "
            f"{row.stopped} stopped"
        )
    return "\n".join(lines)


# A reel ---------------------------------------------------------------------------------------------------


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
