"""The decision table asked for a reel of the shelf."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import cast

from core.conditioning.advice import Advice, advise
from core.conditioning.known import BASES, Known, Storage
from core.conditioning.loads.chamber_log import ChamberLog, times_treated
from core.quantities import Quantity, plain
from core.reels.needs import base_of, needs_repair, playable, undated
from core.reels.reel import Reel
from core.studio.studio import Studio
from core.tape.stock import BackCoat, Base, Stock
from core.tape.stocks import find_stock, stock_base
from core.tape.treatments import Programme, house_programme, programme
from core.tape.where import source_of
from core.tape.written_like import base_in_notes, base_on_label, base_written, written_like

_YEAR = re.compile(r"(?<!\d)(19[3-9]\d|20[0-4]\d)(?!\d)")


def known_of(
    reel: Reel,
    studio: Studio,
    at: datetime,
    own: Mapping[str, Stock] = {},
    loads: Sequence[ChamberLog] = (),
    noted: str = "",
) -> Known:
    """What the shelf knows of a reel at that moment.

    `loads` are the chamber loads kept, `noted` what was noted of the reel beside its own cell.
    What is in a chamber is not playable, whatever it was before.
    """
    stock = find_stock(reel.stock, own)
    year = _YEAR.search(reel.year)
    treated, failed = times_treated(loads, reel.key)
    coat = cast(BackCoat, reel.back_coat or (stock.back_coat if stock else "unknown"))
    like = None if stock else written_like(reel.stock, own)
    base = cast(Base, base_of(reel, own))
    return Known(
        base=base,
        stock=stock.sticky if stock else "unknown",
        route=stock.route if stock else "",
        width_in=reel.width.number if reel.width else None,
        back_coat=coat,
        year=int(year[1]) if year else None,
        symptoms=reel.troubles,
        inspected=bool(reel.condition) or reel.past("conditioned"),
        storage=_storage(reel.storage),
        playable=not reel.chamber and playable(reel, studio, at),
        undated=undated(reel, studio, own),
        treated=max(treated, 1 if reel.conditioned_at else 0),
        failed=failed,
        splices=reel.splices or (1 if needs_repair(reel) else 0),
        own_hours=reel.treatment_hours.number if reel.treatment_hours else None,
        like=_name(like) if like else "",
        stock_base=_stock_base(reel, stock, base, own, noted),
        base_seen=reel.base_seen in ("yes", *BASES[:-1]),
        seen_otherwise=reel.base_seen == "polyester" and base != "polyester",
        tried=reel.tried == "clean",
        gum=reel.tried == "gum",
        set_aside=reel.set_aside,
    )


def advise_reel(
    reel: Reel,
    studio: Studio,
    at: datetime,
    own: Mapping[str, Stock] = {},
    loads: Sequence[ChamberLog] = (),
    *,
    noted: str = "",
    as_if_lapsed: bool = False,
) -> Advice:
    """What may be done with a reel of the shelf, by the studio's own treatment of its width.

    With `as_if_lapsed` its playable time counts as over: what is asked before it is warmed once more.
    """
    known = known_of(reel, studio, at, own, loads, noted)
    if as_if_lapsed:
        known = replace(known, playable=False)
    try:
        course = programme_for(reel, studio)
    except ValueError as error:
        return advise(known, None, no_programme=str(error))
    return advise(known, course, no_programme="" if course else no_treatment(reel.width))


def no_treatment(width: Quantity | None) -> str:
    """That the studio's file says nothing of that width, and what is published or practised for it."""
    if width is None:
        return "its width is not known, and the hours go by the width"
    lacks = f"no treatment for {width} tape in the studio's file"
    found = house_programme(width.number)
    if found is None:
        return lacks
    hours, cool = plain(found.hours), plain(found.cool_hours)
    course = f"{found.celsius:g} °C for {hours} h, then {cool} h of cooling"
    return f"{lacks}; proposed: {course} ({source_of(found.source).row.standing}): add it to the studio"


def programme_for(reel: Reel, studio: Studio) -> Programme | None:
    """The studio's treatment of the reel's width; None where it has none, ValueError above the hard stop."""
    treatment = studio.treatment(reel.width)
    if treatment is None or reel.width is None:
        return None
    turns = [chamber.turn_every.number for chamber in studio.chambers if chamber.takes(reel.width)]
    return programme(
        treatment.temperature.number,
        treatment.hours.number,
        turn_hours=min(turns, default=None),
        cool_hours=treatment.cool.number,
        playable_days=treatment.playable_days,
    )


def _stock_base(reel: Reel, stock: Stock | None, base: Base, own: Mapping[str, Stock], noted: str) -> Base:
    """What the table, the owner's row or the box's words say of its base; what contradicts the reel first."""
    by_name = (stock_base(reel.stock), stock.base if stock else "unknown")
    by_words = (base_written(reel.stock, own), base_on_label(reel.on_box))
    by_notes = (base_in_notes(reel.notes), base_in_notes(noted) if noted else "unknown")
    told = [one for one in (*by_name, *by_words, *by_notes) if one != "unknown"]
    return next((one for one in told if one != base), told[0] if told else "unknown")


def _storage(words: str) -> Storage:
    """Damp where the words speak of it at all, dry where they speak of nothing else."""
    told = words.casefold()
    if any(word in told for word in ("damp", "wet", "humid", "flood")):
        return "damp"
    return "dry" if "dry" in told else "unknown"


def _name(stock: Stock) -> str:
    return f"{stock.makers[0]} {stock.model}" if stock.makers else stock.model
