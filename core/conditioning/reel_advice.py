"""The decision table asked for a reel of the shelf."""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import cast

from core.conditioning.advice import Advice, advise
from core.conditioning.chamber_log import ChamberLog, times_treated
from core.conditioning.known import BACK_COATS, STORAGES, SYMPTOMS, Known
from core.reels.needs import base_of, needs_repair, playable
from core.reels.reel import Reel
from core.studio.studio import Studio
from core.tape.stocks import BackCoat, Base, Stock, find_stock
from core.tape.treatments import Programme, programme

_YEAR = re.compile(r"(?<!\d)(19[3-9]\d|20[0-4]\d)(?!\d)")


def known_of(
    reel: Reel,
    studio: Studio,
    at: datetime,
    own: Mapping[str, Stock] = {},
    loads: Sequence[ChamberLog] = (),
) -> Known:
    """What the shelf knows of a reel at that moment.

    Columns of the owner's own called `back_coat`, `year`, `storage` and `signs` are read too, where
    their words are known; `loads` are the chamber loads kept.
    """
    stock = find_stock(reel.stock, own)
    extra = {name.casefold().strip(): value.casefold().strip() for name, value in reel.extra}
    year = _YEAR.search(extra.get("year", ""))
    treated, failed = times_treated(loads, reel.key)
    coat: BackCoat | None = next((word for word in BACK_COATS if word == extra.get("back_coat")), None)
    storage = extra.get("storage", "")
    return Known(
        base=cast(Base, base_of(reel, own)),
        stock=stock.sticky if stock else "unknown",
        route=stock.route if stock else "",
        width_in=reel.width.number if reel.width else None,
        back_coat=coat or (stock.back_coat if stock else "unknown"),
        year=int(year[1]) if year else None,
        symptoms=_symptoms(reel, extra.get("signs", "")),
        inspected=bool(reel.condition) or reel.past("conditioned"),
        storage=next((word for word in STORAGES if word == storage), "unknown"),
        playable=playable(reel, studio, at),
        treated=max(treated, 1 if reel.conditioned_at else 0),
        failed=failed,
        splices=reel.splices or (1 if needs_repair(reel) else 0),
        own_hours=reel.treatment_hours.number if reel.treatment_hours else None,
    )


def advise_reel(
    reel: Reel,
    studio: Studio,
    at: datetime,
    own: Mapping[str, Stock] = {},
    loads: Sequence[ChamberLog] = (),
) -> Advice:
    """What to do with a reel of the shelf, by the studio's own treatment of its width."""
    known = known_of(reel, studio, at, own, loads)
    try:
        return advise(known, programme_for(reel, studio))
    except ValueError as error:
        return advise(known, None, no_programme=str(error))


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


def stricter_bar(
    reel: Reel,
    studio: Studio,
    at: datetime,
    own: Mapping[str, Stock] = {},
    loads: Sequence[ChamberLog] = (),
) -> str | None:
    """Why the decision table would leave a reel out that is still to be transferred or lined up with."""
    if reel.past("transferred") and not reel.calibration:
        return None
    return advise_reel(reel, studio, at, own, loads).barred_by


def _symptoms(reel: Reel, signs: str) -> frozenset[str]:
    told = {word.strip() for word in signs.split(";")}
    return frozenset(set(reel.condition) | told) & frozenset(SYMPTOMS)
