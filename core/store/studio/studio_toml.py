"""The studio's file, read strictly: what cannot be is refused with its path and what would be right."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from core.errors import Unusable
from core.store.rows.columns import ReadQuantity
from core.store.studio.fields import (
    CAPTURE,
    CHAMBER,
    COMFORT,
    DECK,
    HOURS,
    MINUTES,
    STUDIO,
    TREATMENT,
    values_of,
)
from core.store.studio.toml_part import NOTHING, Part
from core.studio.setup import width_key
from core.studio.studio import Capture, Chamber, Comfort, Deck, HoursRow, Minutes, Studio, Treatment


def read_studio_file(path: Path) -> Studio:
    """The studio that a ``studio.toml`` tells of; Unusable names every wrong key."""
    from core.quantities import read_quantity

    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError as error:
        raise Unusable(f"{path}: not UTF-8 text (byte {error.start + 1}): save it as UTF-8") from error
    return read_studio(text_tables(text, str(path)), read_quantity, str(path))


def text_tables(text: str, file: str) -> dict[str, object]:
    """The tables of TOML text; Unusable with the line where it breaks."""
    import tomli

    try:
        return tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        raise Unusable(f"{file}: not a TOML file: {error}") from error
    except RecursionError as error:
        raise Unusable(f"{file}: not a TOML file: nested too deeply") from error


def read_studio(
    tables: dict[str, object], quantity: ReadQuantity, file: str = "studio.toml", *, kept: bool = False
) -> Studio:
    """The studio that these tables tell of; ``kept``: a shelf has kept it, and what it holds is taken."""
    wrong: list[str] = []
    top = Part(tables, "", wrong, quantity, kept=kept)

    def one(key: str) -> Part:
        return top.part(key) or Part({}, key, wrong, quantity)

    studio, minutes, comfort, capture = one("studio"), one("minutes"), one("comfort"), top.part("capture")
    decks, chambers, treatments = top.parts("deck"), top.parts("chamber"), top.parts("treatment")
    hours = top.parts("hours")
    parts = (
        studio, *decks, *([capture] if capture else []), *chambers, *treatments, *hours, minutes, comfort,
    )  # fmt: skip
    values = values_of(studio, STUDIO) | {"minutes": Minutes(**values_of(minutes, MINUTES))}
    for part in parts:
        part.grid = values["minutes"].grid
    values |= {
        "decks": tuple(Deck(**values_of(part, DECK)) for part in decks),
        "capture": Capture(**values_of(capture, CAPTURE)) if capture else None,
        "chambers": tuple(Chamber(**values_of(part, CHAMBER)) for part in chambers),
        "treatments": _treatments(treatments),
        "hours": tuple(HoursRow(**values_of(part, HOURS)) for part in hours),
        "comfort": Comfort(**values_of(comfort, COMFORT)),
    }
    extra = [one for part in (*parts, top) for inner in (part, *part.inner) for one in inner.rest()]
    _ids_differ(decks, "deck", wrong)
    _ids_differ(chambers, "chamber", wrong)
    if wrong:
        raise Unusable("\n".join(f"{file}: {line}" for line in wrong))
    return Studio(**values, extra=tuple(extra))


def unread_told(studio: Studio) -> Iterator[str]:
    """That keys which nothing here reads are kept, in one line; nothing where there are none."""
    named = [f"{path}.{key}" if path else key for path, key, _ in studio.extra]
    if named:
        more = f" and {len(named) - 3} more" if len(named) > 3 else ""
        verb = (
            "is kept, and nothing here reads it"
            if len(named) == 1
            else "are kept, and nothing here reads them"
        )
        yield f"studio.toml: {', '.join(named[:3])}{more} {verb}"


def _treatments(parts: list[Part]) -> tuple[Treatment, ...]:
    out: list[Treatment] = []
    for part in parts:
        treatment = Treatment(**values_of(part, TREATMENT))
        width = treatment.width
        if width is not NOTHING and any(width_key(width) == width_key(one.width) for one in out):
            part.say("width", width.text, "a width of its own: there is a treatment for it already")
        out.append(treatment)
    return tuple(out)


def _ids_differ(parts: list[Part], what: str, wrong: list[str]) -> None:
    seen: set[str] = set()
    for part in parts:
        name = str(part.values.get("id", "")).strip()
        if name and name in seen:
            wrong.append(f"{part.path}.id: {name!r} is there already: give each {what} an id of its own")
        seen.add(name)
